// Creases and normals against forms whose edges and normals are known in closed form.
#include "modeler/solid/shading.hpp"

#include <gtest/gtest.h>

#include "tests/modeler/solid/shapes.hpp"

namespace kerfkiln::solid {
namespace {

using std::numbers::pi;

// A closed round form from its profile (r, z), bottom to top, with a fan at both ends.
Mesh turned(const std::vector<std::pair<double, double>>& profile, std::uint32_t n) {
  Mesh m;
  for (const auto& [r, z] : profile)
    for (std::uint32_t i = 0; i < n; ++i)
      m.points.push_back({r * std::cos(2 * pi * i / n), r * std::sin(2 * pi * i / n), z});
  const auto rings = static_cast<std::uint32_t>(profile.size());
  m.points.push_back({0, 0, profile.front().second}), m.points.push_back({0, 0, profile.back().second});
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t j = (i + 1) % n, top = (rings - 1) * n;
    for (std::uint32_t k = 0; k + 1 < rings; ++k) {
      m.triangles.push_back({k * n + i, k * n + j, (k + 1) * n + j});
      m.triangles.push_back({k * n + i, (k + 1) * n + j, (k + 1) * n + i});
    }
    m.triangles.push_back({rings * n, j, i}), m.triangles.push_back({rings * n + 1, top + i, top + j});
  }
  return m;
}

// A plate of 200 x 100, a point every 2 mm, with a roof along the middle: a ridge whose slopes fall to 0 towards its
// ends. `half` is half its length, `middle` its place in x.
Mesh plate_with_ridge(double half, double slope, double middle = 0) {
  Mesh m;
  for (std::uint32_t j = 0; j <= 50; ++j)
    for (std::uint32_t i = 0; i <= 100; ++i) {
      const double x = 2.0 * i - 100, y = 2.0 * j - 50;
      const double fall = std::max(0.0, 1 - (x - middle) * (x - middle) / (half * half));
      m.points.push_back({x, y, std::max(0.0, fall * slope * (6 - std::abs(y)))});
    }
  for (std::uint32_t j = 0; j < 50; ++j)
    for (std::uint32_t i = 0; i < 100; ++i) {
      const std::uint32_t a = j * 101 + i;
      m.triangles.push_back({a, a + 1, a + 102});
      m.triangles.push_back({a, a + 102, a + 101});
    }
  return m;
}

double inner_length(const Mesh& m, const Shading& s) {
  double sum = 0;
  for (const Crease& c : s.creases)
    for (const std::uint32_t p : c.points)
      if (std::abs(m.points[p].y) < 1e-9 && std::abs(m.points[p].x) < 99) sum += 2;
  return sum;
}

// 12 edges of 4 x (100 + 50 + 25) mm, none across a face; three normals at each corner.
TEST(Shading, ABoxHasTwelveCreases) {
  const Mesh m = box_mesh({0, 0, 0}, {100, 50, 25});
  const Shading s = shading(m);
  ASSERT_EQ(s.creases.size(), 12u);
  double length = 0;
  for (const Crease& c : s.creases) {
    EXPECT_EQ(c.points.size(), 2u);
    length += c.length;
  }
  EXPECT_DOUBLE_EQ(length, 700);
  ASSERT_EQ(s.point.size(), 24u);
  ASSERT_EQ(s.corner.size(), 36u);
  for (std::size_t i = 0; i < 36; ++i) EXPECT_EQ(s.point[s.corner[i]], m.triangles[i / 3][i % 3]);
}

// Short edges of a thin board hang on long ones: all 12 stay.
TEST(Shading, AThinBoardKeepsItsShortEdges) {
  EXPECT_EQ(shading(box_mesh({0, 0, 0}, {800, 600, 0.5})).creases.size(), 12u);
}

// Two closed circles, each the perimeter of a regular polygon, 2 n r sin(pi / n); normals radial between them.
TEST(Shading, ACylinderHasTwoCircles) {
  const std::uint32_t n = 48;
  const Shading s = shading(turned({{10, 0}, {10, 20}}, n));
  ASSERT_EQ(s.creases.size(), 2u);
  for (const Crease& c : s.creases) {
    EXPECT_EQ(c.points.size(), n + 1);
    EXPECT_EQ(c.points.front(), c.points.back());
    EXPECT_NEAR(c.length, 2 * n * 10 * std::sin(pi / n), 1e-9);
  }
  for (std::size_t i = 0; i < s.point.size(); ++i)
    if (std::abs(s.normal[i].z) < 0.5) {
      const double turn = 2 * pi * (s.point[i] % n) / n;
      EXPECT_NEAR(dot(s.normal[i], Vec3{std::cos(turn), std::sin(turn), 0}), 1, 1e-12);
    }
}

// Even where the facets of the round turn by more than the trailing angle: 360 / 12 = 30 degrees.
TEST(Shading, TrailingCreasesDoNotClimbARound) {
  EXPECT_EQ(shading(turned({{10, 0}, {10, 20}}, 12)).creases.size(), 2u);
}

TEST(Shading, ASmoothBodyHasNoCrease) {
  const double R = 80, r = 30;
  const std::uint32_t n = 120, around = 80;
  const Shading s = shading(torus_mesh(R, r, n, around));
  EXPECT_TRUE(s.creases.empty());
  ASSERT_EQ(s.point.size(), n * around);
  for (std::size_t i = 0; i < s.point.size(); ++i) {
    const double u = 2 * pi * (s.point[i] / around) / n, v = 2 * pi * (s.point[i] % around) / around;
    const Vec3 out{std::cos(v) * std::cos(u), std::cos(v) * std::sin(u), std::sin(v)};
    EXPECT_GT(dot(s.normal[i], out), std::cos(0.03));  // radians; facets turn by 0.08
  }
  std::vector<std::pair<double, double>> profile;
  for (int i = 1; i < 60; ++i) profile.push_back({50 * std::sin(pi * i / 60), -50 * std::cos(pi * i / 60)});
  EXPECT_TRUE(shading(turned(profile, 60)).creases.empty());
}

// 3 % of the diagonal, 569 mm, are 17 mm: a rim of 2 pi 4 = 25 mm is inked, one of 2 pi 2 = 13 mm is not.
TEST(Shading, ARimIsInkedFromTheShortestLengthOn) {
  EXPECT_EQ(shading(turned({{200, 0}, {200, 50}, {4, 50}, {4, 60}}, 48)).creases.size(), 4u);
  EXPECT_EQ(shading(turned({{200, 0}, {200, 50}, {2, 50}, {2, 60}}, 48)).creases.size(), 2u);
}

// Slopes of atan(0.38) on both sides meet at 41.6 degrees in the middle and at less towards the ends: sharp over
// |x| < half sqrt(1 - tan(20) / 0.38) = 0.205 half, trailing over |x| < half sqrt(1 - tan(12) / 0.38) = 0.664 half.
// 3 % of the plate's diagonal, 224 mm, are 6.7 mm.
TEST(Shading, ARidgeSharpForAMomentIsNotInked) {
  const Mesh brief = plate_with_ridge(12, 0.38);  // sharp over 4.9 mm
  const Shading s = shading(brief);
  EXPECT_EQ(inner_length(brief, s), 0);
  EXPECT_EQ(s.creases.size(), 1u);  // the plate's rim
  EXPECT_EQ(s.point.size(), brief.points.size());
  EXPECT_GT(inner_length(brief, shading(brief, {.shortest = 0})), 0);
}

// The same ridge, from the plate's rim: a spur of it.
TEST(Shading, AShortSpurOfALongCreaseIsNotInked) {
  const Mesh m = plate_with_ridge(20, 0.38, -100);
  EXPECT_EQ(inner_length(m, shading(m)), 0);
  EXPECT_GT(inner_length(m, shading(m, {.shortest = 0})), 0);
}

TEST(Shading, ALongRidgeRunsOnWhereItFlattens) {
  const double half = 80;
  const Mesh m = plate_with_ridge(half, 0.38);
  EXPECT_NEAR(inner_length(m, shading(m)), 2 * half * std::sqrt(1 - std::tan(pi * 12 / 180) / 0.38), 5);
  const CreaseRule sharp_only{.trailing_rad = CreaseRule{}.sharp_rad};
  EXPECT_NEAR(inner_length(m, shading(m, sharp_only)), 2 * half * std::sqrt(1 - std::tan(pi * 20 / 180) / 0.38), 5);
}

// Corner angles count: a corner of a smoothed cube points along its diagonal although its faces bring one or two
// triangles each (Thürmer and Wüthrich, "Computing vertex normals from polygonal facets", Journal of Graphics Tools
// 3(1), 1998).
TEST(Shading, TriangulationDoesNotTiltNormals) {
  const Mesh m = box_mesh({-1, -1, -1}, {1, 1, 1});
  const Shading s = shading(m, {.sharp_rad = 3, .trailing_rad = 3});
  ASSERT_EQ(s.point.size(), 8u);
  for (std::size_t i = 0; i < 8; ++i) EXPECT_NEAR(dot(s.normal[i], unit(m.points[s.point[i]])), 1, 1e-12);
}

TEST(Shading, TakesAnyMesh) {
  EXPECT_TRUE(shading({}).point.empty());
  EXPECT_EQ(shading({{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {{0, 1, 2}}}).creases.size(), 1u);  // open edges, all round
  // Three sheets on one edge, a facet given twice, one turned over, and facets without area.
  const Mesh book{{{0, 0, 0}, {0, 0, 1}, {1, 0, 0}, {-1, 1, 0}, {-1, -1, 0}},
                  {{0, 1, 2}, {1, 0, 3}, {0, 1, 4}, {0, 1, 4}, {1, 0, 4}, {0, 0, 1}, {2, 2, 2}}};
  const Shading s = shading(book);
  ASSERT_EQ(s.corner.size(), 3 * book.triangles.size());
  for (std::size_t i = 0; i < s.corner.size(); ++i) {
    ASSERT_LT(s.corner[i], s.point.size());
    EXPECT_EQ(s.point[s.corner[i]], book.triangles[i / 3][i % 3]);
    EXPECT_NEAR(norm(s.normal[s.corner[i]]), 1, 1e-12);
  }
}

}  // namespace
}  // namespace kerfkiln::solid
