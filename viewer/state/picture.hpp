// A mesh made ready for drawing: corner normals and the edges a draughtsman would ink. No OpenGL here, so that the
// work happens on the evaluation thread and a frame only uploads.
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "modeler/solid/mesh.hpp"

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

inline constexpr double kFeatureAngleRad = 0.6981317007977318;  // 40 degrees: facets of a small round stay smooth

// Faces that meet at less than `feature_rad` share their normals (weighted by corner angle, so that the pattern of
// triangulation does not show); other edges, and open ones, are inked. Linear in the triangles.
Picture picture_of(const solid::Mesh&, double feature_rad = kFeatureAngleRad);

}  // namespace kerfkiln::viewer
