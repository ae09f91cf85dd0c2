#include "modeler/numeric/kronrod.hpp"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>

namespace kerfkiln {
namespace {

template <unsigned N>
const std::array<KronrodNode, N>& rule() {
  static const std::array<KronrodNode, N> nodes = [] {
    using Kronrod = boost::math::quadrature::gauss_kronrod<double, N>;
    using Gauss = boost::math::quadrature::gauss<double, (N - 1) / 2>;
    constexpr unsigned kMiddle = N / 2;
    std::array<KronrodNode, N> r{};
    for (unsigned i = 0; i <= kMiddle; ++i) {
      // From the middle outwards; every second node is Gauss's, the outermost is not.
      const double x = Kronrod::abscissa()[i], w = 0.5 * Kronrod::weights()[i];
      const bool shared = (kMiddle - i) % 2 == 1;
      const double g = shared ? 0.5 * Gauss::weights()[i / 2] : 0;
      r[kMiddle + i] = {0.5 + 0.5 * x, w, g};
      r[kMiddle - i] = {0.5 - 0.5 * x, w, g};
    }
    return r;
  }();
  return nodes;
}

}  // namespace

std::span<const KronrodNode> kronrod_rule(int points) {
  if (points <= 7) return rule<7>();
  return rule<15>();
}

}  // namespace kerfkiln
