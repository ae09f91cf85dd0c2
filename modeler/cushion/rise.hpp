// How far a face of the cushion rises above its plane, edges apart: a smooth function of the plan.
//
//   z_top(p) = H + rise_top(p) - drop_top(p),   z_bottom(p) = drop_bottom(p) - rise_bottom(p)
//
// A rise is a sum of terms: membrane crowns (C2) and height curves along the depth or across the width (C1). Each is
// piecewise polynomial between lines of constant x and of constant y, which quadrature and bounds make use of.
#pragma once
#include <memory>
#include <span>
#include <vector>

#include "modeler/base/vec.hpp"
#include "modeler/cushion/height_curve.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

class Membrane;  // membrane.hpp

struct RiseAt {
  double value = 0;               // mm
  Vec2 slope;                     // gradient
  double xx = 0, xy = 0, yy = 0;  // second derivatives, 1/mm
};

// Immutable; copies share. Any thread may ask. Defined for every p; what is asked outside the outline is a smooth
// continuation near it and of no meaning farther away.
class Rise {
 public:
  Rise() = default;  // none
  static Rise crown(std::shared_ptr<const Membrane>, double height_mm);
  static Rise along_depth(HeightCurve);   // of y
  static Rise across_width(HeightCurve);  // of x
  Rise operator+(const Rise&) const;

  bool flat() const { return terms_ == nullptr; }
  double value(Vec2 p) const { return flat() ? 0 : value_of_terms(p); }
  // out[i * y.size() + j] = value({x[i], y[j]}), to the last bit.
  void values(std::span<const double> x, std::span<const double> y, std::span<double> out) const;
  RiseAt at(Vec2 p) const;

  // Bounds over a box of the plan, from the polynomials' control values: never too tight.
  struct Bounds {
    double low = 0, high = 0;       // of the value, mm
    double xx = 0, xy = 0, yy = 0;  // of the second derivatives' sizes, 1/mm
    // How far a triangle of size dx by dy within the box, its corners on the face, leaves the face upright at most:
    // half the second derivatives by the spread of its corners about any place in it, which is within dx dx / 4.
    double off(double dx, double dy) const { return (xx * dx * dx + 2 * xy * dx * dy + yy * dy * dy) / 8; }
    // The same over turned axes: along the unit vector and to its left.
    Bounds turned(Vec2 along) const;
  };
  Bounds bounds(const plane::Box&) const;

  // Lines x = ..., y = ... within the box between which the rise is a polynomial of degree 3 in x and in y.
  struct Lines {
    std::vector<double> x, y;  // ascending, the box's own included
  };
  Lines lines(const plane::Box&) const;

 private:
  struct Terms;
  double value_of_terms(Vec2) const;
  std::shared_ptr<const Terms> terms_;
};

}  // namespace kerfkiln::cushion
