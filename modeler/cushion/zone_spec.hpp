// Parts of a layer in another foam, as the maker typed them.
#pragma once
#include <string>

#include "modeler/cushion/outline_spec.hpp"

namespace kerfkiln::cushion {

// The band along one side of the core: all that lies within `width` of the side, the side run on straight round
// corners.
struct StripSpec {
  std::string side;
  Length width;
  bool known() const { return !side.empty() || width.known(); }
};
// One of the two says where.
struct ZoneSpec {
  std::string foam;
  StripSpec strip;
  PlacedOutlineSpec outline;
};

void describe(Visitor&, ZoneSpec&);

}  // namespace kerfkiln::cushion
