// Trimmed offsets against Steiner's formula, the references' check values, closed forms and their own definition.
#include "modeler/plane/offset.hpp"

#include <gtest/gtest.h>

#include <numbers>
#include <random>

#include "modeler/plane/corners.hpp"
#include "tests/modeler/plane/random_outline.hpp"

namespace kerfkiln::plane {
namespace {

using std::numbers::pi;

double total_area(const std::vector<Outline>& parts) {
  double sum = 0;
  for (const Outline& o : parts) sum += area(o);
  return sum;
}
double total_perimeter(const std::vector<Outline>& parts) {
  double sum = 0;
  for (const Outline& o : parts) sum += perimeter(o);
  return sum;
}

std::vector<Outline> must(const Outline& o, double d, Join join = Join::round) {
  auto result = offset(o, d, join);
  EXPECT_TRUE(result) << (result ? "" : result.findings()[0].message);
  return result ? *result : std::vector<Outline>{};
}

Outline polygon(std::initializer_list<Vec2> points) {
  Outline o;
  for (const Vec2 p : points) o.outer.push_back({p, 0, static_cast<int>(o.outer.size())});
  return o;
}

Loop circle(Vec2 c, double r) { return {{{c.x + r, c.y}, 1, 0}, {{c.x - r, c.y}, 1, 0}}; }

// G06, G07: 500 x 450 r 40 has A 223626.5; +25: L 1988.407, A 271373.2; -25: L 1674.248, A 179806.9.
TEST(Offset, ReferenceRoundedRectangle) {
  const Outline g06 = rectangle(500, 450, 40);
  const auto grown = must(g06, 25), shrunk = must(g06, -25);
  EXPECT_NEAR(total_perimeter(grown), 1988.407, 0.001);
  EXPECT_NEAR(total_area(grown), 271373.2, 0.05);
  EXPECT_NEAR(total_perimeter(shrunk), 1674.248, 0.001);
  EXPECT_NEAR(total_area(shrunk), 179806.9, 0.05);
  EXPECT_EQ(shrunk[0].outer.size(), 8u);
  for (std::size_t i = 0; i < 8; ++i) EXPECT_EQ(shrunk[0].outer[i].side, g06.outer[i].side);
}

// Steiner: outward area of a convex outline is A + P d + pi d^2, its perimeter P + 2 pi d.
TEST(Offset, SteinerOutward) {
  const Outline shapes[] = {rectangle(300, 200, 0),
                            rectangle(300, 200, 30),
                            polygon({{0, 0}, {100, 10}, {60, 90}}),
                            {circle({5, 5}, 40), {}, {}}};
  for (const Outline& o : shapes) {
    for (const double d : {0.1, 7., 250.}) {
      const auto grown = must(o, d);
      ASSERT_EQ(grown.size(), 1u);
      const double want = area(o) + perimeter(o) * d + pi * d * d;
      EXPECT_NEAR(total_area(grown) / want, 1, 1e-12);
      EXPECT_NEAR(total_perimeter(grown), perimeter(o) + 2 * pi * d, 1e-9);
    }
  }
}

// perf.md job C: A(d) of a rectangle L x W with corner radius R: (L - 2d)(W - 2d) - (4 - pi) max(R - d, 0)^2.
TEST(Offset, RectanglePastItsCornerRadius) {
  const Outline o = rectangle(600, 550, 60);
  for (const double d : {1., 25., 59.9, 60., 60.1, 100., 200., 274.9}) {
    const double r = std::max(60 - d, 0.);
    EXPECT_NEAR(total_area(must(o, -d)), (600 - 2 * d) * (550 - 2 * d) - (4 - pi) * r * r, 1e-7) << d;
  }
  EXPECT_EQ(must(o, -100)[0].outer.size(), 4u);
  EXPECT_EQ(must(o, -60)[0].outer.size(), 4u);
  EXPECT_TRUE(must(o, -275).empty());
  EXPECT_TRUE(must(o, -300).empty());
  EXPECT_TRUE(must(rectangle(300, 300, 40), -150).empty());
  EXPECT_TRUE(must(Outline{circle({0, 0}, 50), {}, {}}, -50).empty());
  EXPECT_NEAR(total_area(must(Outline{circle({0, 0}, 50), {}, {}}, -49)), pi, 1e-10);
}

// Re-entrant corners come out as arcs: an L with legs of 100 loses its strips less a quarter disc's complement.
TEST(Offset, ReentrantCornersTurnRound) {
  const Outline el = polygon({{0, 0}, {200, 0}, {200, 100}, {100, 100}, {100, 200}, {0, 200}});
  for (const double d : {1., 20., 40.}) {
    const auto inset = must(el, -d);
    ASSERT_EQ(inset.size(), 1u);
    // Mitred inset: L of the same shape; the corner at (100, 100) keeps the square d x d less its quarter disc out.
    const double mitred = (200 - 2 * d) * (100 - 2 * d) + (100 - 2 * d) * 100;
    EXPECT_NEAR(total_area(inset), mitred + (1 - pi / 4) * d * d, 1e-9) << d;
    EXPECT_NEAR(total_area(must(el, -d, Join::mitre)), mitred, 1e-9) << d;
  }
  EXPECT_EQ(must(el, -30)[0].outer.size(), 7u);
  // Past the half width of the legs only the elbow is left: points of the square 50 < x, y farther than d from (100,
  // 100).
  EXPECT_NEAR(total_area(must(el, -50)), 2500 - pi / 4 * 2500, 1e-5);
  EXPECT_TRUE(must(el, -60).empty());  // beyond 200 - 100 sqrt 2 = 58.58
}

TEST(Offset, CarriesSides) {
  const Outline tee = polygon({{0, 0}, {300, 0}, {300, 80}, {190, 80}, {190, 200}, {110, 200}, {110, 80}, {0, 80}});
  for (const double d : {-15., 15.}) {
    const auto moved = must(tee, d);
    ASSERT_EQ(moved.size(), 1u);
    int arcs = 0;
    for (std::size_t i = 0; i < moved[0].outer.size(); ++i) {
      const Vertex& v = moved[0].outer[i];
      if (v.bulge != 0) {
        ++arcs;
        EXPECT_EQ(v.side, -1);
        continue;
      }
      const Segment s = segment(moved[0].outer, i);
      const Segment from = segment(tee.outer, static_cast<std::size_t>(v.side));
      EXPECT_NEAR(norm(s.tangent(0) - from.tangent(0)), 0, 1e-12);
      EXPECT_NEAR(dot(s.a - from.a, from.inward(0)), -d, 1e-12);
    }
    EXPECT_EQ(arcs, d < 0 ? 2 : 6);
  }
}

// Two squares of 100 joined by a neck 40 wide: beyond 20 mm the inset is two squares with a rounded bay each.
TEST(Offset, DumbBellSplits) {
  const Outline bell = polygon({{0, 0},
                                {100, 0},
                                {100, 30},
                                {200, 30},
                                {200, 0},
                                {300, 0},
                                {300, 100},
                                {200, 100},
                                {200, 70},
                                {100, 70},
                                {100, 100},
                                {0, 100}});
  EXPECT_EQ(must(bell, -19).size(), 1u);
  EXPECT_EQ(must(bell, -21).size(), 2u);
  const auto exact = must(bell, -20);
  EXPECT_EQ(exact.size(), 2u);  // the neck has no width left
  // The part of each square within 20 mm: 60 x 60 square, the arcs of radius 20 about (100, 30), (100, 70) reach x = 80
  // only in a point, the opening between them lets the region bulge out to where they meet at x = 100.
  const double bulge = 20 * 40 - pi / 2 * 400;
  EXPECT_NEAR(total_area(exact), 2 * (3600 + bulge), 1e-4);
}

TEST(Offset, HolesMergeWithTheOutside) {
  Outline plate = rectangle(200, 200, 0);
  plate.holes.push_back(reversed(circle({100, 100}, 30)));
  const auto inset = must(plate, -20);
  ASSERT_EQ(inset.size(), 1u);
  ASSERT_EQ(inset[0].holes.size(), 1u);
  EXPECT_NEAR(area(inset[0]), 160. * 160 - pi * 2500, 1e-9);
  // At 40 mm the grown hole (radius 70) is larger than the shrunk square (half side 60): four corners are left.
  const auto corners = must(plate, -40);
  ASSERT_EQ(corners.size(), 4u);
  const double alpha = std::acos(60. / 70);  // half angle of the segment of the disc beyond a side
  const double disc_in_square = pi * 4900 - 4 * (4900 * alpha - 60 * std::sqrt(4900 - 3600.));
  EXPECT_NEAR(total_area(corners), 120. * 120 - disc_in_square, 1e-8);
  const auto grown = must(plate, 10);
  ASSERT_EQ(grown.size(), 1u);
  EXPECT_NEAR(area(grown[0]), 40000 + 8000 + pi * 100 - pi * 400, 1e-9);
  EXPECT_TRUE(must(plate, 30)[0].holes.empty());
}

TEST(Offset, OutwardFillsBays) {
  // A slot 20 wide closes at 10 mm.
  const Outline fork = polygon({{0, 0}, {100, 0}, {100, 100}, {60, 100}, {60, 40}, {40, 40}, {40, 100}, {0, 100}});
  const auto grown = must(fork, 10);
  ASSERT_EQ(grown.size(), 1u);
  const auto more = must(fork, 11);
  ASSERT_EQ(more.size(), 1u);
  EXPECT_TRUE(more[0].holes.empty());
}

// A mitred outward offset of a convex polygon adds d^2 tan(turn / 2) at each corner.
TEST(Offset, MitredCorners) {
  const Outline tri = polygon({{0, 0}, {100, 0}, {0, 100}});
  const double d = 10, tips = d * d * (1 + 2 * std::tan(3 * pi / 8));
  EXPECT_NEAR(total_area(must(tri, d, Join::mitre)), area(tri) + perimeter(tri) * d + tips, 1e-9);
}

// Smooth outlines come back when they are moved out and in again by less than their radii of curvature.
TEST(Offset, OutAndBackOnSmoothOutlines) {
  std::mt19937 random(5);
  for (int k = 0; k < 100; ++k) {
    const Outline o = smooth_outline(random, 25);
    const double d = 20;
    const auto out = must(o, d);
    ASSERT_EQ(out.size(), 1u);
    const auto back = must(out[0], -d);
    ASSERT_EQ(back.size(), 1u);
    EXPECT_NEAR(area(back[0]), area(o), 1e-6);
    for (const Vertex& v : back[0].outer) EXPECT_LT(nearest(o, v.at).distance, 1e-7);
    const auto in = must(o, -d);
    ASSERT_EQ(in.size(), 1u);
    EXPECT_NEAR(total_area(must(in[0], d)), area(o), 1e-6);
  }
}

// Every sampled point of a result lies at the distance; insets nest; the area falls by the perimeter.
void expect_right(const Outline& o, double d, std::uint32_t seed) {
  const auto parts = must(o, d);
  double worst = 0;
  for (const Outline& part : parts) {
    std::vector<Loop> loops = part.holes;
    loops.push_back(part.outer);
    for (const Loop& loop : loops) {
      for (std::size_t i = 0; i < loop.size(); ++i) {
        const Segment s = segment(loop, i);
        for (const double t : {0., 0.31, 0.77}) {
          const Vec2 p = s.point(t);
          worst = std::max(worst, std::abs(nearest(o, p).distance - std::abs(d)));
          EXPECT_EQ(contains(o, p), d < 0) << "seed " << seed << " distance " << d;
        }
      }
    }
  }
  EXPECT_LT(worst, 2e-6) << "seed " << seed << " distance " << d;
}

TEST(Offset, RandomOutlinesKeepTheDistanceAndNest) {
  int split = 0, empty = 0;
  for (std::uint32_t seed = 1; seed <= 2000; ++seed) {
    std::mt19937 random(seed);
    const Outline o = random_outline(random);
    std::uniform_real_distribution<double> u(1, 60);
    const double d = u(random);
    expect_right(o, -d, seed);
    expect_right(o, d, seed);
    const auto inner = must(o, -d);
    const auto outer = must(o, -0.8 * d);
    split += inner.size() > 1;
    empty += inner.empty();
    for (const Outline& part : inner) {
      const Vec2 p = part.outer[0].at;
      bool held = false;
      for (const Outline& ring : outer) held = held || contains(ring, p);
      EXPECT_TRUE(held) << "seed " << seed;
    }
    EXPECT_LE(total_area(inner), total_area(outer) + 1e-9) << "seed " << seed;
  }
  // The generator must reach what the test is about.
  EXPECT_GT(split, 50);
  EXPECT_GT(empty, 10);
}

// dA/dd = -P by central differences where the number of parts and vertices does not change. The second derivative of A
// is piecewise continuous, so the error is of the order of the step squared times the third.
TEST(Offset, AreaFallsByThePerimeter) {
  int checked = 0;
  for (std::uint32_t seed = 1; seed <= 300; ++seed) {
    std::mt19937 random(seed);
    const Outline o = random_outline(random);
    std::uniform_real_distribution<double> u(-40, 40);
    const double d = u(random), h = 1e-3;
    const auto at = must(o, d), less = must(o, d - h), more = must(o, d + h);
    const auto count = [](const std::vector<Outline>& parts) {
      std::size_t n = 0;
      for (const Outline& p : parts) {
        n += 1000 + p.outer.size();
        for (const Loop& hole : p.holes) n += 1000 + hole.size();
      }
      return n;
    };
    if (count(less) != count(at) || count(more) != count(at) || at.empty()) continue;
    ++checked;
    EXPECT_NEAR((total_area(more) - total_area(less)) / (2 * h) / total_perimeter(at), 1, 1e-5)
        << "seed " << seed << ' ' << d;
  }
  EXPECT_GT(checked, 200);
}

// The hard cases: outlines as drawings round them (corners to the plan grid or worse, so that arcs are tangent only
// nearly), insets by just the radius of one of their arcs. Parts must not vanish without a word: the area stays
// continuous. Gives up with a finding at most once in a thousand.
TEST(Offset, NearlyTangentArcsAndNearlyEqualRadii) {
  int gave_up = 0, tried = 0;
  for (std::uint32_t seed = 1; seed <= 2000; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> u(-1, 1);
    Outline o = snapped(smooth_outline(random, 20));
    const double noise = std::pow(10, -2. - static_cast<double>(random() % 7));
    for (Vertex& v : o.outer) v.at = v.at + noise * Vec2{u(random), u(random)};
    std::vector<double> radii;
    for (std::size_t i = 0; i < o.outer.size(); ++i)
      if (o.outer[i].bulge > 0) radii.push_back(segment(o.outer, i).radius());
    const double off = std::pow(10, -2. - static_cast<double>(random() % 10));
    const double d = radii[random() % radii.size()] + off * (static_cast<int>(random() % 3) - 1);
    const auto parts = offset(o, -d), less = offset(o, -(d - 1e-3));
    ++tried;
    if (!parts || !less) {
      ++gave_up;
      continue;
    }
    EXPECT_NEAR(total_area(*less) - total_area(*parts), 1e-3 * total_perimeter(*parts), 0.05) << "seed " << seed;
    for (const Outline& part : *parts)
      for (std::size_t i = 0; i < part.outer.size(); ++i)
        EXPECT_NEAR(nearest(o, segment(part.outer, i).point(0.4)).distance, d, 3.1e-5) << "seed " << seed;
  }
  EXPECT_LE(gave_up, tried / 1000);
}

// Typed outlines on a whole grid, moved by whole and half steps: many events at one distance.
TEST(Offset, StaircasesOnAGrid) {
  for (std::uint32_t seed = 1; seed <= 1000; ++seed) {
    std::mt19937 random(seed);
    const int n = 2 + static_cast<int>(random() % 5);
    std::vector<Vec2> points;
    const auto add = [&](Vec2 p) {
      if (points.empty() || !(points.back() == p)) points.push_back(p);
    };
    for (int i = 0; i < n; ++i) {
      const double y = -10. * static_cast<double>(1 + random() % 5);
      add({10. * i, y});
      add({10. * (i + 1), y});
    }
    for (int i = n; i-- > 0;) {
      const double y = 10. * static_cast<double>(1 + random() % 5);
      add({10. * (i + 1), y});
      add({10. * i, y});
    }
    Outline o;
    for (const Vec2 p : points) o.outer.push_back({p, 0, 0});
    const double d = 0.5 * (static_cast<int>(random() % 41) - 20);
    const auto parts = must(o, d), beside = must(o, d + 1e-4);
    // Strips of no width at d are left out there, and of length up to 120 beside it.
    EXPECT_NEAR(total_area(beside), total_area(parts) + 1e-4 * total_perimeter(parts), 0.03)
        << "seed " << seed << ' ' << d;
    for (const Outline& part : parts)
      for (const Vertex& v : part.outer) EXPECT_NEAR(nearest(o, v.at).distance, std::abs(d), 2e-6) << "seed " << seed;
  }
}

// The limit of the file format.
TEST(Offset, TenThousandVertices) {
  Outline o;
  for (int i = 0; i < 10000; ++i) {
    const double t = 2 * pi * i / 10000, r = 900 + 20 * std::cos(40 * t);
    o.outer.push_back({{r * std::cos(t), r * std::sin(t)}, 0, 0});
  }
  double last = area(o);
  for (const double d : {1., 10., 25., 100., 400., 850.}) {
    const double now = total_area(must(o, -d));
    EXPECT_LT(now, last);
    last = now;
  }
  EXPECT_GT(last, 0);
  EXPECT_TRUE(must(o, -890).empty());
}

}  // namespace
}  // namespace kerfkiln::plane
