#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {

const EdgeType kSquareEdge{
    "square", "Square", "The side face meets the flat at a right angle.", {}, [](std::span<const double>, double) {
      return EdgeProfile{};
    }};

}  // namespace kerfkiln::cushion
