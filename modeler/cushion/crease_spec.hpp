// Creases as the maker typed them.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln::cushion {

struct CreasePoint {
  Length x, y;
  Plain bulge;  // of the stretch that starts here
};
// Two families of slanting creases that bound diamonds, about the middle of the piece.
struct DiamondSpec {
  Length width, length;  // of a diamond, across and front to back
  Length margin;         // left free along the outline; unknown: the creases run out over the edge
};
struct ChannelSpec {
  Length spacing;
  std::string direction = "front to back";  // or "left to right"
  Length margin;
};
// Exactly one of path, points, diamonds and channels.
struct CreaseSpec {
  std::vector<CreasePoint> path;    // [[x, y], ...]: straight or bent
  std::vector<CreasePoint> points;  // each {at, bulge}: with arcs
  bool closed = false;
  DiamondSpec diamonds;
  ChannelSpec channels;
  std::string cut = "slit";  // or "trench"
  Length depth, kerf, tape;
};

void describe(Visitor&, CreaseSpec&);

}  // namespace kerfkiln::cushion
