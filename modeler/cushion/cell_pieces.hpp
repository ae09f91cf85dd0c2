// What the solids of cells are made from: triangles by their sides.
#pragma once
#include <cstdint>
#include <vector>

#include "modeler/cushion/cells.hpp"

namespace kerfkiln::cushion {

inline constexpr std::uint32_t kNoSide = UINT32_MAX;
// For corner c = 3 t + k the corner whose side runs the other way, kNoSide on the outline.
std::vector<std::uint32_t> opposites(const std::vector<solid::Triangle>&, std::size_t points);

// Does the core or a layer touch itself: in an edge along which it is closed on both sides, or in a closed vertex whose
// triangles are not one open fan?
bool touches_itself(const Cells&);

}  // namespace kerfkiln::cushion
