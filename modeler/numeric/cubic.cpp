#include "modeler/numeric/cubic.hpp"

#include <cmath>
#include <cstddef>

namespace kerfkiln {
namespace {

// Roots of a + b u + c u^2 in 0 < u < length, by the formula that does not cancel.
int quadratic_roots(double a, double b, double c, double length, double out[2]) {
  int n = 0;
  auto keep = [&](double u) {
    if (u > 0 && u < length) out[n++] = u;
  };
  if (c == 0) {
    if (b != 0) keep(-a / b);
    return n;
  }
  const double disc = b * b - 4 * a * c;
  if (disc < 0) return 0;
  const double q = -0.5 * (b + std::copysign(std::sqrt(disc), b));
  keep(q / c);
  if (q != 0 && disc > 0) keep(a / q);
  return n;
}

void widen(Extreme& e, double u, double v) {
  if (v < e.low) e.low = v, e.low_at = u;
  if (v > e.high) e.high = v, e.high_at = u;
}

Cubic hermite(double y0, double y1, double m0, double m1, double h) {
  const double d = (y1 - y0) / h;
  return {y0, m0, (3 * d - 2 * m0 - m1) / h, (m0 + m1 - 2 * d) / (h * h)};
}

double end_slope(double h0, double h1, double d0, double d1) {
  double m = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (m * d0 <= 0) return 0;
  if (d0 * d1 <= 0 && std::abs(m) > 3 * std::abs(d0)) m = 3 * d0;
  return m;
}

}  // namespace

Extreme extremes(const Cubic& c, double length) {
  Extreme e{0, c[0], 0, c[0]};
  widen(e, length, value(c, length));
  double u[2];
  const int n = quadratic_roots(c[1], 2 * c[2], 3 * c[3], length, u);
  for (int i = 0; i < n; ++i) widen(e, u[i], value(c, u[i]));
  return e;
}

Extreme slope_extremes(const Cubic& c, double length) {
  Extreme e{0, c[1], 0, c[1]};
  widen(e, length, slope(c, length));
  if (c[3] != 0) {
    const double u = -c[2] / (3 * c[3]);
    if (u > 0 && u < length) widen(e, u, slope(c, u));
  }
  return e;
}

std::vector<Cubic> natural_cubic(std::span<const double> x, std::span<const double> y) {
  const std::size_t n = x.size() - 1;
  std::vector<double> m(n + 1, 0), diag(n + 1, 1), up(n + 1, 0);  // m: second derivatives
  for (std::size_t i = 1; i < n; ++i) {
    const double h0 = x[i] - x[i - 1], h1 = x[i + 1] - x[i];
    const double right = 6 * ((y[i + 1] - y[i]) / h1 - (y[i] - y[i - 1]) / h0);
    const double w = i == 1 ? 0 : h0 / diag[i - 1];
    diag[i] = 2 * (h0 + h1) - w * up[i - 1];
    up[i] = h1;
    m[i] = right - w * m[i - 1];
  }
  for (std::size_t i = n; i-- > 1;) m[i] = (m[i] - up[i] * m[i + 1]) / diag[i];
  std::vector<Cubic> out(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double h = x[i + 1] - x[i];
    out[i] = {y[i], (y[i + 1] - y[i]) / h - h * (2 * m[i] + m[i + 1]) / 6, m[i] / 2, (m[i + 1] - m[i]) / (6 * h)};
  }
  return out;
}

std::vector<Cubic> levelled_cubic(std::span<const double> x, std::span<const double> y, bool level_first,
                                  bool level_last) {
  if (!level_first && !level_last) return natural_cubic(x, y);
  const std::size_t n = x.size() - 1;
  // Slopes m by the C2 condition, the ends level or without bending: rows low m[i-1] + diag m[i] + up m[i+1] = right.
  std::vector<double> m(n + 1, 0), diag(n + 1, 1), up(n + 1, 0);
  const auto step = [&](std::size_t i) { return x[i + 1] - x[i]; };
  const auto rise = [&](std::size_t i) { return (y[i + 1] - y[i]) / step(i); };
  for (std::size_t i = 0; i <= n; ++i) {
    double low = 0, right = 0;
    if (i == 0 && !level_first) {
      diag[i] = 2, up[i] = 1, right = 3 * rise(0);
    } else if (i == n && !level_last) {
      low = 1, diag[i] = 2, right = 3 * rise(n - 1);
    } else if (i > 0 && i < n) {
      low = step(i), diag[i] = 2 * (step(i - 1) + step(i)), up[i] = step(i - 1);
      right = 3 * (step(i) * rise(i - 1) + step(i - 1) * rise(i));
    }
    const double w = i == 0 ? 0 : low / diag[i - 1];
    if (i > 0) diag[i] -= w * up[i - 1];
    m[i] = right - (i == 0 ? 0 : w * m[i - 1]);
  }
  for (std::size_t i = n + 1; i-- > 0;) m[i] = (m[i] - (i < n ? up[i] * m[i + 1] : 0)) / diag[i];
  if (level_first) m[0] = 0;
  if (level_last) m[n] = 0;
  std::vector<Cubic> out(n);
  for (std::size_t i = 0; i < n; ++i) out[i] = hermite(y[i], y[i + 1], m[i], m[i + 1], step(i));
  return out;
}

std::vector<Cubic> monotone_cubic(std::span<const double> x, std::span<const double> y) {
  const std::size_t n = x.size() - 1;
  std::vector<double> h(n), d(n), m(n + 1);
  for (std::size_t i = 0; i < n; ++i) h[i] = x[i + 1] - x[i], d[i] = (y[i + 1] - y[i]) / h[i];
  if (n == 1) return {hermite(y[0], y[1], d[0], d[0], h[0])};
  m[0] = end_slope(h[0], h[1], d[0], d[1]);
  m[n] = end_slope(h[n - 1], h[n - 2], d[n - 1], d[n - 2]);
  for (std::size_t i = 1; i < n; ++i) {
    if (d[i - 1] * d[i] <= 0) continue;
    const double w0 = 2 * h[i] + h[i - 1], w1 = h[i] + 2 * h[i - 1];
    m[i] = (w0 + w1) / (w0 / d[i - 1] + w1 / d[i]);
  }
  std::vector<Cubic> out(n);
  for (std::size_t i = 0; i < n; ++i) out[i] = hermite(y[i], y[i + 1], m[i], m[i + 1], h[i]);
  return out;
}

}  // namespace kerfkiln
