// Smooth plane curves as chains of circular arcs, for templates and drawings.
#pragma once
#include <functional>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

struct CurvePoint {
  Vec2 at;
  Vec2 tangent;  // in the direction of growing t, any length but zero
};
using CurveFunction = std::function<CurvePoint(double t)>;

// An open chain of arcs and lines through curve(from) ... curve(to), tangent to the curve at each of its joints with
// the next pair of arcs (biarcs: Bolton, Biarc curves, Computer-Aided Design 7(2) 1975, from memory). Guarantees at the
// sampled points of each piece: curve within `tolerance_mm` of the chain. The curve must be smooth between from and to;
// break it at its corners. The last vertex carries bulge 0. side is put on every vertex.
Loop fitted(const CurveFunction& curve, double from, double to, double tolerance_mm, int side = 0);

}  // namespace kerfkiln::plane
