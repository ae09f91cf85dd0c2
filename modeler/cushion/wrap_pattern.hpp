// The flat pattern of one piece of a layer that is laid over the core and bent down at its rims.
//
// On the face the pattern is the plan. Beyond each rim stands a flap as long as the layer's middle. Where two flaps
// meet they are cut so that their edges come together at the layer's middle:
//   a convex corner, sharp or rounded by less than the layer's thickness, or by less than the edge runs in: one notch;
//     between square flaps it is square, at any angle it follows the bisector
//   a round corner or rim of plan radius R and turn P: wedges. At s the middle has P (R + n) of arc and the pattern
//     P (R + nu): each of N wedges is P (nu - n) / N wide there. N is as small as keeps their mouths to kWidestWedgeMm,
//     and smaller where the fingers between them would be narrower than the layer is thick, or their roots than
//     kLeastRootMm
//   a concave corner or rim: the flat has too little; slits that open, filled by inserts of that width
// Arcs whose excess is less than kMostEase of their length are eased in, not cut.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "modeler/cushion/wrap_section.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

inline constexpr double kWidestWedgeMm = 25;  // of a wedge's mouth (common practice)
inline constexpr double kLeastRootMm = 5;     // of a finger between two wedges, where they begin (common practice)
inline constexpr double kMostEase = 0.05;     // pressed or stretched in along an edge without a cut (common practice)

// One segment of a rim, the piece on its left.
struct WrapEdge {
  enum class Kind { side, corner, wall, butt };
  plane::Segment rim;
  Kind kind = Kind::side;
  int side = -1;                                 // of sides and corners: index into the outline's sides
  int crease = -1, run = -1;                     // of walls
  bool varies = false;                           // the section is not the same all along
  std::function<WrapSection(double t)> section;  // t as of the segment
};
using WrapLoop = std::vector<WrapEdge>;
struct WrapPiece {
  std::vector<WrapLoop> loops;  // the outer one first
};

struct PatternSeam {  // two edges that are joined when the piece is laid over the core
  enum class Kind { notch, wedge, insert };
  Kind kind = Kind::notch;
  Vec2 at;  // where it begins
  double first_mm = 0, second_mm = 0;
  double mouth_mm = 0;  // width at the pattern's edge
};
struct PatternInsert {
  plane::Outline outline;  // point downward at the origin
  int count = 1;
  double edge_mm = 0;  // of the slit that it fills
  Vec2 at;
};
struct FlatPattern {
  plane::Outline outline;
  std::vector<std::vector<int>> drawn_by;         // of the outline's segments: the edge of the piece's loop
  std::vector<plane::Loop> slits;                 // open cuts
  std::vector<plane::Loop> fold_start, fold_end;  // open chains: where the bend begins and ends
  std::vector<plane::Loop> relief;                // along bends whose skin is strained too much
  std::vector<plane::Loop> feather;               // where the feathered band along the lower edge begins
  std::vector<PatternSeam> seams;
  std::vector<PatternInsert> inserts;
  double ease = 0;       // largest share by which an uncut arc is pressed or stretched along its edge
  double excess_mm = 0;  // that all wedges take out at the pattern's edge
  double area_mm2() const { return plane::area(outline); }
};

struct PatternRequest {
  double thickness_mm = 0;  // corners rounded by less are notched
  // Where a point of the face lies in the flat; none: where it is.
  std::function<Vec2(Vec2)> unrolled;
  // Whether the skin of an edge is strained too much (by WrapEdge); none: no relief lines.
  std::function<bool(const WrapEdge&)> relieved;
  double feather_mm = 0;  // width of the band along the lower edges; 0: none
};
// Precondition: loops closed, segments longer than 0.001 mm. The outline may cross itself where flaps overlap in the
// flat: plane::check_outline tells.
FlatPattern flat_pattern(const WrapPiece&, const PatternRequest&);

}  // namespace kerfkiln::cushion
