#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {

const EdgeType kBullnoseEdge{"bullnose",
                             "Bullnose",
                             "A quarter circle of half the height; top and bottom together make a half round.",
                             {},
                             [](std::span<const double>, double height) {
                               return height > 0 ? quarter_ellipse(height / 2, height / 2) : EdgeProfile{};
                             }};

}  // namespace kerfkiln::cushion
