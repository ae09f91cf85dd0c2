// The outline that a lid is carried around: one horizontal section, with its parallel curves. Internal to the lid.
//
// A parallel curve at distance d (outward positive) of a convex outline of area A and length P has the area
// A + P d + pi d^2 and the length P + 2 pi d as long as d > -(smallest radius of curvature) (Steiner's formula).
#pragma once
#include <vector>

#include "modeler/urn/section/section_type.hpp"

namespace kerfkiln::urn {

class LidOutline {
 public:
  struct Place {
    Vec2 at, normal;  // unit, outward
  };
  LidOutline(const SectionType&, SectionSize);

  const SectionSize& size() const { return size_; }
  double half_width() const { return size_.half_width; }
  double half_depth() const { return size_.half_depth; }
  bool round() const { return round_; }
  double sharpest() const { return sharpest_; }  // smallest radius of curvature; 0 where a corner is sharp
  double area(double d) const { return area_ + perimeter_ * d + kPi * d * d; }
  double perimeter(double d) const { return perimeter_ + 2 * kPi * d; }
  double distance(Vec2) const;  // signed, positive outside; 1e-9 mm

  // Places all round, counter-clockwise from (half_width, 0), none repeated: chords through them stay within
  // `deviation` of every parallel curve between d_low and d_high, and circles of radius `inner` about the axis with
  // corners at the places' bearings at d_low likewise (0: no circle).
  std::vector<Place> places(double d_low, double d_high, double inner, double deviation) const;

 private:
  static constexpr double kPi = 3.14159265358979323846;
  struct Sample {
    int piece;
    double v;
    Vec2 at;
  };
  Place at(int piece, double v) const;
  bool empty(int piece) const;
  const SectionType* type_;
  SectionSize size_;
  bool round_ = false;
  double area_ = 0, perimeter_ = 0, sharpest_ = 0;
  std::vector<Sample> samples_;  // of the quadrant
};

}  // namespace kerfkiln::urn
