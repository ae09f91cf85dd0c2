#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {
namespace {
constexpr EdgeLength kLengths[] = {
    {"inset", "Run", "How far in from the side the bevel begins.", kSmallestSizeMm, kLargestSizeMm, 15},
    {"drop", "Drop", "How far the bevel has fallen at the side face.", kSmallestSizeMm, kLargestSizeMm, 15}};
}

const EdgeType kChamferEdge{"chamfer", "Chamfer", "A flat bevel between side face and flat.", kLengths,
                            [](std::span<const double> x, double) { return straight(x[0], x[1]); }};

}  // namespace kerfkiln::cushion
