// The discs that a level takes away from the plan: one about each boundary point, its radius the inset there.
#pragma once
#include <vector>

#include "modeler/cushion/form.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// The discs along one boundary segment.
struct DiscRow {
  plane::Segment along;
  int side = -1;
  double start = 0, end = 0;  // radii at the ends of the segment
  bool even = true;           // the same radius all along
  // Of an uneven row: radius, and its derivative by arc length, at equal steps of t.
  std::vector<double> radius, slope;
  std::vector<Vec2> centre;

  double radius_at(double t) const;  // cubic between the samples
  double slope_at(double t) const;
};

class Discs {
 public:
  Discs(const Form&, double top_mm, double bottom_mm);

  const std::vector<std::vector<DiscRow>>& loops() const { return loops_; }  // as the outline's loops
  bool even() const { return even_; }                                        // one radius everywhere
  double radius() const { return radius_; }                                  // then
  // How deep a point lies inside the union of all discs, mm (negative: how far outside). Rows that are not even count
  // with their interpolated radius.
  double depth(Vec2 p) const;

 private:
  void add_loop(const Form&, const plane::Loop&, double top_mm, double bottom_mm);
  std::vector<std::vector<DiscRow>> loops_;
  bool even_ = true;
  double radius_ = 0;
};

}  // namespace kerfkiln::cushion
