// A number with its first and second derivative along one parameter. Internal to the sections.
#pragma once

namespace kerfkiln::urn {

struct SecondOrder {
  double f = 0, d = 0, dd = 0;
  friend constexpr SecondOrder operator+(SecondOrder a, SecondOrder b) { return {a.f + b.f, a.d + b.d, a.dd + b.dd}; }
  friend constexpr SecondOrder operator-(SecondOrder a, SecondOrder b) { return {a.f - b.f, a.d - b.d, a.dd - b.dd}; }
  friend constexpr SecondOrder operator*(double s, SecondOrder a) { return {s * a.f, s * a.d, s * a.dd}; }
  friend constexpr SecondOrder operator*(SecondOrder a, SecondOrder b) {
    return {a.f * b.f, a.d * b.f + a.f * b.d, a.dd * b.f + 2 * a.d * b.d + a.f * b.dd};
  }
  friend constexpr SecondOrder operator/(SecondOrder a, SecondOrder b) {
    const double q = a.f / b.f, q1 = (a.d - q * b.d) / b.f;
    return {q, q1, (a.dd - 2 * q1 * b.d - q * b.dd) / b.f};
  }
};

// The sag of a clamped strip over s = -1 ... 1, 1 in the middle, with derivatives along s (Roark's formulas for a beam
// with both ends fixed under even load: y ~ (1 - s^2)^2).
constexpr SecondOrder strip_sag(double s) {
  const double q = 1 - s * s;
  return {q * q, -4 * s * q, 12 * s * s - 4};
}
constexpr double kSagMean = 8.0 / 15;  // of the sag over the strip

}  // namespace kerfkiln::urn
