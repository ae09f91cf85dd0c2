// The places on the outline where gauges are held.
#pragma once
#include <string>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

struct Station {
  std::string mark;  // "F1"
  Vec2 at, inward;   // unit
  int side = 0;
};

// Three a side in the middle and one sixth from its ends, one in the middle of sides shorter than 150 mm; sides of more
// than one segment are treated segment by segment, segments below 20 mm get none. Marks are the initial of the name
// where no other side has it, else the number of the side, then the count: F1, F2, ... or 3.1, 3.2.
std::vector<Station> stations_of(const plane::Outline&, const std::vector<std::string>& shown);

std::vector<std::string> marks_of(const std::vector<Station>&, const std::vector<int>& sides);

}  // namespace kerfkiln::cushion
