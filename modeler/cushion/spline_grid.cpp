#include "modeler/cushion/spline_grid.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {

SplineBasis spline_basis(double t) {
  const double r = 1 - t;
  return {{r * r * r / 6, (4 + t * t * (3 * t - 6)) / 6, (4 + r * r * (3 * r - 6)) / 6, t * t * t / 6},
          {-r * r / 2, t * (1.5 * t - 2), r * (2 - 1.5 * r), t * t / 2},
          {r, 3 * t - 2, 1 - 3 * t, t}};
}

namespace {

void widen(SplineGrid::Bounds& b, double v) {
  b.low = std::min(b.low, v);
  b.high = std::max(b.high, v);
}

// A spline lies within the hull of its control values, and so do its second derivatives within that of theirs.
SplineGrid::Bounds cell_bounds(const double* c, std::size_t stride, double cell) {
  SplineGrid::Bounds b{c[0], c[0], 0, 0, 0};
  for (std::size_t j = 0; j < 4; ++j)
    for (std::size_t i = 0; i < 4; ++i) widen(b, c[j * stride + i]);
  double xx = 0, xy = 0, yy = 0;
  for (std::size_t j = 0; j < 4; ++j)
    for (std::size_t i = 0; i < 2; ++i) {
      const double* p = c + j * stride + i;
      xx = std::max(xx, std::abs(p[0] - 2 * p[1] + p[2]));
      const double* q = c + i * stride + j;
      yy = std::max(yy, std::abs(q[0] - 2 * q[stride] + q[2 * stride]));
    }
  for (std::size_t j = 0; j < 3; ++j)
    for (std::size_t i = 0; i < 3; ++i) {
      const double* p = c + j * stride + i;
      xy = std::max(xy, std::abs(p[0] - p[1] - p[stride] + p[stride + 1]));
    }
  b.xx = xx / (cell * cell);
  b.xy = xy / (cell * cell);
  b.yy = yy / (cell * cell);
  return b;
}

// The same spline over cells of half the size.
std::vector<double> halved(const std::vector<double>& from, int columns, int rows) {
  const auto n = static_cast<std::size_t>(columns) + 3, m = static_cast<std::size_t>(rows) + 3;
  const std::size_t wide = 2 * n - 3, high = 2 * m - 3;
  // A coefficient of the finer grid is a mean of two neighbours, or of three about one.
  const auto along = [](const double* c, std::size_t step, std::size_t k) {
    const double* p = c + k / 2 * step;
    return k % 2 == 0 ? (p[0] + p[step]) / 2 : (p[0] + 6 * p[step] + p[2 * step]) / 8;
  };
  std::vector<double> across(wide * m), out(wide * high);
  for (std::size_t j = 0; j < m; ++j)
    for (std::size_t i = 0; i < wide; ++i) across[j * wide + i] = along(&from[j * n], 1, i);
  for (std::size_t j = 0; j < high; ++j)
    for (std::size_t i = 0; i < wide; ++i) out[j * wide + i] = along(&across[i], wide, j);
  return out;
}

}  // namespace

SplineGrid::SplineGrid(Vec2 origin, double cell, int columns, int rows, std::vector<double> coefficients)
    : origin_(origin),
      cell_(cell),
      columns_(columns),
      rows_(rows),
      stride_(static_cast<std::size_t>(columns) + 3),
      coefficients_(std::move(coefficients)),
      whole_(table(coefficients_, columns, rows, cell)),
      quarters_(table(halved(halved(coefficients_, columns, rows), 2 * columns, 2 * rows), 4 * columns, 4 * rows,
                      cell / 4)) {}

SplineGrid SplineGrid::times(double factor) const {
  SplineGrid r = *this;
  for (double& c : r.coefficients_) c *= factor;
  const double size = std::abs(factor);
  for (Table* t : {&r.whole_, &r.quarters_})
    for (Bounds& b : t->of) {
      const auto [low, high] = std::minmax({b.low * factor, b.high * factor});
      b = {low, high, b.xx * size, b.xy * size, b.yy * size};
    }
  return r;
}

SplineGrid::Table SplineGrid::table(const std::vector<double>& coefficients, int columns, int rows, double cell) {
  Table t{columns, rows, cell, {}};
  const auto stride = static_cast<std::size_t>(columns) + 3;
  t.of.reserve(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i)
      t.of.push_back(
          cell_bounds(&coefficients[static_cast<std::size_t>(j) * stride + static_cast<std::size_t>(i)], stride, cell));
  return t;
}

SplineGrid::Place SplineGrid::place(Vec2 p) const {
  const double u = (p.x - origin_.x) / cell_, v = (p.y - origin_.y) / cell_;
  const int i = static_cast<int>(std::clamp(u, 0.0, columns_ - 1.0));
  const int j = static_cast<int>(std::clamp(v, 0.0, rows_ - 1.0));
  return {i, j, u - i, v - j};
}

double SplineGrid::value(Vec2 p) const {
  const Place q = place(p);
  const SplineBasis x = spline_basis(q.t), y = spline_basis(q.s);
  double sum = 0;
  const double* c = corner(q.i, q.j);
  for (std::size_t j = 0; j < 4; ++j, c += stride_)
    sum += y.v[j] * (x.v[0] * c[0] + x.v[1] * c[1] + x.v[2] * c[2] + x.v[3] * c[3]);
  return sum;
}

void SplineGrid::add_values(std::span<const double> x, std::span<const double> y, double scale,
                            std::span<double> out) const {
  std::vector<std::pair<int, SplineBasis>> up;
  up.reserve(y.size());
  for (const double v : y) {
    const Place q = place({origin_.x, v});
    up.emplace_back(q.j, spline_basis(q.s));
  }
  std::size_t n = 0;
  for (const double u : x) {
    const Place q = place({u, origin_.y});
    const SplineBasis across = spline_basis(q.t);
    double row[4] = {0, 0, 0, 0};
    int known = -1;
    for (const auto& [j, basis] : up) {
      if (j != known) {
        const double* c = corner(q.i, j);
        for (double& r : row) {
          r = across.v[0] * c[0] + across.v[1] * c[1] + across.v[2] * c[2] + across.v[3] * c[3];
          c += stride_;
        }
        known = j;
      }
      double sum = 0;
      for (std::size_t k = 0; k < 4; ++k) sum += basis.v[k] * row[k];
      out[n++] += scale * sum;
    }
  }
}

SplineGrid::At SplineGrid::at(Vec2 p) const {
  const Place q = place(p);
  const SplineBasis x = spline_basis(q.t), y = spline_basis(q.s);
  At r;
  const double* c = corner(q.i, q.j);
  for (std::size_t j = 0; j < 4; ++j, c += stride_) {
    const double v = x.v[0] * c[0] + x.v[1] * c[1] + x.v[2] * c[2] + x.v[3] * c[3];
    const double d = x.d[0] * c[0] + x.d[1] * c[1] + x.d[2] * c[2] + x.d[3] * c[3];
    r.value += y.v[j] * v;
    r.slope.x += y.v[j] * d;
    r.slope.y += y.d[j] * v;
    r.xx += y.v[j] * (x.b[0] * c[0] + x.b[1] * c[1] + x.b[2] * c[2] + x.b[3] * c[3]);
    r.xy += y.d[j] * d;
    r.yy += y.b[j] * v;
  }
  r.slope = r.slope / cell_;
  const double square = cell_ * cell_;
  r.xx /= square;
  r.xy /= square;
  r.yy /= square;
  return r;
}

SplineGrid::Bounds SplineGrid::bounds(const plane::Box& box) const {
  // Of many cells the worst one decides, whose own slack is small beside what the others differ.
  return (box.width() > 3 * cell_ || box.depth() > 3 * cell_ ? whole_ : quarters_).over(box, origin_);
}

SplineGrid::Bounds SplineGrid::Table::over(const plane::Box& box, Vec2 origin) const {
  const auto index = [](double x, int n) { return static_cast<std::size_t>(std::clamp(x, 0.0, n - 1.0)); };
  const std::size_t i0 = index((box.low.x - origin.x) / cell, columns),
                    i1 = index((box.high.x - origin.x) / cell, columns);
  const std::size_t j0 = index((box.low.y - origin.y) / cell, rows), j1 = index((box.high.y - origin.y) / cell, rows);
  const auto stride = static_cast<std::size_t>(columns);
  Bounds b = of[j0 * stride + i0];
  for (std::size_t j = j0; j <= j1; ++j)
    for (std::size_t i = i0; i <= i1; ++i) {
      const Bounds& c = of[j * stride + i];
      b.low = std::min(b.low, c.low);
      b.high = std::max(b.high, c.high);
      b.xx = std::max(b.xx, c.xx);
      b.xy = std::max(b.xy, c.xy);
      b.yy = std::max(b.yy, c.yy);
    }
  return b;
}

}  // namespace kerfkiln::cushion
