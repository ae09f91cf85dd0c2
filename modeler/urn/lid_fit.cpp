#include "modeler/urn/lid_fit.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace kerfkiln::urn {
namespace {

double share_below(double t, double freedom) {
  if (freedom > 0) return boost::math::cdf(boost::math::students_t(freedom), t);
  return boost::math::cdf(boost::math::normal(), t);
}
double quantile(double p, double freedom) {
  if (freedom > 0) return boost::math::quantile(boost::math::students_t(freedom), p);
  return boost::math::quantile(boost::math::normal(), p);
}

}  // namespace

double pair_deviation(double outer_mm, double inner_mm, double relative, double correlation) {
  const double o = outer_mm * relative, i = inner_mm * relative;
  return std::sqrt(std::max(0.0, o * o + i * i - 2 * correlation * o * i));
}

double gap_below(const LidFit& f, double g) {
  if (!(f.deviation > 0)) return g > f.mean ? 1 : 0;
  return share_below((g - f.mean) / f.deviation, f.freedom);
}

LidFit fit_of(const FitInput& in) {
  LidFit f;
  f.input = in;
  f.mean = in.outer - in.inner;
  const double shrunk = pair_deviation(in.outer, in.inner, in.scatter.relative, in.correlation);
  const double walls = 2 * in.wall;
  f.deviation = std::hypot(shrunk, walls);
  if (in.scatter.freedom > 0 && shrunk > 0) f.freedom = in.scatter.freedom * std::pow(f.deviation / shrunk, 4);
  const double t = quantile(0.975, f.freedom);
  f.net = f.mean / 2 - in.coats;
  f.net_low = f.net - t * f.deviation / 2;
  f.net_high = f.net + t * f.deviation / 2;
  f.worst = f.net_low - in.ovality;  // two rings on the diameter, so one a side
  const double tight = 2 * (in.least + in.coats) + 2 * in.ovality, loose = 2 * (in.most + in.coats);
  f.binds = gap_below(f, tight);
  f.rattles = 1 - gap_below(f, loose);
  f.fits = std::max(0.0, 1 - f.binds - f.rattles);
  f.low = (tight + t * f.deviation) / 2;
  f.high = (loose - t * f.deviation) / 2;
  return f;
}

}  // namespace kerfkiln::urn
