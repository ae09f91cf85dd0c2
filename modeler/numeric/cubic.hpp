// Cubic polynomials and the two piecewise cubics that the forms are made of.
#pragma once
#include <array>
#include <span>
#include <vector>

namespace kerfkiln {

using Cubic = std::array<double, 4>;  // c[0] + c[1] u + c[2] u^2 + c[3] u^3

constexpr double value(const Cubic& c, double u) { return c[0] + u * (c[1] + u * (c[2] + u * c[3])); }
constexpr double slope(const Cubic& c, double u) { return c[1] + u * (2 * c[2] + u * 3 * c[3]); }
constexpr double bend(const Cubic& c, double u) { return 2 * c[2] + 6 * u * c[3]; }

// The u in 0 ... length where the cubic (or its slope) is smallest and largest.
struct Extreme {
  double low_at = 0, low = 0, high_at = 0, high = 0;
};
Extreme extremes(const Cubic&, double length);
Extreme slope_extremes(const Cubic&, double length);

// One cubic an interval of the rising abscissae x (at least two).
// Natural: C2, no bending at the ends; two points give a straight line.
std::vector<Cubic> natural_cubic(std::span<const double> x, std::span<const double> y);
// The same with a slope of 0 at the first, at the last or at both ends instead of no bending there.
std::vector<Cubic> levelled_cubic(std::span<const double> x, std::span<const double> y, bool level_first,
                                  bool level_last);
// Monotone where the data are (Fritsch and Carlson 1980 with harmonic-mean slopes, Fritsch and Butland 1984; the end
// slopes by the shape-preserving three-point formula): C1, never beyond neighbouring values.
std::vector<Cubic> monotone_cubic(std::span<const double> x, std::span<const double> y);

}  // namespace kerfkiln
