// The profile of an urn: half width, half depth, height and section shape along one parameter.
#pragma once
#include <limits>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/base/vec.hpp"
#include "modeler/numeric/cubic.hpp"
#include "modeler/urn/section/section_type.hpp"

namespace kerfkiln::urn {

// What the curve goes through, bottom up, mm. `full` marks a shape that follows the half sizes by definition (a corner
// radius as large as the section allows), `level` a horizontal tangent. The twist (radians, NaN: not said here) turns
// the section about the axis, counter-clockwise from above.
struct ProfileNode {
  double height = 0, half_width = 0, half_depth = 0, shape = 2;
  bool corner = false;
  bool full = false;
  bool level = false;
  double twist = std::numeric_limits<double>::quiet_NaN();
};

// Cubics in u = t - begin, 0 <= u <= length.
struct ProfileSpan {
  double begin = 0, length = 0;
  Cubic half_width{}, half_depth{}, height{}, shape{};
  bool full = false;           // the shape is by definition min(half_width, half_depth) here; its cubic says the same
  bool corner_before = false;  // the curve breaks at t = begin
  Cubic twist{};               // radians, along the height above the span's beginning
  bool level_begin = false, level_end = false;  // horizontal there; both ends at one height: a level stretch
  bool level() const { return height[1] == 0 && height[2] == 0 && height[3] == 0; }
};

// Value, first and second derivative along t.
struct ProfileJet {
  SectionSize size, rate, rate2;
  double z = 0, z_t = 0, z_tt = 0;
  double twist = 0, twist_t = 0, twist_tt = 0;
};

// Guarantees: spans follow one another without gap; heights never fall along t and rise strictly but for level
// stretches; half sizes are positive.
class Profile {
 public:
  // Natural C2 cubic on chord length in (half_width, half_depth, height), broken at the ends and at every corner (two
  // neighbouring corners: a straight line); the shape by a monotone cubic (Fritsch and Carlson 1980, end slopes by the
  // three-point formula of Moler, Numerical Computing with MATLAB, section 3.4) broken at the same corners. The twist
  // is a monotone cubic along the height through the nodes that say one, unbroken, constant below the first and above
  // the last of them: a level stretch does not turn.
  //
  // At a level node that is no end of a straight stretch the height has slope 0 on either side (half sizes stay C2, the
  // tangent is continuous, the curvature may jump); two nodes of equal height make the curve level between them.
  // depth_factor: as in SectionType; not 0: the half depth is that of the regular section everywhere.
  // Findings: "profile.points", "profile.heights", "profile.axis", "profile.folds", "profile.level", "profile.twist"
  // (two at one height), each at "profile/<i>/<field>".
  static Result<Profile> through(const std::vector<ProfileNode>&, double depth_factor = 0);
  // Any piecewise cubic, for curves that come from elsewhere. Same findings; node_of_span[i] is the profile point that
  // span i starts at, for their paths (empty: its own index).
  static Result<Profile> of_spans(std::vector<ProfileSpan>, const std::vector<int>& node_of_span = {});

  const std::vector<ProfileSpan>& spans() const { return spans_; }
  double begin() const { return spans_.front().begin; }
  double end() const { return spans_.back().begin + spans_.back().length; }
  double low() const;   // height of the first point
  double high() const;  // height of the lip
  // First spans of the smooth segments between corners, and spans().size() at the end.
  const std::vector<int>& segments() const { return segments_; }
  int span_of(double t) const;
  ProfileJet at(int span, double t) const;
  ProfileJet at(double t) const { return at(span_of(t), t); }
  double at_height(double z) const;  // the t where the curve has this height (clamped; above a level stretch)
  double max_half_width() const;     // of the curve, not of the points
  double max_half_depth() const;
  bool twisted() const { return twisted_; }
  Profile untwisted() const;
  // With bow: size.bow is this many mm at half height, times (1 - s^2)^2 over s = -1 (foot) ... 1 (lip). The maxima
  // above know nothing of it.
  Profile crowned(double bow) const;
  double crown() const { return crown_; }
  Profile scaled(double girth, double height, bool shape_is_length) const;
  // The same with lengths in `unit` mm, values and slopes at the ends of its spans on a grid of 2^-36: curves that are
  // each other's multiples to rounding come out as one to the bit.
  Profile in_units(double unit, bool shape_is_length) const;
  static double on_grid(double);

 private:
  std::vector<ProfileSpan> spans_;
  std::vector<int> segments_;
  bool twisted_ = false;
  double crown_ = 0;
};

}  // namespace kerfkiln::urn
