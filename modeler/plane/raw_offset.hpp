// The untrimmed parallel curve of a loop, piece by piece.
#pragma once
#include <vector>

#include "modeler/plane/curve.hpp"
#include "modeler/plane/offset.hpp"

namespace kerfkiln::plane {

struct RawPiece {
  Curve curve;
  int side = -1;
  // The next piece of the loop starts where this one ends. Where it does not (the corner closes, and the two cross
  // before they end, or an arc between them has turned inside out), the ends lie within |shift| of the source and are
  // no part of the result.
  bool linked = false;
};

// The corner of a mitre, beyond the reach of the distance: source vertex, end before, tip, end after.
struct Kite {
  Vec2 at, from, tip, to;
};

struct RawLoop {
  std::vector<RawPiece> pieces;
};

// Source curves of one loop without segments of no length.
struct SourceLoop {
  std::vector<Curve> curves;
  std::vector<int> sides;
};
SourceLoop source_loop(const Loop&);

// Every segment moved to its left by shift (negative: to its right). Corners that open get arcs (or mitres, the tips
// added to kites), corners that close between lines are cut back to their crossing where both lines are long enough
// for it, arcs that turn inside out are left out.
RawLoop raw_offset(const SourceLoop&, double shift, Join, std::vector<Kite>& kites);

}  // namespace kerfkiln::plane
