// Crown and contour as the maker typed them.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln::cushion {

struct CrownSpec {
  Length top, bottom;  // how far the middle stands out beyond the outline; unknown: flat
};

struct HeightPointSpec {
  Length at, height;
};

// A straight slope from one side of the outline's box to the other: heights at its ends.
struct WedgeSpec {
  Length front, back, left, right;
};
// Raised flanks: full height at the side, level for a third of the width, then down to nothing.
struct BolstersSpec {
  Length width, height;
  std::string sides = "both";  // both, left, right
};
// A bulge right across: its crest at `at` behind the front, over `width` front to back.
struct LumbarSpec {
  Length at, height, width;
};

struct ContourSpec {
  std::vector<HeightPointSpec> along_depth, across_width;
  WedgeSpec wedge;
  BolstersSpec bolsters;
  LumbarSpec lumbar;
};

void describe(Visitor&, CrownSpec&);    // the members of "crown"
void describe(Visitor&, ContourSpec&);  // the members of "contour"

}  // namespace kerfkiln::cushion
