// Booleans in plain arithmetic against CGAL's exact ones of the same circle-segment polygons, and against their
// definition point by point; what rounding could decide has to be left to the exact ones.
#include "modeler/plane/quick_region.hpp"

#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/General_polygon_set_2.h>
#include <CGAL/Gps_circle_segment_traits_2.h>
#include <gtest/gtest.h>

#include <list>

#include "tests/modeler/plane/random_outline.hpp"

namespace kerfkiln::plane {
namespace {

using Kernel = CGAL::Exact_predicates_exact_constructions_kernel;
using Traits = CGAL::Gps_circle_segment_traits_2<Kernel>;
using Set = CGAL::General_polygon_set_2<Traits>;

Traits::General_polygon_2 exact_polygon(const Loop& loop) {
  std::vector<Traits::X_monotone_curve_2> pieces;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    const Vec2 m = s.point(0.5);
    const Kernel::Point_2 a(s.a.x, s.a.y), b(s.b.x, s.b.y);
    const Traits::Curve_2 curve = s.is_line() ? Traits::Curve_2(a, b) : Traits::Curve_2(a, {m.x, m.y}, b);
    std::list<CGAL::Object> monotone;
    Traits().make_x_monotone_2_object()(curve, std::back_inserter(monotone));
    for (const CGAL::Object& o : monotone) pieces.push_back(*CGAL::object_cast<Traits::X_monotone_curve_2>(&o));
  }
  return {pieces.begin(), pieces.end()};
}
Set exact_set(const Region& r) {
  Set set;
  for (const Outline& o : r) {
    Set one(exact_polygon(o.outer));
    for (const Loop& hole : o.holes) one.difference(exact_polygon(reversed(hole)));
    set.join(one);
  }
  return set;
}
// to_double of a lazy number is good to 1e-5 only.
double rounded(const Kernel::FT& x) { return CGAL::to_double(x.exact()); }
double rounded(const Traits::Point_2::CoordNT& x) {
  return x.is_extended() ? rounded(x.a0()) + rounded(x.a1()) * std::sqrt(rounded(x.root())) : rounded(x.a0());
}
double exact_area(const Traits::General_polygon_2& p) {
  Loop loop;
  for (auto c = p.curves_begin(); c != p.curves_end(); ++c) {
    const auto at = [](const auto& q) { return Vec2{rounded(q.x()), rounded(q.y())}; };
    const Vec2 a = at(c->source()), b = at(c->target());
    double bulge = 0;
    if (c->is_circular()) {
      const Vec2 centre = at(c->supporting_circle().center());
      const double r = std::sqrt(rounded(c->supporting_circle().squared_radius()));
      const double half_sine = norm(b - a) / 2 / r;
      const double sweep = half_sine < 0.5
                               ? 2 * std::asin(half_sine)
                               : std::abs(std::atan2(cross(a - centre, b - centre), dot(a - centre, b - centre)));
      bulge = std::tan(sweep / 4) * (c->orientation() == CGAL::COUNTERCLOCKWISE ? 1 : -1);
    }
    loop.push_back({a, bulge, -1});
  }
  return area(loop);
}
struct Sum {
  double area = 0;
  std::size_t outlines = 0, holes = 0;
};
Sum exact_sum(const Set& set) {
  std::vector<Traits::General_polygon_with_holes_2> parts;
  set.polygons_with_holes(std::back_inserter(parts));
  Sum s;
  s.outlines = parts.size();
  for (const auto& part : parts) {
    s.area += exact_area(part.outer_boundary());
    for (auto h = part.holes_begin(); h != part.holes_end(); ++h, ++s.holes) s.area += exact_area(*h);
  }
  return s;
}
Sum sum_of(const Region& r) {
  Sum s;
  for (const Outline& o : r) s.area += area(o), ++s.outlines, s.holes += o.holes.size();
  return s;
}

bool in_region(const Region& r, Vec2 p) {
  for (const Outline& o : r)
    if (contains(o, p)) return true;
  return false;
}
double boundary_distance(const Region& r, Vec2 p) {
  double d = INFINITY;
  for (const Outline& o : r) d = std::min(d, nearest(o, p).distance);
  return d;
}

constexpr Combining kAll[] = {Combining::united, Combining::intersected, Combining::subtracted};

Sum exact_sum(const Region& a, const Region& b, Combining how) {
  Set set = exact_set(a);
  if (how == Combining::united) set.join(exact_set(b));
  if (how == Combining::intersected) set.intersection(exact_set(b));
  if (how == Combining::subtracted) set.difference(exact_set(b));
  return exact_sum(set);
}

void expect_right(const Region& a, const Region& b, Combining how, const Region& got, std::uint32_t seed) {
  const Sum exact = exact_sum(a, b, how), ours = sum_of(got);
  EXPECT_NEAR(ours.area, exact.area, 1e-8) << seed;
  EXPECT_EQ(ours.outlines, exact.outlines) << seed;
  EXPECT_EQ(ours.holes, exact.holes) << seed;
  for (const Outline& o : got) EXPECT_TRUE(simple(o)) << seed;
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> u(-300, 300);
  for (int i = 0; i < 200; ++i) {
    const Vec2 p{u(random), u(random)};
    if (std::min(boundary_distance(a, p), boundary_distance(b, p)) < 1e-3) continue;
    const bool x = in_region(a, p), y = in_region(b, p);
    const bool want = how == Combining::united ? x || y : how == Combining::intersected ? x && y : x && !y;
    EXPECT_EQ(in_region(got, p), want) << seed << " at " << p.x << ", " << p.y;
  }
}

// Two outlines; then several in one operand, which what two of them leave of a third is.
TEST(QuickRegion, AgreesWithTheExactOnesAndWithTheDefinition) {
  int clear = 0, all = 0;
  for (std::uint32_t seed = 1; seed <= 300; ++seed) {
    std::mt19937 random(seed);
    const Region a{random_outline(random)}, b{moved(random_outline(random), {40, -25})},
        c{moved(random_outline(random), {-30, 60})};
    for (const Combining how : kAll) {
      ++all;
      const std::optional<Region> got = combined_where_clear(a, b, how);
      if (!got) continue;
      ++clear;
      expect_right(a, b, how, *got, seed);
      for (const Combining then : kAll) {
        ++all;
        const std::optional<Region> more = combined_where_clear(*got, c, then);
        if (!more) continue;
        ++clear;
        expect_right(*got, c, then, *more, seed);
      }
    }
  }
  EXPECT_GT(clear, 0.99 * all) << all;
}

Outline block(double x, double y, double w, double h) {
  return Outline{{{{x, y}}, {{x + w, y}}, {{x + w, y + h}}, {{x, y + h}}}, {}, {}};
}
Outline disc(Vec2 c, double r) { return {{{{c.x, c.y - r}, 1, -1}, {{c.x, c.y + r}, 1, -1}}, {}, {}}; }

TEST(QuickRegion, LoopsThatNothingCrossesStay) {
  const Outline plate = rectangle(200, 100, 10);
  const Region pocket{disc({100, 50}, 30)};
  const std::optional<Region> left = combined_where_clear({plate}, pocket, Combining::subtracted);
  ASSERT_TRUE(left);
  ASSERT_EQ(left->size(), 1u);
  ASSERT_EQ(left->front().holes.size(), 1u);
  EXPECT_EQ(left->front().sides, plate.sides);
  for (std::size_t i = 0; i < plate.outer.size(); ++i) {
    EXPECT_EQ(left->front().outer[i].at, plate.outer[i].at);
    EXPECT_EQ(left->front().outer[i].side, plate.outer[i].side);
  }
  const std::optional<Region> inside = combined_where_clear(pocket, {plate}, Combining::intersected);
  ASSERT_TRUE(inside);
  EXPECT_EQ(inside->front().outer[0].at, pocket[0].outer[0].at);
  EXPECT_TRUE(combined_where_clear(pocket, {plate}, Combining::subtracted)->empty());
  EXPECT_EQ(combined_where_clear({}, pocket, Combining::united)->size(), 1u);
}

TEST(QuickRegion, WhatRoundingCouldDecideIsLeft) {
  const Region square{block(0, 0, 100, 100)};
  const auto left = [&](const Region& other) {
    for (const Combining how : kAll)
      if (combined_where_clear(square, other, how) || combined_where_clear(other, square, how)) return false;
    return true;
  };
  EXPECT_TRUE(left(square));
  for (const double off : {0.0, 1e-12, -1e-12, 1e-9, -1e-9, 1e-6, -1e-6}) {
    EXPECT_TRUE(left({block(100 + off, 0, 50, 100)})) << off;  // side by side
    EXPECT_TRUE(left({block(100 + off, 20, 50, 30)})) << off;
    EXPECT_TRUE(left({block(100 + off, 100 + off, 50, 50)})) << off;                      // corner to corner
    EXPECT_TRUE(left({{{{{50, 100 + off}}, {{60, 150}}, {{40, 150}}}, {}, {}}})) << off;  // a corner on a side
    EXPECT_TRUE(left({disc({120 + off, 50}, 20)})) << off;                                // tangent from outside
    EXPECT_TRUE(left({disc({80 + off, 50}, 20)})) << off;                                 // and from inside
    EXPECT_TRUE(left({{{{{-50, -50 + off}}, {{50, 50}}, {{150, 150}}, {{-100, 180}}}, {}, {}}}))
        << off;  // through corners
  }
  const Region round{disc({0, 0}, 50)};
  for (const Outline& other : {disc({80, 0}, 30), disc({20, 0}, 30), disc({0, 0}, 50 + 1e-9), disc({80 + 1e-9, 0}, 30)})
    EXPECT_FALSE(combined_where_clear(round, {other}, Combining::united));
  // Outlines of one operand that touch or lie within each other.
  EXPECT_FALSE(
      combined_where_clear({block(0, 0, 10, 10), block(10, 10, 5, 5)}, {block(50, 50, 9, 9)}, Combining::united));
  EXPECT_FALSE(
      combined_where_clear({block(0, 0, 10, 10), block(2, 2, 5, 5)}, {block(50, 50, 9, 9)}, Combining::united));
}

}  // namespace
}  // namespace kerfkiln::plane
