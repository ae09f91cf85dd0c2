// A profile reduced to what a field evaluates at every point: drop and its derivatives by one square root and without
// virtual calls for the known families, through the curve for all others.
#pragma once
#include <algorithm>
#include <cmath>
#include <limits>

#include "modeler/cushion/edge/edge_type.hpp"

namespace kerfkiln::cushion {

struct DropKernel {
  DropFamily family = DropFamily::straight;
  double a = 0, b = 0;               // b = 0: square
  const DropCurve* curve = nullptr;  // kept alive by the profile

  DropKernel() = default;
  explicit DropKernel(const EdgeProfile& p) : a(p.inset), b(p.curve ? p.drop : 0), curve(p.curve.get()) {
    if (curve) family = curve->family();
  }

  // Drop at inset d >= 0, its slope and the slope's own; the side face of a quarter ellipse has infinite slope.
  struct Jet {
    double drop = 0, slope = 0, bend = 0;
  };
  Jet at(double d) const {
    if (b == 0 || d >= a) return {};
    if (family == DropFamily::straight) return {b * (1 - d / a), -b / a, 0};
    if (family == DropFamily::quarter_ellipse) {
      const double x = d / a, v = 1 - x, root = std::sqrt(x * (2 - x));
      if (root == 0) return {b, -std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
      const double steep = b / (a * root);
      return {b * v * v / (1 + root), -steep * v, steep / (a * root * root)};
    }
    const double h = std::min({1e-4 * a, d / 2, (a - d) / 2});
    const double bend = h > 0 ? (curve->slope(d + h) - curve->slope(d - h)) / (2 * h) : 0.0;
    return {curve->drop(d), curve->slope(d), bend};
  }
  double drop(double d) const {
    if (b == 0 || d >= a) return 0;
    if (family == DropFamily::straight) return b * (1 - d / a);
    if (family == DropFamily::quarter_ellipse) {
      const double x = d / a, v = 1 - x;
      return b * v * v / (1 + std::sqrt(std::max(0.0, x * (2 - x))));
    }
    return d <= 0 ? b : curve->drop(d);
  }
};

}  // namespace kerfkiln::cushion
