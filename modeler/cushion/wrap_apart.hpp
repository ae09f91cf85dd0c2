// Flat patterns of pieces whose flaps would overlap when laid flat: what overlaps becomes strips of its own.
#pragma once
#include <string>
#include <vector>

#include "modeler/cushion/wrap_pattern.hpp"

namespace kerfkiln::cushion {

// A strip that is cut by itself: the lining of a hole through the cushion, or a flap that its pattern has no room for.
struct WrapStrip {
  std::string name;  // "hole 1", "piece 2, crease 1"
  double length_mm = 0, height_mm = 0;
};

struct LaidFlat {
  FlatPattern pattern;
  WrapPiece piece;  // as drawn: without the flaps that are strips
  std::vector<WrapStrip> strips;
  std::string crossing;  // where the pattern crosses itself if not ok
  bool ok = false, cut_apart = false;
};
// Only flaps that overlap are taken off, the rims of holes before walls of creases, walls before sides; of a side first
// what lies below its bend, then, where that of its partner is gone too, the bend; of two alike the shorter. The strip
// of a flap is as long as its lower edge along the layer's middle and as wide as the flap; the rims of holes leave none
// (their lining reaches up instead). name: of the piece; sides: by WrapEdge::side.
LaidFlat laid_flat(const WrapPiece&, const PatternRequest&, const std::string& name,
                   const std::vector<std::string>& sides);

}  // namespace kerfkiln::cushion
