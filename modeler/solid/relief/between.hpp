// A solid between two height fields over one plan triangulation: vertical walls where the plan ends, nothing where the
// heights are equal.
#pragma once
#include <span>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// lower[i] <= upper[i] over plan[i]; triangles counter-clockwise seen from above. Vertices with equal heights are
// united; triangles with no height at any corner vanish. Where parts of the solid meet in a single vertex, each part
// gets its own.
Mesh between(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const double> lower,
             std::span<const double> upper);

// Connected parts of that solid.
std::size_t parts_between(std::span<const Triangle> triangles, std::span<const double> lower,
                          std::span<const double> upper);

}  // namespace kerfkiln::solid
