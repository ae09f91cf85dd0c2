#include "modeler/cushion/labelled_quadrature.ipp"

#include <boost/math/quadrature/gauss_kronrod.hpp>

namespace kerfkiln::cushion {

const KronrodRule& kronrod_rule() {
  using Kronrod = boost::math::quadrature::gauss_kronrod<double, 15>;
  static const KronrodRule rule{Kronrod::abscissa(), Kronrod::weights(),
                                boost::math::quadrature::gauss<double, 7>::weights()};
  return rule;
}

}  // namespace kerfkiln::cushion
