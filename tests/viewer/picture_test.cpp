// Normals and inked edges against forms whose normals are known in closed form.
#include "viewer/state/picture.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>

namespace kerfkiln::viewer {
namespace {

solid::Mesh box() {
  solid::Mesh m;
  for (int i = 0; i < 8; ++i) m.points.push_back({i & 1 ? 3.0 : 0, i & 2 ? 4.0 : 0, i & 4 ? 5.0 : 0});
  m.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                 {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return m;
}

solid::Mesh cylinder(unsigned n, double r, double h) {
  solid::Mesh m;
  for (double z : {0.0, h})
    for (unsigned i = 0; i < n; ++i)
      m.points.push_back({r * std::cos(2 * std::numbers::pi * i / n), r * std::sin(2 * std::numbers::pi * i / n), z});
  m.points.push_back({0, 0, 0}), m.points.push_back({0, 0, h});
  for (unsigned i = 0; i < n; ++i) {
    const unsigned j = (i + 1) % n;
    m.triangles.push_back({i, j, n + j}), m.triangles.push_back({i, n + j, n + i});
    m.triangles.push_back({2 * n, j, i}), m.triangles.push_back({2 * n + 1, n + i, n + j});
  }
  return m;
}

Vec3 wide(const std::array<float, 3>& a) { return {a[0], a[1], a[2]}; }

// A box has 12 edges, none on the diagonals of its faces, and each corner three normals (8 x 3 = 24), all along axes.
TEST(Picture, ABoxIsSharp) {
  const Picture p = picture_of(box());
  EXPECT_EQ(p.vertices.size(), 24U);
  EXPECT_EQ(p.edges.size(), 2 * 12U);
  EXPECT_EQ(p.triangles.size(), 36U);
  for (const PictureVertex& v : p.vertices) {
    const Vec3 n = wide(v.normal);
    EXPECT_NEAR(std::abs(n.x) + std::abs(n.y) + std::abs(n.z), 1, 1e-6);
  }
  for (std::size_t i = 0; i < p.edges.size(); i += 2) {
    const Vec3 d = wide(p.vertices[p.edges[i]].at) - wide(p.vertices[p.edges[i + 1]].at);
    EXPECT_EQ((d.x != 0) + (d.y != 0) + (d.z != 0), 1);  // along an axis
  }
  EXPECT_EQ(p.high, (Vec3{3, 4, 5}));
  EXPECT_EQ(p.low, (Vec3{0, 0, 0}));
}

// The normal of a cylinder's side is radial, of its ends axial; only the two rims are inked.
TEST(Picture, ACylinderIsRoundAroundAndSharpAtTheRims) {
  const unsigned n = 48;
  const Picture p = picture_of(cylinder(n, 10, 20));
  EXPECT_EQ(p.edges.size(), 2 * 2 * n);
  std::size_t radial = 0;
  for (const PictureVertex& v : p.vertices) {
    const Vec3 at = wide(v.at), normal = wide(v.normal);
    if (std::abs(normal.z) > 0.5) {
      EXPECT_NEAR(std::abs(normal.z), 1, 1e-6);
    } else {
      EXPECT_NEAR(dot(normal, Vec3{at.x / 10, at.y / 10, 0}), 1, 1e-6);
      ++radial;
    }
  }
  EXPECT_EQ(radial, 2 * n);
}

TEST(Picture, TheRuleDecidesWhatIsInked) {
  const Picture p = picture_of(box(), {3.0, 3.0, 0});  // everything smooth
  EXPECT_EQ(p.vertices.size(), 8U);
  EXPECT_TRUE(p.edges.empty());
}

TEST(Picture, OpenEdgesAreInked) {
  solid::Mesh m{{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {{0, 1, 2}}};
  EXPECT_EQ(picture_of(m).edges.size(), 6U);
  EXPECT_TRUE(picture_of({}).vertices.empty());
}

}  // namespace
}  // namespace kerfkiln::viewer
