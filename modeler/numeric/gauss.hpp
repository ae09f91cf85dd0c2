// Gauss-Legendre rules on 0 ... 1.
#pragma once
#include <span>

namespace kerfkiln {

struct GaussNode {
  double at = 0, weight = 0;
};
// Rules of 4, 6, 10, 14, 20 or 30 points, exact for polynomials of degree 7, 11, 19, 27, 39, 59; any other number is
// rounded up to one of these.
std::span<const GaussNode> gauss_rule(int points);

// Integral of f over a ... b.
template <class F>
double integrate(int points, double a, double b, F&& f) {
  double sum = 0;
  for (const GaussNode& g : gauss_rule(points)) sum += g.weight * f(a + (b - a) * g.at);
  return (b - a) * sum;
}

}  // namespace kerfkiln
