// One declaration a type; table.cpp lists them.
#pragma once
#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/edge/edge_type.hpp"

namespace kerfkiln::cushion {

extern const EdgeType kSquareEdge, kRoundEdge, kEllipseEdge, kChamferEdge, kBullnoseEdge;

}  // namespace kerfkiln::cushion
