#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {
namespace {
constexpr EdgeLength kLengths[] = {
    {"radius", "Radius", "Radius of the quarter circle between side face and flat; 0 leaves the edge square.", 0,
     kLargestSizeMm, 20}};
}

const EdgeType kRoundEdge{
    "round", "Round", "A quarter circle from the side face to the flat.", kLengths,
    [](std::span<const double> x, double) { return x[0] > 0 ? quarter_ellipse(x[0], x[0]) : EdgeProfile{}; }};

}  // namespace kerfkiln::cushion
