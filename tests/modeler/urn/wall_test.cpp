// The inside: closed forms for cones, mitres, rounds and prisms, the distance property itself by brute force, the
// walls that cannot be made, and OCCT's offset of the profile.
#include "modeler/urn/wall.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/recess.hpp"
#include "modeler/urn/wall_round.hpp"
#include "occt_peer.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::kPi, test::polyline, test::squared, test::wall_of;

bool has(const Findings& f, const char* code) {
  return std::any_of(f.begin(), f.end(), [&](const Finding& x) { return x.code == code; });
}

// GE-13: 8 mm level through a 45 degree slope is 5.65685 mm along the normal; so a wall of 5.65685 is 8 mm level.
TEST(Wall, IsMeasuredAlongTheNormal) {
  const Wall w = wall_of(polyline({{0, 50}, {80, 130}}), 8 / std::sqrt(2.0), 6);
  EXPECT_NEAR(8 / std::sqrt(2.0), 5.65685, 5e-6);
  for (double z : {20.0, 40.0, 70.0}) EXPECT_NEAR(w.inner_reach(0.3, z), 50 + z - 8, 1e-12);
}

// Two cones with an outward corner: the offset lines meet on the bisector.
TEST(Wall, MitresAConvexCorner) {
  const Wall w = wall_of(polyline({{0, 60}, {100, 110}, {200, 60}}), 8, 8);
  const double level = 8 * std::hypot(100, 50) / 100;
  EXPECT_NEAR(w.inner_reach(0, 100), 110 - level, 1e-11);
  EXPECT_NEAR(w.inner_reach(0, 99), 110 - level - 0.5, 1e-11);
  EXPECT_TRUE(w.trimmed());
  EXPECT_TRUE(has(w.findings(), "wall.mitred"));
}

// A reentrant corner: round of the wall's radius about it.
TEST(Wall, RoundsAConcaveCorner) {
  const Wall w = wall_of(polyline({{0, 110}, {100, 60}, {200, 110}}), 8, 8);
  EXPECT_NEAR(w.inner_reach(0, 100), 52, 1e-12);
  EXPECT_NEAR(w.inner_reach(0, 101), 60 - std::sqrt(64.0 - 1), 1e-12);
  EXPECT_FALSE(w.trimmed());
}

// A straight side that leans in: near the lip the nearest clay is the lip's edge.
TEST(Wall, TheLipIsAnEdge) {
  const Wall w = wall_of(polyline({{0, 100}, {100, 50}}), 8, 8);
  EXPECT_NEAR(w.inner_reach(0, 100), 42, 1e-12);
  EXPECT_NEAR(w.inner_reach(0, 99), 50 - std::sqrt(64.0 - 1), 1e-12);
}

// Every point of the inside lies exactly a wall away from the nearest point of the outside, found by brute force.
void check_distance(const Wall& w, double tolerance) {
  const Form& f = w.form();
  std::vector<Vec3> outside;
  for (int i = 0; i <= 1200; ++i) {
    const ProfileJet j = f.profile().at(f.profile().end() * i / 1200);
    for (int piece = 0; piece < f.section().pieces; ++piece)
      for (int k = 0; k <= 120; ++k) {
        const Vec2 p = f.section().point(j.size, piece, k / 120.0);
        outside.push_back({p.x, p.y, j.z});
      }
  }
  for (double share : {0.0, 0.07, 0.31, 0.52, 0.68, 0.83, 0.97, 1.0})
    for (double turn : {0.0, 0.35, 0.7, 1.1, kPi / 2}) {
      const double z = w.floor() + share * (w.lip() - w.floor()), r = w.inner_reach(turn, z);
      const Vec3 q{r * std::cos(turn), r * std::sin(turn), z};
      double least = INFINITY;
      for (const Vec3& p : outside) least = std::min(least, dot(p - q, p - q));
      EXPECT_NEAR(std::sqrt(least), w.size().wall, tolerance) << "z " << z << " turn " << turn;
    }
}
// Samples lie up to 0.7 mm from the true foot: 0.7^2 (1/7 + 1/50)/8.
TEST(Wall, IsAWallAwayRound) { check_distance(wall_of(test::vase(), 7, 7), 1e-2); }
TEST(Wall, IsAWallAwaySquared) {
  const Wall w = wall_of(test::squared_vase(), 6, 6);
  EXPECT_FALSE(w.trimmed());
  check_distance(w, 2e-2);
}
TEST(Wall, IsAWallAwayTrimmed) {
  const Wall w = wall_of(squared("superellipse", {{0, 70, 60, 14}, {90, 90, 70, 20, true}, {200, 70, 60, 16}}), 9, 9);
  EXPECT_TRUE(w.trimmed());
  check_distance(w, 3e-2);
}

// Prisms: the inside is the inset section. Rounded rectangle: (a-w, b-w, max(r-w, 0)); superellipse: Steiner.
TEST(Wall, PrismsAreInsetSections) {
  const auto capacity = [](const char* type, double a, double b, double shape, double wall) {
    const Wall w = wall_of(squared(type, {{0, a, b, shape}, {100, a, b, shape}}), wall, 10);
    return measure_inside(w, 100).volume / 90;
  };
  EXPECT_NEAR(capacity("rounded rectangle", 80, 60, 20, 6) / (4 * 74 * 54 - (4 - kPi) * 14 * 14), 1, 1e-12);
  EXPECT_NEAR(capacity("rounded rectangle", 80, 60, 4, 6) / (4.0 * 74 * 54), 1, 1e-6);  // sharp inside
  EXPECT_NEAR(capacity("rounded rectangle", 80, 60, 0, 6) / (4.0 * 74 * 54), 1, 1e-6);
  const SectionType& s = *find_section("superellipse");
  const double steiner = s.area({80, 60, 4}) - 6 * s.perimeter({80, 60, 4}) + kPi * 36;
  EXPECT_NEAR(capacity("superellipse", 80, 60, 4, 6) / steiner, 1, 1e-9);
  EXPECT_NEAR(capacity("superellipse", 80, 60, 2, 6) / (s.area({80, 60, 2}) - 6 * s.perimeter({80, 60, 2}) + kPi * 36),
              1, 1e-9);
}

// A four-sided pyramid frustum leaning out: four planes moved by the wall; trimmed at its corners all the way up.
TEST(Wall, PyramidIsMovedPlanes) {
  const Wall w = wall_of(squared("rounded rectangle", {{0, 50, 40, 0}, {100, 90, 70, 0}}), 6, 8);
  const auto half = [&](double b0, double b1, double z) {
    return b0 + (b1 - b0) * z / 100 - 6 * std::hypot(100, b1 - b0) / 100;
  };
  for (double z : {8.0, 45.0, 99.0}) {
    EXPECT_NEAR(w.inner_reach(0, z), half(50, 90, z), 1e-10);
    EXPECT_NEAR(w.inner_reach(kPi / 2, z), half(40, 70, z), 1e-10);
  }
  const auto area = [&](double z) { return 4 * half(50, 90, z) * half(40, 70, z); };
  const double simpson = 92 * (area(8) + 4 * area(54) + area(100)) / 6;  // quadratic: exact
  const BodyMeasure m = measure_inside(w, 100);
  EXPECT_NEAR(m.volume / simpson, 1, 1e-6);
  EXPECT_LE(std::abs(m.volume / simpson - 1), m.error);
}

// A squared form whose numbers make it round must measure like the round one.
TEST(Wall, TheTwoRoadsAgree) {
  Spec nearly = test::vase();
  for (ProfilePoint& p : nearly.profile) p.squareness = 2, p.half_depth = p.half_width.value;
  nearly.profile[2].half_depth = nearly.profile[2].half_width.value * (1 + 1e-13);  // no longer round by equality
  const Wall round = wall_of(test::vase(), 7, 7), squared_road = wall_of(nearly, 7, 7);
  ASSERT_EQ(round.solver(), nullptr);
  ASSERT_NE(squared_road.solver(), nullptr);
  const WareMeasure a = measure_ware(round, 10), b = measure_ware(squared_road, 10);
  EXPECT_NEAR(b.capacity_brim / a.capacity_brim, 1, 1e-9);
  EXPECT_NEAR(b.inside_area / a.inside_area, 1, 1e-9);
  EXPECT_NEAR(b.clay_centroid_z / a.clay_centroid_z, 1, 1e-9);
  EXPECT_NEAR(b.floor_area / a.floor_area, 1, 1e-9);
}

TEST(Wall, AgreesWithOcctsOffsetCurve) {
  const Form f = form_of(test::vase());
  const Wall w = wall_of(test::vase(), 7, 7);
  ASSERT_FALSE(w.trimmed());
  ASSERT_EQ(w.pieces().front().kind, InnerPiece::Kind::offset);
  ASSERT_EQ(w.pieces().back().kind, InnerPiece::Kind::offset);
  const double peer = test::revolved_wall_volume(f.profile(), 7, 7, w.pieces().front().t0, w.pieces().back().t1);
  // OCCT's own figure for such walls is good to about 1e-6.
  EXPECT_NEAR(measure_ware(w, 0).clay_volume / peer, 1, 5e-6);
}

// Tight outside: the inside is trimmed and the finding names the place.
TEST(Wall, SaysWhereClayPools) {
  Spec s;
  for (auto [h, a] : {std::pair{0.0, 60.0}, {80.0, 70.0}, {100.0, 96.0}, {120.0, 70.0}, {200.0, 60.0}}) {
    ProfilePoint p;
    p.height = h, p.half_width = a;
    s.profile.push_back(p);
  }
  const Wall w = wall_of(s, 14, 10);
  EXPECT_TRUE(w.trimmed());
  ASSERT_TRUE(has(w.findings(), "wall.pools"));
  EXPECT_NE(w.findings().front().message.find("100 mm"), std::string::npos) << w.findings().front().message;
}

TEST(Wall, RefusesWhatClosesTheNeck) {
  const Form f = form_of(polyline({{0, 60}, {100, 90}, {180, 20}, {220, 30}}));
  const Result<Wall> w = Wall::make(f, {25, 10, 0, 0, BaseMade::solid});
  ASSERT_FALSE(w.has_value());
  const Finding& neck = w.findings().front();
  EXPECT_EQ(neck.code, "wall.closes_neck");
  EXPECT_NE(neck.message.find("up to 19.8 mm would do"), std::string::npos) << neck.message;
  EXPECT_TRUE(Wall::make(f, {19.8, 10, 0, 0, BaseMade::solid}).has_value());
  const Form box = form_of(squared("rounded rectangle", {{0, 60, 20, 5}, {100, 60, 20, 5}}));
  EXPECT_FALSE(Wall::make(box, {19.95, 10, 0, 0, BaseMade::solid}).has_value());
}

TEST(Wall, ChecksTheBase) {
  const Form f = form_of(test::vase());
  const auto codes = [&](WallSize s) {
    const Result<Wall> r = Wall::make(f, s);
    return r.has_value() ? r->findings() : r.findings();
  };
  EXPECT_TRUE(has(codes({7, 300, 0, 0, BaseMade::solid}), "base.thickness"));
  EXPECT_TRUE(has(codes({7, 7, 60, 3, BaseMade::solid}), "base.foot"));
  EXPECT_TRUE(has(codes({7, 9, 0, 0, BaseMade::drain_cast}), "base.drain_cast"));
  EXPECT_TRUE(has(codes({7, 7, 15, 3, BaseMade::drain_cast}), "base.casts_hollow"));
  EXPECT_TRUE(codes({7, 7, 9, 3, BaseMade::drain_cast}).empty());
  EXPECT_TRUE(has(codes({0.01, 7, 0, 0, BaseMade::solid}), "wall.range"));
  EXPECT_TRUE(has(codes({NAN, 7, 0, 0, BaseMade::solid}), "wall.range"));
}

// A wide foot ring cast by draining, on an upright side: the ring between the side's inside and the recess grown by a
// wall, its upper edge round. Pappus: a quarter disc of radius w lies 4 w / (3 pi) from its corner.
TEST(Wall, AWideFootRingCastsHollow) {
  const double radius = 80, ring = 30;
  const Form f = form_of(test::polyline({{0, radius}, {200, radius}}));
  const auto swept = [](double area, double out) { return 2 * kPi * out * area; };
  for (const auto& [w, recess] : {std::pair{6.0, 10.0}, {6.0, 6.0}, {9.0, 25.0}}) {
    const double inner = radius - ring;
    const double solid = kPi * (inner + w) * (inner + w) * (recess - w) + kPi * inner * inner * w +
                         swept(kPi * w * w / 4, inner + 4 * w / (3 * kPi));
    const double exact = kPi * (radius - w) * (radius - w) * recess - solid;
    EXPECT_NEAR(cast_hollow(f, {w, w, ring, recess, BaseMade::drain_cast}) / exact, 1, 1e-9) << w << " " << recess;
  }
  // Shallower than a wall: only the round part is open, over z = w ... recess + w.
  const double w = 8, recess = 3, inner = radius - ring;
  double removed = 0;  // by angle about the recess's edge, in closed form per ring of the quarter disc's part
  const double a = std::asin((w - recess) / w), b = kPi / 2;
  // Integral of (inner + w cos x)^2 w cos x over a ... b.
  const auto primitive = [&](double x) {
    const double s = std::sin(x), c = std::cos(x);
    return w * (inner * inner * s + inner * w * (x + s * c) + w * w * (s - s * s * s / 3));
  };
  removed = kPi * (primitive(b) - primitive(a));
  EXPECT_NEAR(cast_hollow(f, {w, w, ring, recess, BaseMade::drain_cast}),
              kPi * (radius - w) * (radius - w) * recess - removed, 1e-6);

  // Squared: areas and perimeters of rounded rectangles, and Steiner's formula for the recess grown.
  const Form box = form_of(test::squared("rounded rectangle", {{0, 80, 60, 40}, {200, 80, 60, 40}}));
  const auto area = [](double x, double y, double r) { return 4 * x * y - (4 - kPi) * r * r; };
  const double t = 6, deep = 10, foot = 25;
  const double grown = area(80 - foot, 60 - foot, 40 - foot),
               round = 4 * (80 - foot + 60 - foot) - (8 - 2 * kPi) * (40 - foot);
  const double solid =
      (grown + round * t + kPi * t * t) * (deep - t) + grown * t + round * kPi * t * t / 4 + kPi * 2 * t * t * t / 3;
  const double exact = area(80 - t, 60 - t, 40 - t) * deep - solid;
  EXPECT_NEAR(cast_hollow(box, {t, t, foot, deep, BaseMade::drain_cast}) / exact, 1, 1e-7);
  // Told in the finding; a ring of two walls is filled.
  const Findings told = test::made(Wall::make(box, {t, t, foot, deep, BaseMade::drain_cast})).findings();
  char text[32];
  std::snprintf(text, sizeof text, "%.1f mL", exact * 1e-3);
  ASSERT_FALSE(told.empty());
  EXPECT_NE(told.back().message.find(text), std::string::npos) << told.back().message;
}

}  // namespace
}  // namespace kerfkiln::urn
