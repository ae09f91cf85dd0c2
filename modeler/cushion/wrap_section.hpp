// How a layer laid over the core bends down at a rim, in the plane normal to the rim: the path of its middle.
//
// n is measured outward from the rim (the core's outline, or the wall of a crease) in plan, z downward from the layer's
// middle on the face, s along the layer's middle from where the bend begins. All mm. A point of the layer at s lies in
// the flat pattern at the distance nu = s - start from the rim.
#pragma once
#include <functional>
#include <vector>

#include "modeler/base/vec.hpp"
#include "modeler/cushion/edge/edge_type.hpp"

namespace kerfkiln::cushion {

struct WrapSection {
  struct Point {
    double s = 0, n = 0, z = 0;
  };
  std::vector<Point> points;  // two or more, s not falling, z not falling
  double start_mm = 0;        // the bend begins this far inside the rim: n = -start at s = 0
  double fold_end_s = 0;      // where it has turned down
  double beyond_n = 0;        // below the layer's lower end a neighbour's flap reaches to here

  double length() const { return points.back().s; }
  double reach() const { return length() - start_mm; }  // of the pattern beyond the rim
  double n_end() const { return points.back().n; }
  double z_end() const { return points.back().z; }
  double n_at(double s) const;
  double z_at(double s) const;
  Point at_level(double z) const;  // the lowest point at that level; beyond_n below the end
};

// Over an edge of the core whose profile is from (1 - weight) + to weight. away_mm: of the layer's middle from the
// core. What does not hang on the face or the depth is worked out once.
class EdgeBend {
 public:
  EdgeBend(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm);
  // Down to down_mm below the face at the rim (not less than the profile's drop). rise: of the face at an inset, edges
  // apart; none where the face is level. Lengths of level faces and unblended profiles are exact (Steiner: the core's
  // and a quarter turn at away_mm); others follow chords within 0.005 mm of the profile.
  WrapSection section(double down_mm, const std::function<double(double inset)>& rise = {}) const;

 private:
  struct Corner {
    std::vector<Vec2> middle;  // points of the layer's middle about it: one where the profile goes on smoothly
    Vec2 beyond;               // at the rim: the point that ends a smooth bend
    bool smooth = true;
  };
  double away_, drop_;
  std::vector<double> insets_;  // falling to 0
  std::vector<Vec2> flat_;      // of the profile at each, from the face at the rim
  std::vector<Corner> corners_;
  double exact_mm_ = 0;  // length of the bend over a level face where it is known; else 0
};

// By itself.
WrapSection edge_section(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm, double down_mm,
                         const std::function<double(double inset)>& rise = {});

// Folded over the lip of a crease and down its wall to the floor, squeezed to `folded` (reference part 4: half of the
// topper's extra, depth + folded / 2). to_middle_mm: from the wall to the middle of the crease.
WrapSection wall_section(double depth_mm, double folded_mm, double to_middle_mm);

// Cut off `reach_mm` outside the rim, on the face.
WrapSection butt_section(double reach_mm);

}  // namespace kerfkiln::cushion
