// What lies over the core, and how much it takes off the sizes that the maker gave.
//
// From the outside in: cover, barrier, batting as compressed under the cover, topper. Cover and barrier are bags: they
// lie all round, underneath too. Batting and topper lie on the top and the sides and stop at the bottom edge.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Skin {
  std::string name;         // "cover"
  std::string material;     // as the design calls it
  double thickness_mm = 0;  // as worn
  std::string how;          // "20 mm loft at 50 %"
  bool underneath = false;
};

struct Skins {
  std::vector<Skin> layers;  // outermost first
  std::size_t given = 0;     // how many of them lie inside the given surface: the last `given` of layers
  // What they take off the given surface to reach the core, mm.
  double side_mm = 0, top_mm = 0, under_mm = 0;
};

// Findings: skins.given_at, material.unknown (nearest name offered), skins.thickness (negative or beyond 1 m),
// skins.unknown (a material without a thickness).
Result<Skins> skins_of(const Spec&, const material::Library&);

// The profile of the core's edge, given the one wanted on a surface that lies `side_mm` outside it and `face_mm` above
// (or below) it: the parallel curve where that is again one of our profiles.
//   round r -> round r - s;   chamfer [a, b] -> its line moved inward by s, exact;   square, bullnose: themselves;
//   ellipse [a, b] -> [a - side, b - face]: exact at both ends, between them off the true parallel curve by
//   `deviation_mm`. A round under unequal skins becomes such an ellipse.
// `consumed`: the wanted rounding is smaller than the skins that have to bend round it; the core edge is then square.
struct CoreEdge {
  EdgeSpec edge;
  bool consumed = false;
  double deviation_mm = 0;
};
CoreEdge core_edge(const EdgeSpec&, double side_mm, double face_mm);

// The chain as printed: outer -> ... -> core, sizes by plane::offset of the given outline.
struct ChainSizes {
  std::string surface;
  double side_mm = 0;  // signed distance from the given surface, outward positive
  double width_mm = 0, depth_mm = 0, height_mm = 0;
  double corner_mm = -1;  // smallest convex corner radius of the outer loop; -1 where no corner has one
};
Result<std::vector<ChainSizes>> chain_sizes(const plane::Outline& given, double core_height_mm, const Skins&);
product::Table chain_table(const std::vector<ChainSizes>&, const Skins&);

}  // namespace kerfkiln::cushion
