// The camera against the geometry of projection.
#include "viewer/render/camera.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace kerfkiln::viewer {
namespace {

std::array<double, 4> times(const Matrix& m, const std::array<double, 4>& v) {
  std::array<double, 4> out{};
  for (std::size_t r = 0; r < 4; ++r)
    for (std::size_t c = 0; c < 4; ++c) out[r] += static_cast<double>(m[c * 4 + r]) * v[c];
  return out;
}

TEST(Camera, LooksTheWayItsNameSays) {
  Camera c;
  const struct {
    Aim aim;
    Vec3 eye;
  } table[] = {{Aim::front, {0, -1, 0}}, {Aim::back, {0, 1, 0}}, {Aim::left, {-1, 0, 0}},
               {Aim::right, {1, 0, 0}},  {Aim::top, {0, 0, 1}},  {Aim::under, {0, 0, -1}}};
  for (const auto& row : table) {
    c.aim(row.aim);
    EXPECT_NEAR(dot(unit(c.eye() - c.target()), row.eye), 1, 1e-12);
  }
  c.aim(Aim::front);
  EXPECT_NEAR(c.right().x, 1, 1e-12);  // the piece's right is on the right
  EXPECT_NEAR(c.up().z, 1, 1e-12);
  c.aim(Aim::top);
  EXPECT_NEAR(c.up().y, 1, 1e-12);  // its back is up
}

TEST(Camera, AxesAreAnOrthonormalRightHandedFrame) {
  Camera c;
  for (int i = 0; i < 200; ++i) {
    c.orbit(37.0 * i, 11.0 * (i % 7) - 20);
    EXPECT_NEAR(dot(cross(c.right(), c.up()), -c.forward()), 1, 1e-12);
  }
}

// What the panel draws over the picture must stand where the shaders put it: both ways of projecting agree.
TEST(Camera, MatricesAndProjectionAgree) {
  for (const bool parallel : {false, true}) {
    Camera c;
    c.parallel = parallel;
    c.orbit(50, 30);
    c.pan(40, -25, 700);
    c.zoom(2.5, 0.3, -0.2, 1.6);
    for (const Vec3 p : {Vec3{0, 0, 0}, Vec3{100, 50, 20}, Vec3{-200, 130, 310}}) {
      const auto clip = times(c.projection(1.6), times(c.view(), {p.x, p.y, p.z, 1}));
      const auto q = c.project(p, 1.6);
      ASSERT_TRUE(q);
      EXPECT_NEAR(q->x, clip[0] / clip[3], 1e-4);
      EXPECT_NEAR(q->y, clip[1] / clip[3], 1e-4);
    }
  }
}

TEST(Camera, FitShowsTheWholeBoxAndFillsTheView) {
  for (const bool parallel : {false, true})
    for (const double aspect : {0.6, 1.0, 2.2})
      for (int k = 0; k < 40; ++k) {
        Camera c;
        c.parallel = parallel;
        c.orbit(31.0 * k, 9.0 * (k % 11) - 40);
        const Vec3 low{10, -20, 5}, high{400, 350, 90};
        c.fit(low, high, aspect);
        double most = 0;
        for (int i = 0; i < 8; ++i) {
          const auto q = c.project({i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z}, aspect);
          ASSERT_TRUE(q);
          most = std::max({most, std::abs(q->x), std::abs(q->y)});
        }
        EXPECT_LE(most, 1.0);
        EXPECT_GE(most, 0.7);
      }
}

TEST(Camera, ZoomKeepsThePointUnderThePointer) {
  Camera c;
  c.fit({0, 0, 0}, {100, 100, 100}, 1.5);
  const double x = 0.4, y = -0.3, aspect = 1.5, half = c.height_mm() / 2;
  const Vec3 under = c.target() + (x * half * aspect) * c.right() + (y * half) * c.up();
  c.zoom(5, x, y, aspect);
  const auto q = c.project(under, aspect);
  ASSERT_TRUE(q);
  EXPECT_NEAR(q->x, x, 1e-9);
  EXPECT_NEAR(q->y, y, 1e-9);
}

TEST(Camera, PanMovesThePictureWithThePointer) {
  Camera c;
  const auto before = *c.project({0, 0, 0}, 1);
  c.pan(70, 0, 700);  // a tenth of the height to the right
  EXPECT_NEAR(c.project({0, 0, 0}, 1)->x - before.x, 0.2, 1e-9);
  c.pan(0, 70, 700);  // and down
  EXPECT_NEAR(c.project({0, 0, 0}, 1)->y - before.y, -0.2, 1e-9);
}

}  // namespace
}  // namespace kerfkiln::viewer
