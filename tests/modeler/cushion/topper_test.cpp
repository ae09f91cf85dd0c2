// The topper over the edge. Oracles: closed forms of the reference's check values G08, G09, G10; Steiner's formula; the
// definition of a parallel curve, by distance.
#include "modeler/cushion/topper.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/edge/curves.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kPi = std::numbers::pi;

double length_of(const plane::Loop& chain) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i)
    sum += plane::Segment{chain[i].at, chain[i + 1].at, chain[i].bulge}.length();
  return sum;
}

// Distance from a point to the core's section: side face and top profile of a left-hand side.
double distance_to(const plane::Loop& chain, Vec2 p) {
  double least = 1e9;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i)
    least = std::min(least, plane::nearest(plane::Segment{chain[i].at, chain[i + 1].at, chain[i].bulge}, p).distance);
  return least;
}

// Largest | distance to the core - thickness | over the topped edge, the step at its lower end left out.
double worst(const EdgeProfile& top, const EdgeProfile& bottom, double height, double t) {
  const ProfileCurve b = profile_curve(bottom), c = profile_curve(top);
  plane::Loop core = side_curve(b, c, height);
  core.push_back({{c.run + 100, height}, 0, 0});
  const plane::Loop over = topped_side_curve(b, c, height, t);
  double off = 0;
  std::size_t counted = 0;
  for (std::size_t i = 0; i + 1 < over.size(); ++i) {
    const plane::Segment s{over[i].at, over[i + 1].at, over[i].bulge};
    if (s.a.y < b.drop + 1e-9 && s.b.y < b.drop + 1e-9) continue;  // bottom edge and step
    for (const double u : {0.0, 0.21, 0.5, 0.83, 1.0}) {
      off = std::max(off, std::abs(distance_to(core, s.point(u)) - t));
      ++counted;
    }
  }
  EXPECT_GT(counted, 5u);
  EXPECT_NEAR(over.back().at.x, c.run, 1e-9);
  EXPECT_NEAR(over.back().at.y, height + t, 1e-9);
  return off;
}

TEST(Topper, LiesItsThicknessFromTheCoreAlongTheNormal) {
  const EdgeProfile square;
  for (const double t : {8.0, 25.0})
    for (const EdgeProfile& bottom : {square, quarter_ellipse(12, 12), straight(10, 6)}) {
      EXPECT_LT(worst(square, bottom, 90, t), 1e-9);
      EXPECT_LT(worst(quarter_ellipse(25, 25), bottom, 90, t), 1e-9);
      EXPECT_LT(worst(straight(30, 12), bottom, 90, t), 1e-9);
    }
}

TEST(Topper, OverAnEllipseItIsTheTrueParallelWithinTheDrawnTolerance) {
  const double a = 60, b = 40, t = 15, height = 90;
  const EdgeProfile top = quarter_ellipse(a, b);
  const plane::Loop over = topped_side_curve(profile_curve({}), profile_curve(top), height, t);
  double off = 0;
  for (std::size_t i = 1; i + 1 < over.size(); ++i) {
    const plane::Segment s{over[i].at, over[i + 1].at, over[i].bulge};
    for (const double u : {0.1, 0.5, 0.9}) {
      const Vec2 p = s.point(u);
      if (p.x < 0 && p.y < height - b) continue;  // beside the straight side
      // To the ellipse itself, not to the arcs drawn for it: finely sampled.
      double least = 1e9;
      for (int k = 0; k <= 20000; ++k) {
        const double w = kPi / 2 * k / 20000;
        least = std::min(least, norm(p - Vec2{a * (1 - std::cos(w)), height - b * (1 - std::sin(w))}));
      }
      off = std::max(off, std::abs(least - t));
    }
  }
  EXPECT_LT(off, kCurveFitMm);
  EXPECT_GT(off, 0);
}

TEST(Topper, G09RoundAnEdge) {
  const Wrapped w = wrapped(quarter_ellipse(15, 15), {}, 100, 25);
  EXPECT_NEAR(w.middle_mm, 43.197, 1e-3);
  EXPECT_NEAR(w.core_mm, 23.562, 1e-3);
  EXPECT_NEAR(w.outer_mm, 62.832, 1e-3);
  EXPECT_NEAR(100 * w.strain, 45.45, 5e-3);
}

TEST(Topper, G10FrontWrapOfCoverTopperAndCore) {
  // 400 on the top, radius 40, topper 25, batting 10 as worn, 60 down the side (side 60 = height 100 - radius 40).
  const EdgeProfile edge = quarter_ellipse(40, 40);
  const Wrapped topper = wrapped(edge, {}, 100, 25), cover = wrapped(edge, {}, 100, 35);
  EXPECT_NEAR(400 + topper.core_mm + topper.side_mm, 522.83, 0.01);
  EXPECT_NEAR(400 + topper.middle_mm + topper.side_mm, 542.47, 0.01);
  EXPECT_NEAR(400 + cover.outer_mm + cover.side_mm, 577.81, 0.01);
}

TEST(Topper, LengthsAgreeWithTheDrawnCurve) {
  // Steiner's quarter turn against the drawn parallel, also over a chamfer's corners and a square edge.
  for (const EdgeProfile& top : {EdgeProfile{}, quarter_ellipse(25, 25), straight(30, 12), quarter_ellipse(60, 40)}) {
    const double t = 20, height = 90;
    plane::Loop over = topped_side_curve(profile_curve({}), profile_curve(top), height, t / 2);
    over.erase(over.begin());  // the step at the lower end
    const Wrapped w = wrapped(top, {}, height, t);
    EXPECT_NEAR(length_of(over), w.middle_mm + w.side_mm, 0.02);
  }
}

TEST(Topper, G08CoreUnderTopperAndBatting) {
  // Outer radius 60, topper 25, batting 20 at 50 %, 500 long: core radius 25, 430 long.
  const plane::Outline given = plane::rectangle(500, 400, 60);
  Skins skins;
  skins.layers = {{"batting", "b", 10, "20 mm loft at 50 %", false}, {"topper", "soft", 25, "", false}};
  skins.given = 2;
  skins.side_mm = skins.top_mm = 35;
  const Result<std::vector<ChainSizes>> chain = chain_sizes(given, 100, skins);
  ASSERT_TRUE(chain);
  EXPECT_NEAR(chain->back().width_mm, 430, 1e-9);
  EXPECT_NEAR(chain->back().corner_mm, 25, 1e-9);
  EXPECT_NEAR(chain->front().height_mm, 135, 1e-9);
  const CoreEdge edge = core_edge({"round", {Length(60)}}, 35, 35);
  EXPECT_NEAR(edge.edge.lengths.at(0).value, 25, 1e-12);
}

TEST(Topper, ThickerThanAnInnerRadiusIsAnErrorWithItsRange) {
  // A disc bitten into: inner radius 20.
  plane::Outline o;
  o.outer = {{{0, 0}, 0, 0},      {{200, 0}, 0, 0},  {{200, 200}, 0, 0},
             {{120, 200}, -1, 0}, {{80, 200}, 0, 0}, {{0, 200}, 0, 0}};
  o.sides = {"all"};
  Edges edges;
  edges.top_profiles.by_side = {quarter_ellipse(30, 30)};
  edges.bottom_profiles.by_side = {{}};
  const Plan plan{o, {"all"}, {}, {}};
  EXPECT_TRUE(check_topper(o, edges, plan, 90, 20).empty());
  const Findings f = check_topper(o, edges, plan, 90, 21);
  ASSERT_EQ(f.size(), 1u);
  EXPECT_EQ(f[0].code, "topper.inner_radius");
  EXPECT_NE(f[0].message.find("permitted is above 0 mm to 20 mm"), std::string::npos);
  edges.top_profiles.by_side = {{}};
  EXPECT_EQ(check_topper(o, edges, plan, 90, 15).at(0).code, "topper.strain");
}

}  // namespace
}  // namespace kerfkiln::cushion
