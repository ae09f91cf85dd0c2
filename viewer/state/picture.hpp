// A mesh made ready for drawing: corner normals and the edges a draughtsman would ink. No OpenGL here, so that the
// work happens on the evaluation thread and a frame only uploads.
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "modeler/solid/mesh.hpp"
#include "modeler/solid/shading.hpp"

namespace kerfkiln::viewer {

struct PictureVertex {
  std::array<float, 3> at;      // mm
  std::array<float, 3> normal;  // unit
};
struct Picture {
  std::vector<PictureVertex> vertices;
  std::vector<std::uint32_t> triangles;  // three indices each
  std::vector<std::uint32_t> edges;      // two indices each
  Vec3 low, high;                        // bounds; low > high when empty
};

// Shaded, and its creases inked, as solid::shading has it. Linear in the triangles.
Picture picture_of(const solid::Mesh&, const solid::CreaseRule& = {});

}  // namespace kerfkiln::viewer
