// Which side of a triangle runs along which of another: adjacency of a plan triangulation.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

inline constexpr std::uint32_t kNoSide = UINT32_MAX;
// For corner c = 3 t + k, whose side runs from corner k of triangle t to the next one: the corner whose side runs the
// other way, kNoSide where none does. No two sides run the same way; corners below `points`.
std::vector<std::uint32_t> opposites(std::span<const Triangle> triangles, std::size_t points);

}  // namespace kerfkiln::solid
