// Pockets, the base board and tapes of the underside, as the maker typed them.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/cushion/outline_spec.hpp"

namespace kerfkiln::cushion {

// A lid of board and foam that lies flush in the mouth of a pocket from the top.
struct LidSpec {
  std::string foam;
  Length foam_thickness, board_thickness;
  Length lip;              // how far the lid rests on the foam around the cavity
  std::string board = {};  // its material; kDefaultBoard if not named
};
struct PocketSpec {
  std::string from = "bottom";  // bottom, top or the name of a straight side
  // In plan; of a side in its vertical plane: along the side as seen from outside, up from the underside.
  PlacedOutlineSpec outline;
  Length depth;
  LidSpec lid;
  bool lining = false;
  bool lidded() const { return !lid.foam.empty(); }
};

struct BoardHoleSpec {
  Length x, y, diameter;
  std::string insert;  // what is driven into it: printed; empty: a plain hole
};
struct BoardSpec {
  std::string material;
  Length thickness;
  Density density;
  Length inset;  // smaller than the core on every side
  std::vector<BoardHoleSpec> holes;
  Length wrap_under;  // of the cover, stapled under the board
  bool known() const { return !material.empty(); }
};

struct TapePointSpec {
  Length x, y;
};
struct UndersideSpec {
  Length tape;
  std::vector<TapePointSpec> path;
};

void describe(Visitor&, PocketSpec&);
void describe(Visitor&, BoardSpec&);
void describe(Visitor&, UndersideSpec&);

}  // namespace kerfkiln::cushion
