// Level curves as lines and arcs, against the form itself: every boundary point must lie on the level, areas must be
// those of the form's quadrature, levels must nest.
#include "modeler/cushion/level.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <numbers>

#include "modeler/plane/corners.hpp"

namespace kerfkiln::cushion {
namespace {

using std::numbers::pi;
constexpr double kAny = std::numeric_limits<double>::infinity();

EdgeProfile profile(const char* type, std::vector<double> lengths, double height) {
  Result<EdgeProfile> p = edge_profile(type, lengths, height);
  EXPECT_TRUE(p);
  return p ? *p : EdgeProfile{};
}

double area(const std::vector<plane::Outline>& all) {
  double sum = 0;
  for (const plane::Outline& o : all) sum += plane::area(o);
  return sum;
}

void for_boundary(const std::vector<plane::Outline>& all, const std::function<void(Vec2)>& visit) {
  for (const plane::Outline& o : all) {
    std::vector<plane::Loop> loops{o.outer};
    loops.insert(loops.end(), o.holes.begin(), o.holes.end());
    for (const plane::Loop& loop : loops)
      for (std::size_t i = 0; i < loop.size(); ++i)
        for (int k = 0; k < 12; ++k) visit(plane::segment(loop, i).point((k + 0.5) / 12));
  }
}

// How far a point lies off the level: the shortest way in any of 16 directions, at growing distances, to a point on the
// other side of it.
double off_level(const Form& form, Sheet sheet, Vec2 p, double drop) {
  const double here = form.drop(sheet, p) - drop;
  if (std::abs(here) < 1e-9) return 0;
  for (const double reach : {0.001, 0.003, 0.006, 0.01, 0.019, 0.1, 0.5, 2.0})
    for (int k = 0; k < 16; ++k) {
      const Vec2 d{std::cos(k * pi / 8), std::sin(k * pi / 8)};
      if ((form.drop(sheet, p + reach * d) - drop > 0) != (here > 0)) return reach;
    }
  return 1e300;
}

// Area of the level by scan lines on the form alone: widths by bisection, summed with points that crowd towards both
// ends, where widths change fastest.
double scanned_area(const Form& form, const plane::Outline& outline, double drop) {
  const plane::Box box = plane::bounds(outline);
  const auto in = [&](Vec2 p) { return plane::contains(outline, p) && form.drop(Sheet::top, p) <= drop; };
  const auto edge = [&](Vec2 inside, Vec2 outside) {
    for (int step = 0; step < 45; ++step) {
      const Vec2 mid = 0.5 * (inside + outside);
      (in(mid) ? inside : outside) = mid;
    }
    return inside;
  };
  const Vec2 c{box.low.x + 0.3 * box.width(), (box.low.y + box.high.y) / 2};  // beside a notch in the middle
  const double low = edge(c, {c.x, box.low.y - 1}).y, high = edge(c, {c.x, box.high.y + 1}).y;
  const auto width = [&](double y) {
    constexpr double kStep = 1.5;  // narrower than any sliver at a corner
    double sum = 0;
    for (double x = box.low.x - 1; x < box.high.x; x += kStep) {
      const Vec2 a{x, y}, b{x + kStep, y};
      const bool in_a = in(a), in_b = in(b);
      if (in_a && in_b)
        sum += kStep;
      else if (in_a)
        sum += edge(a, b).x - x;
      else if (in_b)
        sum += x + kStep - edge(b, a).x;
    }
    return sum;
  };
  const auto panel = [&](double from, double to) {
    double sum = 0;
    constexpr int kLines = 150;
    for (int i = 0; i < kLines; ++i) {
      const double u = (i + 0.5) / kLines, y = from + (to - from) * u * u * u * (10 - 15 * u + 6 * u * u);
      sum += width(y) * (to - from) * 30 * u * u * (1 - u) * (1 - u) / kLines;
    }
    return sum;
  };
  // At corners the level may reach beyond the lines of the front and the back.
  return panel(box.low.y, low) + panel(low, high) + panel(high, box.high.y);
}

struct Design {
  const char* name;
  plane::Outline outline;
  double height;
  std::vector<EdgeProfile> top, bottom;
  double area_tolerance = 1;  // of scanned_area, mm2: its own error against 100 000 mm2 and more
};

plane::Outline notched() {
  // A seat with a notch in its back and one rounded notch corner.
  const std::vector<plane::Corner> corners{{{0, 0}, 40, 0, 0},    {{500, 0}, 40, 0, 1},   {{500, 420}, 30, 0, 2},
                                           {{330, 420}, 0, 0, 3}, {{330, 350}, 25, 0, 3}, {{170, 350}, 0, 0, 3},
                                           {{170, 420}, 0, 0, 2}, {{0, 420}, 30, 0.05, 4}};
  Result<plane::Loop> loop = plane::rounded(corners);
  EXPECT_TRUE(loop);
  return {*loop, {}, {"front", "right", "back", "notch", "left"}};
}

std::vector<Design> designs() {
  const double h = 114;
  const EdgeProfile square, r20 = profile("round", {20}, h), r45 = profile("round", {45}, h),
                            front = profile("ellipse", {70, 50}, h), cut = profile("chamfer", {30, 18}, h);
  return {
      {"seat", plane::rectangle(560, 530, 45), h, {front, r20, r20, r20}, {r20, square, square, square}},
      {"small_corners", plane::rectangle(560, 530, 12), h, {front, r20, r45, r20}, {square, square, square, square}},
      {"sharp_corners", plane::rectangle(400, 300, 0), h, {front, r20, r45, cut}, {square, square, square, square}},
      {"square_beside_round",
       plane::rectangle(400, 300, 60),
       h,
       {front, square, square, square},
       {square, cut, square, square}},
      {"notched", notched(), h, {front, r20, r20, r45, r20}, {square, square, square, square, square}, 200},
  };
}

class Levels : public testing::TestWithParam<int> {};

TEST_P(Levels, LieOnTheFormAndNest) {
  const Design d = designs()[static_cast<std::size_t>(GetParam())];
  const Result<Form> form = Form::make(d.outline, d.height, {d.top, {}}, {d.bottom, {}});
  ASSERT_TRUE(form) << d.name << (form.findings().empty() ? "" : form.findings()[0].message);
  double last = 1e300;
  for (const double drop : {45.0, 30.0, 22.0, 19.0, 12.0, 5.0, 1.0}) {
    const auto level = level_outlines(*form, drop, kAny);
    ASSERT_TRUE(level) << d.name << " at " << drop;
    if (drop == 12) {
      EXPECT_NEAR(area(*level), scanned_area(*form, d.outline, drop), d.area_tolerance) << d.name;
    }
    EXPECT_LE(area(*level), last + 1e-6) << d.name;
    last = area(*level);
    double worst = 0;
    for_boundary(*level, [&](Vec2 p) {
      // On the sides themselves the drop may be less than the level.
      if (plane::nearest(d.outline, p).distance < 0.02 && form->drop(Sheet::top, p) <= drop) return;
      worst = std::max(worst, off_level(*form, Sheet::top, p, drop));
    });
    EXPECT_LT(worst, 0.02) << d.name << " at " << drop;
  }
}

TEST_P(Levels, FlatOfTheFaceIsWhereNothingHasDropped) {
  const Design d = designs()[static_cast<std::size_t>(GetParam())];
  const Result<Form> form = Form::make(d.outline, d.height, {d.top, {}}, {d.bottom, {}});
  ASSERT_TRUE(form);
  const auto flat = level_outlines(*form, 0, kAny);
  ASSERT_TRUE(flat);
  ASSERT_FALSE(flat->empty());
  // Just inside the boundary nothing has dropped, just outside something has.
  for (const plane::Outline& o : *flat) {
    for (std::size_t i = 0; i < o.outer.size(); ++i) {
      const plane::Segment s = plane::segment(o.outer, i);
      if (s.length() < 0.5) continue;
      const Vec2 p = s.point(0.5), in = s.inward(0.5);
      EXPECT_EQ(form->drop(Sheet::top, p + 1e-3 * in), 0) << d.name;
      if (plane::nearest(d.outline, p).distance > 1e-6) {
        EXPECT_GT(form->drop(Sheet::top, p - 0.2 * in), 0) << d.name << " at " << p.x << ", " << p.y;
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Designs, Levels, testing::Range(0, 5));

// One profile all round: the level is the parallel curve, by Steiner's formula exact.
TEST(Level, UniformIsTheParallelCurve) {
  const double h = 100, r = 25;
  const EdgeProfile round = profile("round", {r}, h);
  const Result<Form> form = Form::make(plane::rectangle(500, 450, 40), h, {{round, round, round, round}, {}}, {{}, {}});
  ASSERT_TRUE(form);
  for (const double drop : {0.0, 3.0, 10.0, 20.0}) {
    const double d = r - std::sqrt(r * r - (r - drop) * (r - drop));  // inset of a circle of radius r at that drop
    const auto level = level_outlines(*form, drop, kAny);
    ASSERT_TRUE(level);
    const double a = 500 * 450 - (4 - pi) * 1600, l = 1900 - (8 - 2 * pi) * 40;
    EXPECT_NEAR(area(*level), a - l * d + pi * d * d, 1e-6 * 1e-3 * a) << drop;
  }
}

}  // namespace
}  // namespace kerfkiln::cushion
