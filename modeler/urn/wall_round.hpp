// The inside of a round form, in the profile plane. Internal to the wall.
#pragma once
#include <optional>
#include <vector>

#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

// The normal offset of the profile at t by `wall` towards the axis: (r, z), and how its height moves along t.
struct OffsetPoint {
  Vec2 at;
  Vec2 normal;     // unit, outward
  double stretch;  // 1 - wall * curvature: the offset runs backwards where it is negative
  double speed;    // |dP/dt| of the outside
};
OffsetPoint offset_point(const Profile&, int span, double t, double wall);
double offset_height(const Profile&, int span, double t, double wall);

// Where the inside leaves out part of the offset between two pieces.
struct Trim {
  Vec2 at;               // distance from the axis and height of the kink, where the clay is thickest
  bool corner = false;   // the part left out holds a corner of the profile
  bool upright = false;  // along a corner of the section
  double thickness = 0;  // of the clay there: from the kink to the farthest outside that it leaves out
};
struct RoundInside {
  std::vector<InnerPiece> pieces;  // floor to lip, by rising z, without gap
  std::vector<Trim> trims;
  double narrowest = 0, narrowest_z = 0;  // smallest radius of the inside (may be negative: closed)
};
RoundInside round_inside(const Form&, double wall, double floor);

// Radius of a piece at height z, and the place along it. A level piece answers with the radius at its end.
struct PiecePoint {
  double r = 0;
  double t = 0;  // offset pieces
  Vec2 normal;   // (radial, z), outward, into the clay
};
PiecePoint piece_at(const Profile&, const InnerPiece&, double wall, double z);
const InnerPiece& piece_of(const std::vector<InnerPiece>&, double z);

}  // namespace kerfkiln::urn
