#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {
namespace {
constexpr EdgeLength kLengths[] = {
    {"inset", "Run", "How far in from the side the curve begins.", kSmallestSizeMm, kLargestSizeMm, 60},
    {"drop", "Drop", "How far the curve has fallen at the side face.", kSmallestSizeMm, kLargestSizeMm, 40}};
}

const EdgeType kEllipseEdge{"ellipse", "Ellipse", "A quarter ellipse; a waterfall front when it is large.", kLengths,
                            [](std::span<const double> x, double) { return quarter_ellipse(x[0], x[1]); }};

}  // namespace kerfkiln::cushion
