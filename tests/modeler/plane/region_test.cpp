// Booleans and the outline check against closed forms and set identities.
#include "modeler/plane/region.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <numbers>

#include "modeler/plane/offset.hpp"
#include "tests/modeler/plane/random_outline.hpp"

namespace kerfkiln::plane {
namespace {

using std::numbers::pi;

Outline disc(Vec2 c, double r, int side = -1) {
  Outline o{{{{c.x, c.y - r}, 1, side}, {{c.x, c.y + r}, 1, side}}, {}, {}};
  if (side >= 0) o.sides = {"rim"};
  return o;
}

Region must(const Result<Region>& r) {
  EXPECT_TRUE(r) << (r ? "" : r.findings()[0].message);
  return r ? *r : Region{};
}

// The lens of two discs: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2) (standard tables).
TEST(Region, LensOfTwoDiscs) {
  const double r = 50, d = 60, lens = 2 * r * r * std::acos(d / (2 * r)) - d / 2 * std::sqrt(4 * r * r - d * d);
  const Region a{disc({0, 0}, r)}, b{disc({d, 0}, r)};
  EXPECT_NEAR(area(must(intersected(a, b))), lens, 1e-9);
  EXPECT_NEAR(area(must(united(a, b))), 2 * pi * r * r - lens, 1e-9);
  EXPECT_NEAR(area(must(subtracted(a, b))), pi * r * r - lens, 1e-9);
  EXPECT_EQ(must(intersected(a, b))[0].outer.size(), 2u);  // two arcs, not divided where they turn back in x
}

TEST(Region, APocketInTheMiddleIsAHole) {
  const Region plate{rectangle(200, 100, 10)};
  const Region left_over = must(subtracted(plate, {disc({100, 50}, 30)}));
  ASSERT_EQ(left_over.size(), 1u);
  ASSERT_EQ(left_over[0].holes.size(), 1u);
  EXPECT_LT(area(left_over[0].holes[0]), 0);
  EXPECT_NEAR(area(left_over), area(plate) - pi * 900, 1e-9);
  EXPECT_TRUE(check_outline(left_over[0]).empty());
  EXPECT_TRUE(must(subtracted(plate, plate)).empty());
  EXPECT_NEAR(area(must(united(left_over, {disc({100, 50}, 30)}))), area(plate), 1e-6);
}

// A band along a side (a zone) and what is left share one line and all of the area.
TEST(Region, StripOfARoundedRectangle) {
  const Outline seat = rectangle(560, 540, 45);
  Outline strip = moved(rectangle(800, 190, 0), {-100, -100});
  strip.sides = {"strip front", "strip right", "strip back", "strip left"};
  const Region front = must(intersected({seat}, {strip})), rest = must(subtracted({seat}, {strip}));
  EXPECT_NEAR(area(front), 560. * 90 - 2 * (1 - pi / 4) * 45 * 45, 1e-9);
  EXPECT_NEAR(area(front) + area(rest), area(seat), 1e-9);
  ASSERT_EQ(front.size(), 1u);
  int named = 0;
  for (std::size_t i = 0; i < front[0].outer.size(); ++i) {
    const Vec2 middle = segment(front[0].outer, i).point(0.5);
    const int side = front[0].outer[i].side;
    if (std::abs(middle.y) < 1e-9) named += front[0].sides.at(static_cast<std::size_t>(side)) == "front";
    if (std::abs(middle.y - 90) < 1e-9) named += front[0].sides.at(static_cast<std::size_t>(side)) == "strip back";
  }
  EXPECT_EQ(named, 2);
}

TEST(Region, RandomOutlinesObeyTheSetIdentities) {
  for (std::uint32_t seed = 1; seed <= 200; ++seed) {
    std::mt19937 random(seed);
    const Outline a = random_outline(random), b = moved(random_outline(random), {40, -25});
    const double both = area(must(intersected({a}, {b})));
    EXPECT_NEAR(area(must(united({a}, {b}))), area(a) + area(b) - both, 1e-6) << seed;
    EXPECT_NEAR(area(must(subtracted({a}, {b}))), area(a) - both, 1e-6) << seed;
  }
}

// An inset lies within its source, whose band of width d it leaves.
TEST(Region, AgreesWithTheOffset) {
  for (std::uint32_t seed = 1; seed <= 60; ++seed) {
    std::mt19937 random(seed);
    const Outline o = random_outline(random);
    const auto inset = offset(o, -12);
    ASSERT_TRUE(inset);
    if (inset->empty()) continue;
    EXPECT_NEAR(area(must(subtracted({o}, *inset))), area(o) - area(*inset), 1e-6) << seed;
    EXPECT_NEAR(area(must(united({o}, *inset))), area(o), 1e-6) << seed;
  }
}

TEST(Region, RefusesWhatIsNotSimple) {
  const Outline bow{{{{0, 0}}, {{100, 100}}, {{100, 0}}, {{0, 100}}}, {}, {}};
  const auto result = united({bow}, {disc({0, 0}, 10)});
  ASSERT_FALSE(result);
  EXPECT_EQ(result.findings()[0].code, "outline.crossing");
}

// What one operation leaves, the next takes: a notch closed at its mouth but for a point, a rounding in or out of the
// rim. Areas of squares and a triangle: 10 000 - 450 and half of it.
TEST(Region, LoopsThatTouchAreTaken) {
  for (const double off : {0.0, 1e-10, -1e-10}) {
    const Outline touching{
        {{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}}}, {{{{50, off}}, {{35, 30}}, {{65, 30}}}}, {}};
    ASSERT_FALSE(check_outline(touching).empty());
    const Outline left{{{{0, 0}}, {{50, 0}}, {{50, 100}}, {{0, 100}}}, {}, {}};
    EXPECT_NEAR(area(must(united({touching}, {disc({10, 10}, 5)}))), 9550, 1e-6) << off;
    EXPECT_NEAR(area(must(intersected({touching}, {left}))), 4775, 1e-6) << off;
    EXPECT_NEAR(area(must(subtracted({left}, {touching}))), 225, 1e-6) << off;
  }
}

// Areas of squares, added up by hand.
TEST(Region, ABoundaryThatPassesACornerTwiceIsTaken) {
  const Region square{{{{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}}}, {}, {}}};
  const auto block = [](double x, double y, double w, double h) {
    return Outline{{{{x, y}}, {{x + w, y}}, {{x + w, y + h}}, {{x, y + h}}}, {}, {}};
  };
  Region out = must(subtracted(square, {block(0, 0, 40, 40)}));
  out = must(united(out, {block(10, 10, 30, 30)}));  // touches the rest along two sides: a notch in L form is left
  EXPECT_NEAR(area(out), 10000 - 1600 + 900, 1e-9);
  out = must(subtracted(square, {block(60, 60, 40, 40)}));
  out = must(subtracted(out, {block(20, 20, 40, 40)}));  // the hole meets the notch at (60, 60)
  EXPECT_NEAR(area(out), 10000 - 3200, 1e-9);
  EXPECT_NEAR(area(must(intersected(out, {block(0, 0, 60, 100)}))), 6000 - 1600, 1e-9);
  EXPECT_NEAR(area(must(united(out, {block(60, 60, 40, 40)}))), 10000 - 1600, 1e-9);
  EXPECT_NEAR(area(must(subtracted(square, out))), 3200, 1e-9);
  // Two squares corner to corner, both bridged outside: the outline passes (50, 50) twice.
  out = must(united({block(0, 0, 50, 50)}, {block(50, 50, 50, 50)}));
  out = must(united(out, {block(40, 0, 60, 10)}));
  out = must(united(out, {block(90, 0, 10, 60)}));
  EXPECT_NEAR(area(out), 2500 + 2500 + 500 + 400, 1e-9);
  EXPECT_NEAR(area(must(intersected(out, square))), 5900, 1e-9);
}

TEST(Region, LoopsThatReachOutAreRefused) {
  Outline o{{{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}}}, {{{{50, -1}}, {{35, 30}}, {{65, 30}}}}, {}};
  EXPECT_FALSE(united({o}, {disc({10, 10}, 5)}));
  o.holes = {{{{250, 0}}, {{235, 30}}, {{265, 30}}}};
  EXPECT_FALSE(united({o}, {disc({10, 10}, 5)}));
}

std::string first_code(const Outline& o) {
  const Findings f = check_outline(o);
  return f.empty() ? "" : f[0].code;
}

TEST(CheckOutline, NamesTheCrossing) {
  const Outline bow{{{{0, 0}}, {{100, 100}}, {{100, 0}}, {{0, 100}}}, {}, {}};
  const Findings f = check_outline(bow);
  ASSERT_EQ(f.size(), 1u);
  EXPECT_EQ(f[0].code, "outline.crossing");
  EXPECT_NE(f[0].message.find("segment 1 and segment 3 meet at (50, 50) mm"), std::string::npos) << f[0].message;
  // An arc that bulges through the opposite side.
  Outline bulged = rectangle(100, 40, 0);
  bulged.outer[0].bulge = -0.9;
  EXPECT_EQ(first_code(bulged), "outline.crossing");
  // A corner that touches a side.
  EXPECT_EQ(first_code({{{{0, 0}}, {{100, 0}}, {{100, 100}}, {{50, 0}}, {{0, 100}}}, {}, {}}), "outline.crossing");
  // A segment that runs back on the one before.
  EXPECT_EQ(first_code({{{{0, 0}}, {{100, 0}}, {{40, 0}}, {{40, 80}}}, {}, {}}), "outline.crossing");
}

TEST(CheckOutline, NamesEachOtherFault) {
  EXPECT_EQ(first_code(rectangle(100, 80, 10)), "");
  EXPECT_EQ(first_code(disc({0, 0}, 30)), "");
  Outline plate = rectangle(100, 80, 10);
  std::reverse(plate.outer.begin(), plate.outer.end());
  for (Vertex& v : plate.outer) v.bulge = 0;
  EXPECT_EQ(first_code(plate), "outline.clockwise");
  Outline holed = rectangle(100, 80, 10);
  holed.holes.push_back(disc({50, 40}, 20).outer);
  EXPECT_EQ(first_code(holed), "outline.clockwise");
  holed.holes[0] = reversed(disc({50, 40}, 20).outer);
  EXPECT_EQ(first_code(holed), "");
  holed.holes.push_back(reversed(disc({50, 40}, 10).outer));
  EXPECT_EQ(first_code(holed), "outline.nesting");
  holed.holes[1] = reversed(disc({500, 40}, 10).outer);
  EXPECT_EQ(first_code(holed), "outline.nesting");
  holed.holes[1] = reversed(disc({60, 40}, 20).outer);
  EXPECT_EQ(first_code(holed), "outline.crossing");
  EXPECT_EQ(first_code({{{{0, 0}}, {{100, 0}}, {{100, 0.005}}, {{0, 80}}}, {}, {}}), "outline.short");
  EXPECT_EQ(first_code({{{{0, 0}}, {{100, 0}}}, {}, {}}), "outline.corners");
  EXPECT_EQ(first_code({{{{0, 0}, 1.5}, {{100, 0}}, {{0, 80}}}, {}, {}}), "outline.number");
  EXPECT_EQ(first_code({{{{std::nan(""), 0}}, {{100, 0}}, {{0, 80}}}, {}, {}}), "outline.number");
}

TEST(CheckOutline, RandomOutlinesAndTheirOffsetsAreSimple) {
  for (std::uint32_t seed = 1; seed <= 500; ++seed) {
    std::mt19937 random(seed);
    const Outline o = random_outline(random);
    for (const Finding& f : check_outline(o)) EXPECT_EQ(f.code, "outline.short") << seed << ' ' << f.message;
    for (const double d : {-9., 14.}) {
      const auto moved_outline = offset(o, d);
      ASSERT_TRUE(moved_outline);
      for (const Outline& part : *moved_outline)
        for (const Finding& f : check_outline(part))
          EXPECT_EQ(f.code, "outline.short") << seed << ' ' << d << ' ' << f.message;
    }
  }
}

// The limit of the file format, well within the time of a keystroke (the bound is generous for busy machines).
TEST(CheckOutline, TenThousandVertices) {
  Outline o;
  for (int i = 0; i < 10000; ++i) {
    const double t = 2 * pi * i / 10000, r = 900 + 20 * std::cos(40 * t);
    o.outer.push_back({{r * std::cos(t), r * std::sin(t)}, 0, 0});
  }
  const auto start = std::chrono::steady_clock::now();
  EXPECT_TRUE(check_outline(o).empty());
  const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  EXPECT_LT(ms, 100);
  RecordProperty("milliseconds", std::to_string(ms));
  o.outer[5000].at = {0, 950};
  EXPECT_EQ(first_code(o), "outline.crossing");
}

}  // namespace
}  // namespace kerfkiln::plane
