// How a layer laid over the core bends down at a rim, in the plane normal to the rim: the path of its middle.
//
// n is measured outward from the rim (the core's outline, or the wall of a crease) in plan, z downward from the layer's
// middle on the face, s along the layer's middle from where the bend begins. All mm. A point of the layer at s lies in
// the flat pattern at the distance nu = s - start from the rim.
#pragma once
#include <functional>
#include <vector>

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

// Over an edge of the core: profile (1 - weight) from + weight to, and down to down_mm below the face at the rim (not
// less than the profile's drop). away_mm: of the layer's middle from the core. rise: of the face at an inset, edges
// apart; none where the face is level. Lengths of level faces and unblended profiles are exact (Steiner: the core's and
// a quarter turn at away_mm); others follow chords within 0.005 mm of the profile.
WrapSection edge_section(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm, double down_mm,
                         const std::function<double(double inset)>& rise = {});

// Folded over the lip of a crease and down its wall to the floor, squeezed to `folded` (reference part 4: half of the
// topper's extra, depth + folded / 2). to_middle_mm: from the wall to the middle of the crease.
WrapSection wall_section(double depth_mm, double folded_mm, double to_middle_mm);

// Cut off `reach_mm` outside the rim, on the face.
WrapSection butt_section(double reach_mm);

}  // namespace kerfkiln::cushion
