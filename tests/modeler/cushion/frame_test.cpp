// Frames fitted to sides and diagonals. Oracles: plane geometry in closed form; least squares' own condition, that the
// residuals are orthogonal to every column of the slopes (here by central differences).
#include "modeler/cushion/frame.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/outline_sources.hpp"

namespace kerfkiln::cushion {
namespace {

FrameMeasures measures_of(const std::array<Vec2, 4>& c) {
  return {norm(c[1] - c[0]), norm(c[2] - c[1]), norm(c[3] - c[2]),
          norm(c[0] - c[3]), norm(c[2] - c[0]), norm(c[3] - c[1])};
}

TEST(Frame, AnExactRectangleComesBackExactly) {
  const Result<FrameFit> fit = fitted_frame({500, 375, 500, 375, 625, 625});  // 3 : 4 : 5
  ASSERT_TRUE(fit);
  EXPECT_LT(fit->worst_mm, 1e-9);
  EXPECT_NEAR(fit->corners[2].x, 500, 1e-9);
  EXPECT_NEAR(fit->corners[2].y, 375, 1e-9);
  EXPECT_LT(fit->out_of_square_rad, 1e-11);
}

TEST(Frame, AnExactTrapezoidComesBackExactly) {
  // Front 520, back 400, 300 deep, symmetric: sides hypot(60, 300), diagonals hypot(460, 300).
  const double side = std::hypot(60, 300), diagonal = std::hypot(460, 300);
  const Result<FrameFit> fit = fitted_frame({520, side, 400, side, diagonal, diagonal});
  ASSERT_TRUE(fit);
  EXPECT_LT(fit->worst_mm, 1e-9);
  EXPECT_NEAR(fit->corners[3].x, 60, 1e-9);
  EXPECT_NEAR(fit->corners[3].y, 300, 1e-9);
  EXPECT_NEAR(fit->angle_rad[0], std::atan2(300, 60), 1e-11);
  EXPECT_NEAR(fit->out_of_square_rad, std::atan2(60, 300), 1e-11);
  EXPECT_NEAR(fit->out_of_square_mm, 60, 1e-9);
}

TEST(Frame, AnExactSkewQuadrilateralComesBack) {
  const std::array<Vec2, 4> c{Vec2{0, 0}, {512, 0}, {530, 441}, {-23, 462}};
  const Result<FrameFit> fit = fitted_frame(measures_of(c));
  ASSERT_TRUE(fit);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_LT(norm(fit->corners[i] - c[i]), 1e-8) << i;
}

TEST(Frame, DisagreeingMeasuresLeaveOrthogonalResiduals) {
  const FrameMeasures measured{503, 449, 498, 452.5, 673, 669.5};
  const Result<FrameFit> fit = fitted_frame(measured);
  ASSERT_TRUE(fit);
  EXPECT_GT(fit->worst_mm, 0.1);
  double largest = 0;
  for (int k = 0; k < 5; ++k) {
    std::array<Vec2, 4> low = fit->corners, high = fit->corners;
    const double step = 1e-3;
    double Vec2::*axis = k == 2 || k == 4 ? &Vec2::y : &Vec2::x;
    const std::size_t corner = k == 0 ? 1 : k < 3 ? 2 : 3;
    low[corner].*axis -= step;
    high[corner].*axis += step;
    const FrameMeasures a = measures_of(low), b = measures_of(high);
    double product = 0;
    for (std::size_t i = 0; i < 6; ++i) product += (b[i] - a[i]) / (2 * step) * fit->residual[i];
    largest = std::max(largest, std::abs(product));
  }
  EXPECT_LT(largest, 1e-7);
}

TEST(Frame, TheOutlineFollowsAndTheFindingsSaySo) {
  FrameSpec f;
  f.front = 520;
  f.back = 400;
  f.left = f.right = std::hypot(60, 300);
  f.diagonal = std::hypot(460, 300) + 8;
  f.other_diagonal = std::hypot(460, 300) + 8;
  f.corner_radius = 20;
  const Result<SourcedOutline> o = frame_outline(f);
  ASSERT_TRUE(o);
  EXPECT_EQ(o->outline.sides, (std::vector<std::string>{"front", "right", "back", "left"}));
  EXPECT_EQ(o->outline.outer.size(), 8u);
  ASSERT_EQ(o->notes.size(), 2u);
  EXPECT_EQ(o->notes[0].code, "frame.residual");
  EXPECT_EQ(o->notes[1].code, "frame.square");
  EXPECT_EQ(o->tables.at(0).rows.size(), 11u);
}

}  // namespace
}  // namespace kerfkiln::cushion
