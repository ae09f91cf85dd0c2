// Outlines against closed forms and the check values of the cushion and urn references (named beside each check).
#include "modeler/plane/outline.hpp"

#include <gtest/gtest.h>

#include <numbers>
#include <random>

#include "modeler/plane/corners.hpp"

namespace kerfkiln::plane {
namespace {

using std::numbers::pi;
constexpr double degree = pi / 180;

double bulge_of(double sweep) { return std::tan(sweep / 4); }

// D01: bulge = tan(sweep / 4), DXF reference, LWPOLYLINE group 42.
TEST(Segment, BulgeOfReferenceSweeps) {
  EXPECT_NEAR(bulge_of(90 * degree), 0.414214, 1e-6);
  EXPECT_NEAR(bulge_of(180 * degree), 1, 1e-6);
  EXPECT_NEAR(bulge_of(60 * degree), 0.267949, 1e-6);
  for (const double b : {0.414213562373095, 1., 0.2679491924311227, -0.414213562373095})
    EXPECT_NEAR(bulge_of(Segment{{0, 0}, {100, 0}, b}.sweep()), b, 1e-15);
}

// G04: crowns of 25 on 450 and of 15 on 500 as arcs: R = (c^2/4 + h^2) / (2h), length 2R asin(c / 2R); a sagitta h on a
// chord c is a bulge of 2h/c (DXF reference, definition of the bulge).
TEST(Segment, CrownArcsG04) {
  const Segment seat{{0, 0}, {450, 0}, -2 * 25.0 / 450}, back{{0, 0}, {500, 0}, -2 * 15.0 / 500};
  EXPECT_NEAR(seat.radius(), 1025, 1e-9);
  EXPECT_NEAR(seat.length(), 453.695, 0.001);
  EXPECT_NEAR(seat.point(0.5).y, 25, 1e-9);
  EXPECT_NEAR(back.radius(), 2090.83, 0.005);
  EXPECT_NEAR(back.length(), 501.199, 0.001);
}

// D02: bulge 0.2 on a chord of 100: radius 130, sagitta 10, 45.240 degrees, arc 102.646.
TEST(Segment, ArcOfBulgeOneFifth) {
  const Segment s{{0, 0}, {100, 0}, 0.2};
  EXPECT_NEAR(s.radius(), 130, 1e-12);
  EXPECT_NEAR(s.point(0.5).y, -10, 1e-12);
  EXPECT_NEAR(s.sweep() / degree, 45.240, 0.001);
  EXPECT_NEAR(s.length(), 102.646, 0.001);
  EXPECT_NEAR(norm(s.point(0.3) - s.centre()), 130, 1e-11);
}

// D03: four vertices of a square of 100 with bulge tan(pi / 8): a circle of radius 70.711, area 15707.96.
TEST(Loop, FourVertexCircle) {
  const double b = std::tan(pi / 8);
  const Loop circle{{{0, 0}, b, 0}, {{100, 0}, b, 0}, {{100, 100}, b, 0}, {{0, 100}, b, 0}};
  EXPECT_NEAR(area(circle), 5000 * pi, 1e-9);
  EXPECT_NEAR(segment(circle, 0).radius(), 100 / std::numbers::sqrt2, 1e-12);
  EXPECT_NEAR(perimeter(circle), 2 * pi * 100 / std::numbers::sqrt2, 1e-10);
  const Vec2 c = centroid({circle, {}, {}});
  EXPECT_NEAR(c.x, 50, 1e-12);
  EXPECT_NEAR(c.y, 50, 1e-12);
  const Box box = bounds(circle);
  EXPECT_NEAR(box.low.x, 50 - 100 / std::numbers::sqrt2, 1e-12);
  EXPECT_NEAR(box.high.y, 50 + 100 / std::numbers::sqrt2, 1e-12);
}

// G06 (500 x 450, r 40), GE-03 (half sizes 80, 60, r 20), GE-04 (a circle of 60 as a rounded rectangle).
TEST(Rectangle, ReferenceAreasAndPerimeters) {
  const Outline g06 = rectangle(500, 450, 40);
  EXPECT_NEAR(area(g06), 223626.5, 0.05);
  EXPECT_NEAR(perimeter(g06), 1831.327, 0.001);
  EXPECT_NEAR(area(g06), 500. * 450 - (4 - pi) * 1600, 1e-9);
  const Outline ge03 = rectangle(160, 120, 20);
  EXPECT_NEAR(area(ge03), 18856.637, 1e-3);
  EXPECT_NEAR(perimeter(ge03), 525.6637, 1e-3);
  const Outline ge04 = rectangle(120, 120, 60);
  EXPECT_EQ(ge04.outer.size(), 4u);
  EXPECT_NEAR(area(ge04), 11309.734, 1e-3);
  EXPECT_NEAR(perimeter(ge04), 376.9911, 1e-3);
}

TEST(Rectangle, NamesItsSides) {
  const Outline r = rectangle(560, 540, 45);
  ASSERT_EQ(r.outer.size(), 8u);
  for (std::size_t i = 0; i < 8; i += 2) {
    EXPECT_EQ(r.outer[i].side, static_cast<int>(i / 2));
    EXPECT_EQ(r.outer[i + 1].side, -1);
  }
  EXPECT_EQ(r.sides, (std::vector<std::string>{"front", "right", "back", "left"}));
  EXPECT_EQ(segment(r.outer, 0).point(0.5).y, 0);
  EXPECT_EQ(segment(r.outer, 2).point(0.5).x, 560);
  EXPECT_EQ(rectangle(10, 20, 0).outer.size(), 4u);
}

// A half disc: area pi r^2 / 2, centroid 4 r / (3 pi) from the diameter (standard tables).
TEST(Loop, HalfDiscCentroid) {
  const Loop half{{{-30, 0}, 0, 0}, {{30, 0}, 1, 0}};
  EXPECT_NEAR(area(half), pi * 450, 1e-10);
  const Vec2 c = centroid({half, {}, {}});
  EXPECT_NEAR(c.x, 0, 1e-12);
  EXPECT_NEAR(c.y, 40 / pi, 1e-12);
}

// Flat arcs: the cap's area tends to 2/3 chord x sagitta (parabola), its centroid to 3/5 of the sagitta.
TEST(Loop, FlatArcsLoseNoPrecision) {
  for (const double b : {1e-3, 1e-6, 1e-9}) {
    const Loop cap{{{0, 0}, b, 0}, {{1000, 0}, 0, 0}};
    const double sagitta = 500 * b;
    EXPECT_NEAR(area(cap) / (2. / 3 * 1000 * sagitta), 1 + b * b / 5, 1e-9) << b;
    EXPECT_NEAR(centroid({cap, {}, {}}).y / (-0.4 * sagitta), 1, 1e-5) << b;
    EXPECT_NEAR(nearest(segment(cap, 0), {250, 0}).distance / (0.75 * sagitta), 1, 1e-5) << b;
    EXPECT_NEAR(nearest(segment(cap, 0), {250, 0}).t, 0.25, 1e-6) << b;
  }
}

// The series and the closed form of the cap meet at bulge 0.1.
TEST(Loop, CapAreaIsContinuousWhereTheFormulaChanges) {
  const auto cap = [](double b) { return area(Loop{{{0, 0}, b, 0}, {{1, 0}, 0, 0}}); };
  EXPECT_NEAR(cap(std::nextafter(0.1, 0)), cap(0.1), 1e-15);
}

TEST(Loop, TransformsKeepAreaAndSense) {
  Outline o = rectangle(200, 120, 15);
  o.outer[2].bulge = -0.1;
  EXPECT_NEAR(area(reversed(o.outer)), -area(o), 1e-9);
  EXPECT_NEAR(area(mirrored_x(o.outer)), area(o), 1e-9);
  const Outline other = mirrored(o);
  EXPECT_NEAR(area(other), area(o), 1e-9);
  EXPECT_NEAR(bounds(other).low.x, 0, 1e-12);
  EXPECT_NEAR(bounds(other).high.x, bounds(o).high.x, 1e-12);
  // The right side (hollowed, side 1) of the one hand is the left of the other, under its own name.
  const Nearest hit = nearest(other, {0, 60});
  EXPECT_EQ(other.outer[static_cast<std::size_t>(hit.segment)].side, 1);
  const Outline back = mirrored(other);
  for (std::size_t i = 0; i < o.outer.size(); ++i) {
    EXPECT_EQ(back.outer[i].at, o.outer[i].at);
    EXPECT_EQ(back.outer[i].bulge, o.outer[i].bulge);
    EXPECT_EQ(back.outer[i].side, o.outer[i].side);
  }
}

TEST(Loop, FlattenedKeepsTheDeviation) {
  const Outline o = rectangle(300, 300, 120);
  for (const double deviation : {1., 0.05, 0.001}) {
    const auto points = flattened(o.outer, deviation);
    double worst = 0;
    for (std::size_t i = 0; i < points.size(); ++i)
      worst = std::max(worst, nearest(o, 0.5 * (points[i] + points[(i + 1) % points.size()])).distance);
    EXPECT_LE(worst, deviation * (1 + 1e-9));
    EXPECT_GT(worst, deviation / 4);  // no finer than it must be
  }
}

// The parts of a segment make up the whole.
TEST(Segment, PartsAddUp) {
  for (const double b : {0., 0.3, -0.9, 1e-8}) {
    const Segment s{{3, 4}, {50, -20}, b};
    const Segment p = part(s, 0, 0.3), q = part(s, 0.3, 1);
    EXPECT_NEAR(p.length() + q.length(), s.length(), 1e-12);
    EXPECT_NEAR(norm(q.tangent(1) - s.tangent(1)), 0, 1e-8);
  }
}

// Containment against the distance from the centre of a ring, and the winding number of a flattened copy.
TEST(Contains, RingWithAHole) {
  const double b = std::tan(pi / 8);
  const auto circle = [&](double r) { return Loop{{{r, 0}, b, 0}, {{0, r}, b, 0}, {{-r, 0}, b, 0}, {{0, -r}, b, 0}}; };
  Outline ring{circle(50), {reversed(circle(20))}, {}};
  std::mt19937 random(7);
  std::uniform_real_distribution<double> u(-60, 60);
  for (int i = 0; i < 20000; ++i) {
    const Vec2 p{u(random), i % 4 == 0 ? 0. : u(random)};
    EXPECT_EQ(contains(ring, p), norm(p) <= 50 && norm(p) >= 20) << p.x << ' ' << p.y;
  }
  for (int i = 0; i < 360; ++i) {
    const Vec2 d{std::cos(i * degree), std::sin(i * degree)};
    EXPECT_TRUE(contains(ring, 50. * d));
    EXPECT_TRUE(contains(ring, 20. * d));
    EXPECT_FALSE(contains(ring, 50.000001 * d));
    EXPECT_FALSE(contains(ring, 19.999999 * d));
  }
}

TEST(Contains, AgreesWithTheFlattenedOutline) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int k = 0; k < 200; ++k) {
    Loop loop;
    const int n = 3 + k % 9;
    for (int i = 0; i < n; ++i) {
      const double angle = 2 * pi * i / n, r = 60 + 30 * u(random);
      loop.push_back({{r * std::cos(angle), r * std::sin(angle)}, 0.6 * u(random), 0});
    }
    const auto points = flattened(loop, 1e-4);
    for (int j = 0; j < 50; ++j) {
      const Vec2 p{100 * u(random), 100 * u(random)};
      if (nearest(Outline{loop, {}, {}}, p).distance < 1e-3) continue;
      double turn = 0;
      for (std::size_t i = 0; i < points.size(); ++i) {
        const Vec2 a = points[i] - p, c = points[(i + 1) % points.size()] - p;
        turn += std::atan2(cross(a, c), dot(a, c));
      }
      EXPECT_EQ(winding(loop, p), static_cast<int>(std::lround(turn / (2 * pi))));
    }
  }
}

// The nearest point against a dense sampling of the outline.
TEST(Nearest, NoSampleIsNearer) {
  Outline o = rectangle(200, 120, 15);
  o.outer[0].bulge = -0.2;
  o.outer[4].bulge = 0.7;
  std::mt19937 random(3);
  std::uniform_real_distribution<double> u(-150, 350);
  for (int k = 0; k < 300; ++k) {
    const Vec2 p{u(random), u(random)};
    const Nearest hit = nearest(o, p);
    EXPECT_NEAR(norm(p - hit.point), hit.distance, 1e-10);
    const Segment s = segment(o.outer, static_cast<std::size_t>(hit.segment));
    EXPECT_NEAR(norm(s.point(hit.t) - hit.point), 0, 1e-9);
    double least = 1e9;
    for (std::size_t i = 0; i < o.outer.size(); ++i)
      for (int j = 0; j <= 200; ++j) least = std::min(least, norm(p - segment(o.outer, i).point(j / 200.)));
    EXPECT_LE(hit.distance, least + 1e-9);
    EXPECT_GE(hit.distance, least - 1.5);
  }
}

// Corner arcs: an exact square with equal radii is the rectangle; unequal radii take (1 - pi / 4) r^2 each.
TEST(Rounded, SquareWithUnequalRadii) {
  const std::vector<Corner> corners{
      {{0, 0}, 10, 0, 0}, {{100, 0}, 20, 0, 1}, {{100, 100}, 0, 0, 2}, {{0, 100}, 50, 0, 3}};
  const auto loop = rounded(corners);
  ASSERT_TRUE(loop);
  EXPECT_NEAR(area(*loop), 10000 - (1 - pi / 4) * (100 + 400 + 2500), 1e-9);
  for (std::size_t i = 0; i < loop->size(); ++i) {
    const Segment s = segment(*loop, i), next = segment(*loop, (i + 1) % loop->size());
    const double turn = s.b == Vec2{100, 100} ? 1 : 0;  // the one sharp corner
    EXPECT_NEAR(cross(s.tangent(1), next.tangent(0)), turn, 1e-12);
  }
}

TEST(Rounded, CornersBetweenArcsAreTangentAndExact) {
  const std::vector<Corner> corners{
      {{0, 0}, 12, -0.15, 0}, {{200, 0}, 18, 0.2, 1}, {{190, 160}, 25, 0, 2}, {{-10, 150}, 9, 0.3, 3}};
  const auto loop = rounded(corners);
  ASSERT_TRUE(loop);
  ASSERT_EQ(loop->size(), 8u);
  const double radii[] = {12, 18, 25, 9};
  int arc = 0;
  for (std::size_t i = 0; i < loop->size(); ++i) {
    const Segment s = segment(*loop, i), next = segment(*loop, (i + 1) % loop->size());
    EXPECT_NEAR(cross(s.tangent(1), next.tangent(0)), 0, 1e-9) << i;
    if ((*loop)[i].side >= 0) continue;
    EXPECT_NEAR(s.radius(), radii[arc++], 1e-9);
  }
}

TEST(Rounded, InnerCornersRoundOutwards) {
  const std::vector<Corner> el{{{0, 0}}, {{200, 0}}, {{200, 80}}, {{80, 80}, 30}, {{80, 200}}, {{0, 200}}};
  const auto loop = rounded(el);
  ASSERT_TRUE(loop);
  EXPECT_NEAR(area(*loop), 200. * 80 + 120. * 80 + (1 - pi / 4) * 900, 1e-9);
}

TEST(Rounded, NamesEveryRadiusWithoutRoom) {
  const auto loop = rounded({{{0, 0}, 60}, {{100, 0}, 60}, {{100, 100}}, {{0, 100}}});
  ASSERT_FALSE(loop);
  ASSERT_EQ(loop.findings().size(), 2u);
  EXPECT_EQ(loop.findings()[0].code, "outline.radius");
  EXPECT_EQ(loop.findings()[0].path, "0/radius");
  EXPECT_NE(loop.findings()[0].message.find("0 to 40 mm"), std::string::npos) << loop.findings()[0].message;
  EXPECT_EQ(rounded({{{0, 0}}, {{10, 0}}}).findings()[0].code, "outline.corners");
  EXPECT_EQ(rounded({{{0, 0}}, {{0, 0}}, {{10, 0}}, {{10, 5}}}).findings()[0].code, "outline.repeated");
  EXPECT_EQ(rounded({{{0, 0}, -1}, {{10, 0}}, {{10, 5}}}).findings()[0].path, "0/radius");
}

TEST(Snapped, LandsOnThePlanGrid) {
  Outline o = rectangle(100. / 3, 20, 1. / 7);
  const Outline s = snapped(o);
  for (std::size_t i = 0; i < s.outer.size(); ++i) {
    EXPECT_EQ(s.outer[i].at.x * 1048576, std::round(s.outer[i].at.x * 1048576));
    EXPECT_LE(norm(s.outer[i].at - o.outer[i].at), 1e-6);
  }
}

}  // namespace
}  // namespace kerfkiln::plane
