// Boards with a profile cut into their edge: gauges and ribs. Internal to the urn.
#pragma once
#include <string>
#include <vector>

#include "modeler/product/product.hpp"

namespace kerfkiln::urn {

struct BoardMark {
  double reach = 0, height = 0;  // where the edge should be, from axis and foot
  std::string text;
};
// edge: open chain from foot to lip in (distance from the axis, height). The work lies left of the board; the board
// stands on the bat, so its lower edge is the heel. words: along the back, the first larger.
product::Sketch profile_board(const plane::Loop& edge, double widest, const std::vector<BoardMark>& marks,
                              const std::vector<std::string>& words);

}  // namespace kerfkiln::urn
