// A height along one direction of the plan: monotone cubic between the maker's points, constant outside them.
#pragma once
#include <span>
#include <vector>

#include "modeler/numeric/cubic.hpp"

namespace kerfkiln::cushion {

struct HeightPoint {
  double at = 0, height = 0;  // mm
};

// C1. Never beyond neighbouring heights (Fritsch and Carlson 1980). An end that lies inside the range [low, high] in
// which the curve is used levels off there, so that the constant part begins without a crease; an end at or outside it
// keeps the slope of its points: two points across the whole range are a wedge.
class HeightCurve {
 public:
  HeightCurve() = default;  // zero
  // Precondition: places strictly ascending.
  HeightCurve(std::span<const HeightPoint>, double low_mm, double high_mm);

  struct At {
    double value = 0, slope = 0, bend = 0;
  };
  At at(double) const;
  double value(double) const;
  std::span<const double> knots() const { return knots_; }
  bool zero() const { return pieces_.empty() && before_ == 0; }

  struct Bounds {
    double low = 0, high = 0, bend = 0;
  };
  Bounds bounds(double from, double to) const;  // exact

 private:
  std::size_t piece(double) const;
  std::vector<double> knots_;
  std::vector<Cubic> pieces_;  // one less than knots
  double before_ = 0, after_ = 0;
};

}  // namespace kerfkiln::cushion
