// A bicubic spline on a uniform grid of square cells: twice continuously differentiable, looked up in constant time.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "modeler/base/vec.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// Values and first derivatives of the four cubic B-splines that live on a cell, t = 0 ... 1 across it; d and b by t.
struct SplineBasis {
  double v[4], d[4], b[4];
};
SplineBasis spline_basis(double t);

class SplineGrid {
 public:
  // coefficients: (columns + 3) x (rows + 3), row after row from low y; those of cell (i, j) start at (i, j).
  SplineGrid(Vec2 origin, double cell_mm, int columns, int rows, std::vector<double> coefficients);
  SplineGrid times(double factor) const;

  struct At {
    double value = 0;
    Vec2 slope;
    double xx = 0, xy = 0, yy = 0;
  };
  double value(Vec2) const;
  // Adds scale * value({x[i], y[j]}) to out[i * y.size() + j]: what lies in one cell is looked up once.
  void add_values(std::span<const double> x, std::span<const double> y, double scale, std::span<double> out) const;
  At at(Vec2) const;  // beyond the grid the polynomial of the nearest cell runs on

  struct Bounds {
    double low = 0, high = 0;
    double xx = 0, xy = 0, yy = 0;  // of the second derivatives' sizes
  };
  // From the control values of all parts of cells that the box meets: quarters, whole cells where they are many.
  Bounds bounds(const plane::Box&) const;

  Vec2 origin() const { return origin_; }
  double cell() const { return cell_; }
  int columns() const { return columns_; }
  int rows() const { return rows_; }

 private:
  struct Place {
    int i, j;
    double t, s;
  };
  Place place(Vec2) const;
  // Of cells of one size, row after row.
  struct Table {
    int columns = 0, rows = 0;
    double cell = 1;
    std::vector<Bounds> of;
    Bounds over(const plane::Box&, Vec2 origin) const;
  };
  static Table table(const std::vector<double>& coefficients, int columns, int rows, double cell);
  const double* corner(int i, int j) const {
    return &coefficients_[static_cast<std::size_t>(j) * stride_ + static_cast<std::size_t>(i)];
  }
  Vec2 origin_;
  double cell_ = 1;
  int columns_ = 0, rows_ = 0;
  std::size_t stride_ = 0;
  std::vector<double> coefficients_;
  Table whole_, quarters_;
};

}  // namespace kerfkiln::cushion
