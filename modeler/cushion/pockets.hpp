// Pockets cut into the foam from the top, the underside or a side: where they lie, what they leave.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/crease.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/pocket_spec.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

struct Pocket {
  enum class From { bottom, top, side };
  std::string name, field;  // "pocket 1", "pockets/0"
  From from = From::bottom;
  std::string side_name;   // as on documents
  plane::Outline outline;  // in plan; of a side's pocket in the side's plane (along from its left end, up)
  double depth_mm = 0;
  double floor_mm = 0, wall_mm = 0;  // least foam that stays under the floor, around the walls
  double volume_mm3 = 0;             // foam taken out, the lid's seat included
  bool lining = false;
  // A lid and what it rests on. The seat is the cavity's outline grown by the lip.
  struct Lid {
    std::string foam, board;  // materials
    double foam_mm = 0, board_mm = 0, clearance_mm = 0;
    plane::Outline seat, piece;
    double cavity_mm3 = 0;
    double thickness() const { return foam_mm + board_mm; }
  };
  std::optional<Lid> lid;
  // Of a side's pocket: the left end of the side seen from outside, along it, and into the foam.
  Vec2 origin, along, inward;
};

struct Pockets {
  std::vector<Pocket> list;
  Findings notes;
};

// cover_mm: for the clearance of lids, two thicknesses and 2 mm (reference part 3). side_names as on documents, by
// index of the outline's sides. Findings pocket.from, pocket.depth, pocket.lid, pocket.side, pocket.wall,
// pocket.through, pocket.overlap, and those of the outline; warnings pocket.thin_wall, pocket.thin_floor,
// pocket.crease, pocket.near.
Result<Pockets> pockets_of(const std::vector<PocketSpec>&, const plane::Outline& given, bool mirrored, const Form&,
                           const std::vector<std::string>& side_names, double cover_mm, const std::vector<Crease>&);

}  // namespace kerfkiln::cushion
