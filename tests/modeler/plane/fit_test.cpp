// Arc chains against curves whose points, tangents and lengths are known in closed form.
#include "modeler/plane/fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

using namespace kerfkiln;
using namespace kerfkiln::plane;

namespace {

constexpr double kPi = std::numbers::pi;

Segment piece(const Loop& open, std::size_t i) { return {open[i].at, open[i + 1].at, open[i].bulge}; }

double length(const Loop& open) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < open.size(); ++i) sum += piece(open, i).length();
  return sum;
}

CurveFunction ellipse(double a, double b) {
  return [=](double t) -> CurvePoint {
    return {{a * std::cos(t), b * std::sin(t)}, {-a * std::sin(t), b * std::cos(t)}};
  };
}

// Largest distance of the chain from the ellipse, along the ellipse's own normal to first order: |F| / |grad F|.
double worst_miss(const Loop& open, double a, double b) {
  double worst = 0;
  for (std::size_t i = 0; i + 1 < open.size(); ++i)
    for (int k = 0; k <= 20; ++k) {
      const Vec2 p = piece(open, i).point(k / 20.0);
      const double f = p.x * p.x / (a * a) + p.y * p.y / (b * b) - 1;
      worst = std::max(worst, std::abs(f) / norm(Vec2{2 * p.x / (a * a), 2 * p.y / (b * b)}));
    }
  return worst;
}

TEST(Fit, ACircleComesBackAsItsArcs) {
  const Loop fit = fitted(ellipse(70, 70), 0, kPi / 2, 1e-6);
  EXPECT_NEAR(length(fit), 70 * kPi / 2, 1e-9);
  for (std::size_t i = 0; i + 1 < fit.size(); ++i) EXPECT_NEAR(piece(fit, i).radius(), 70, 1e-9);
}

TEST(Fit, QuarterEllipseWithinTheToleranceAndItsLength) {
  // Waterfall 80 x 60: arc length 110.517 (check value G03, complete elliptic integral).
  for (const double tolerance : {0.5, 0.02, 0.001}) {
    const Loop fit = fitted(ellipse(80, 60), 0, kPi / 2, tolerance);
    EXPECT_LE(worst_miss(fit, 80, 60), 1.3 * tolerance) << tolerance;
    EXPECT_NEAR(length(fit), 110.517, 0.001 + tolerance) << tolerance;
    EXPECT_EQ(fit.front().at.x, 80);
    EXPECT_NEAR(fit.back().at.y, 60, 1e-12);
  }
}

TEST(Fit, NeighboursShareTheirTangent) {
  const Loop fit = fitted(ellipse(80, 20), 0, kPi / 2, 0.02);
  ASSERT_GT(fit.size(), 4u);
  for (std::size_t i = 0; i + 2 < fit.size(); ++i)
    EXPECT_NEAR(cross(piece(fit, i).tangent(1), piece(fit, i + 1).tangent(0)), 0, 1e-9) << i;
}

TEST(Fit, AStraightCurveIsOneLine) {
  const Loop fit = fitted([](double t) -> CurvePoint { return {{3 * t, 4 * t}, {3, 4}}; }, 0, 10, 0.01);
  ASSERT_EQ(fit.size(), 2u);
  EXPECT_EQ(fit[0].bulge, 0);
  EXPECT_NEAR(length(fit), 50, 1e-12);
}

TEST(Fit, AnInflectionIsFollowed) {
  const CurveFunction wave = [](double t) -> CurvePoint { return {{t, 10 * std::sin(t / 10)}, {1, std::cos(t / 10)}}; };
  const Loop fit = fitted(wave, 0, 20 * kPi, 0.01);
  for (std::size_t i = 0; i + 1 < fit.size(); ++i)
    for (int k = 0; k <= 10; ++k) {
      const Vec2 p = piece(fit, i).point(k / 10.0);
      EXPECT_NEAR(p.y, 10 * std::sin(p.x / 10), 0.02);
    }
}

TEST(Fit, FinerTolerancesNeedMoreArcsButNotManyMore) {
  // Biarc error falls with the third power of the step, so a thousandth of the tolerance is about ten times the arcs.
  const std::size_t coarse = fitted(ellipse(80, 60), 0, kPi / 2, 0.1).size();
  const std::size_t fine = fitted(ellipse(80, 60), 0, kPi / 2, 0.0001).size();
  EXPECT_GT(fine, coarse);
  EXPECT_LT(fine, 20 * coarse);
}

}  // namespace
