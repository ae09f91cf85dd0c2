#include "modeler/numeric/gauss.hpp"

#include <array>
#include <boost/math/quadrature/gauss.hpp>

namespace kerfkiln {
namespace {

template <unsigned N>
const std::array<GaussNode, N>& rule() {
  static const std::array<GaussNode, N> nodes = [] {
    using Rule = boost::math::quadrature::gauss<double, N>;
    static_assert(N % 2 == 0);
    std::array<GaussNode, N> r{};
    for (unsigned i = 0; i < N / 2; ++i) {
      const double x = Rule::abscissa()[i], w = Rule::weights()[i];
      r[N / 2 + i] = {0.5 + 0.5 * x, 0.5 * w};
      r[N / 2 - 1 - i] = {0.5 - 0.5 * x, 0.5 * w};
    }
    return r;
  }();
  return nodes;
}

}  // namespace

std::span<const GaussNode> gauss_rule(int points) {
  if (points <= 4) return rule<4>();
  if (points <= 6) return rule<6>();
  if (points <= 10) return rule<10>();
  if (points <= 14) return rule<14>();
  if (points <= 20) return rule<20>();
  return rule<30>();
}

}  // namespace kerfkiln
