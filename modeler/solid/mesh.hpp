// Triangle meshes as plain indexed arrays: pictures of a form, never its definition. Millimetres, outward triangles
// counter-clockwise seen from outside.
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "modeler/base/vec.hpp"

namespace kerfkiln::solid {

using Triangle = std::array<std::uint32_t, 3>;
struct Mesh {
  std::vector<Vec3> points;
  std::vector<Triangle> triangles;
};

double volume(const Mesh&);  // mm3, signed, by the divergence theorem
double area(const Mesh&);    // mm2
Vec3 centroid(const Mesh&);  // of the enclosed volume
struct Box3 {
  Vec3 low, high;
};
Box3 bounds(const Mesh&);

}  // namespace kerfkiln::solid
