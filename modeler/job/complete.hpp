// Is every value there that a builder relies on?
#pragma once
#include "modeler/job/design.hpp"

namespace kerfkiln::job {

// Empty, or one finding "piece.incomplete" (path empty) that lists the required values which are unknown and the values
// outside their permitted range, by path below the piece.
Findings incomplete(const Piece&);

}  // namespace kerfkiln::job
