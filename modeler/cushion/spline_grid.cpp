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

}  // namespace

SplineGrid::SplineGrid(Vec2 origin, double cell, int columns, int rows, std::vector<double> coefficients)
    : origin_(origin),
      cell_(cell),
      columns_(columns),
      rows_(rows),
      stride_(static_cast<std::size_t>(columns) + 3),
      coefficients_(std::move(coefficients)) {
  of_cell_.reserve(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) of_cell_.push_back(cell_bounds(corner(i, j), stride_, cell_));
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
  const Place a = place(box.low), z = place(box.high);
  Bounds b =
      of_cell_[static_cast<std::size_t>(a.j) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(a.i)];
  for (int j = a.j; j <= z.j; ++j)
    for (int i = a.i; i <= z.i; ++i) {
      const Bounds& c =
          of_cell_[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(i)];
      widen(b, c.low);
      widen(b, c.high);
      b.xx = std::max(b.xx, c.xx);
      b.xy = std::max(b.xy, c.xy);
      b.yy = std::max(b.yy, c.yy);
    }
  return b;
}

}  // namespace kerfkiln::cushion
