// A solid between two surfaces over one plan triangulation that may jump from triangle to triangle: vertical walls
// where they do and where the triangulation ends.
#pragma once
#include <cstdint>
#include <span>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// opposite: of the triangles' sides (sides.hpp). lower and upper hold three heights a triangle, at its corners, lower
// <= upper. Triangles run counter-clockwise seen from above, share whole edges and do not overlap. Precondition: along
// an edge, no two of the (up to four) surfaces that meet there cross between its ends. Vertices are keyed by (plan
// vertex, height); walls are split at every height that any triangle has at their ends, so that facets meet edge to
// edge. Where parts of the solid touch in an edge or a vertex only, each gets its own. Triangles without height at any
// corner vanish.
Mesh stepped(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const std::uint32_t> opposite,
             std::span<const double> lower, std::span<const double> upper);

}  // namespace kerfkiln::solid
