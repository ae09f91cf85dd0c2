#include "modeler/numeric/student.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace kerfkiln {

double student_quantile(double p, double freedom) { return boost::math::quantile(boost::math::students_t(freedom), p); }
double normal_quantile(double p) { return boost::math::quantile(boost::math::normal(), p); }
double normal_share(double z) { return boost::math::cdf(boost::math::normal(), z); }

}  // namespace kerfkiln
