// Is a mesh closed? Linear in the number of triangles, without any library: cheap enough for every frame.
#pragma once
#include <cstdint>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// For corner c = 3 * triangle + k the side from triangle[k] to triangle[(k + 1) % 3]; opposite[c] is the corner whose
// side runs the other way.
struct Sides {
  std::vector<std::uint32_t> opposite;
  static constexpr std::uint32_t none = 0xffffffffu;
};

// Findings of a mesh that is not closed and manifold, at most three places of each code:
//   "solid.index"        a triangle names a point that does not exist, or a point is not finite
//   "solid.degenerate"   a triangle names a point twice or has no area
//   "solid.open"         an edge with one triangle, or an empty mesh
//   "solid.nonmanifold"  an edge with more than two triangles or two that run the same way; a point with several fans
Findings check_closed(const Mesh&);
Findings check_closed(const Mesh&, Sides& sides);  // sides complete if there are no findings

// The shells of a closed mesh: for each triangle the number of its shell, counted from 0 in the order of their first
// triangle.
struct Shells {
  std::vector<std::uint32_t> of_triangle;
  std::uint32_t count = 0;
};
Shells shells(const Mesh&, const Sides&);

// How often a closed mesh winds around a point off its surface (solid angle / 4 pi, rounded): 1 inside an outward
// shell.
int winding(const Mesh&, Vec3);

}  // namespace kerfkiln::solid
