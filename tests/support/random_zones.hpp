// Seeded zones for random cushions.
#pragma once
#include <cstdint>

#include "modeler/cushion/spec.hpp"

namespace kerfkiln::test {

// To some layers of some cushions a strip along a side, an outline in the middle, or both, wherever they divide the
// core: rectangles with corner radii and discs, that may run out over the edge.
void add_random_zones(cushion::Spec&, std::uint64_t seed);

}  // namespace kerfkiln::test
