// Offsets against CGAL's: approximated disc sums (arcs at corners, like ours) and straight skeletons (mitres).
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Gps_circle_segment_traits_2.h>
#include <CGAL/Polygon_2.h>
#include <CGAL/approximated_offset_2.h>
#include <CGAL/create_offset_polygons_2.h>
#include <gtest/gtest.h>

#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"
#include "tests/modeler/plane/random_outline.hpp"

namespace kerfkiln::plane {
namespace {

using Exact = CGAL::Exact_predicates_exact_constructions_kernel;
using Inexact = CGAL::Exact_predicates_inexact_constructions_kernel;
using ArcPolygon = CGAL::Gps_circle_segment_traits_2<Exact>::General_polygon_2;

// Straight star-shaped polygons: what CGAL's offsets take.
Outline random_polygon(std::uint32_t seed) {
  std::mt19937 random(seed);
  Outline o = random_outline(random);
  o.holes.clear();
  for (Vertex& v : o.outer) v.bulge = 0;
  return o;
}

template <class K>
CGAL::Polygon_2<K> polygon(const Outline& o) {
  CGAL::Polygon_2<K> p;
  for (const Vertex& v : o.outer) p.push_back({v.at.x, v.at.y});
  return p;
}

double area_of(const ArcPolygon& p) {
  Loop loop;
  for (auto c = p.curves_begin(); c != p.curves_end(); ++c) {
    const Vec2 a{CGAL::to_double(c->source().x()), CGAL::to_double(c->source().y())};
    const Vec2 b{CGAL::to_double(c->target().x()), CGAL::to_double(c->target().y())};
    double bulge = 0;
    if (c->is_circular()) {
      const Vec2 centre{CGAL::to_double(c->supporting_circle().center().x()),
                        CGAL::to_double(c->supporting_circle().center().y())};
      const double sweep = std::abs(std::atan2(cross(a - centre, b - centre), dot(a - centre, b - centre)));
      bulge = std::tan(sweep / 4) * (c->orientation() == CGAL::COUNTERCLOCKWISE ? 1 : -1);
    }
    loop.push_back({a, bulge, -1});
  }
  return area(loop);
}

double ours(const Outline& o, double d, Join join, std::size_t* parts = nullptr) {
  const auto result = offset(o, d, join);
  EXPECT_TRUE(result);
  if (parts) *parts = result->size();
  return area(*result);
}

TEST(OffsetOracle, DiscSums) {
  for (std::uint32_t seed = 1; seed <= 40; ++seed) {
    const Outline o = random_polygon(seed);
    const double d = 6 + seed;
    const auto grown = CGAL::approximated_offset_2(polygon<Exact>(o), Exact::FT(d), 1e-5);
    double want = area_of(grown.outer_boundary());
    for (auto h = grown.holes_begin(); h != grown.holes_end(); ++h) want -= std::abs(area_of(*h));
    EXPECT_NEAR(ours(o, d, Join::round) / want, 1, 1e-7) << seed;

    std::vector<ArcPolygon> inset;
    CGAL::approximated_inset_2(polygon<Exact>(o), Exact::FT(d), 1e-5, std::back_inserter(inset));
    double left = 0;
    for (const ArcPolygon& p : inset) left += std::abs(area_of(p));  // they come out clockwise
    std::size_t parts = 0;
    EXPECT_NEAR(ours(o, -d, Join::round, &parts), left, 1e-5 * perimeter(o)) << seed;
    EXPECT_EQ(parts, inset.size()) << seed;
  }
}

TEST(OffsetOracle, StraightSkeletonsAreMitred) {
  int compared = 0;
  for (std::uint32_t seed = 1; seed <= 300; ++seed) {
    const Outline o = random_polygon(seed);
    const double d = 4 + 0.2 * seed;
    const auto skeleton = CGAL::create_interior_skeleton_and_offset_polygons_2(d, polygon<Inexact>(o));
    double want = 0;
    for (const auto& p : skeleton) want += p->area();
    // Corners that turn by more than 168 degrees, which we round, do not occur in these outlines.
    EXPECT_NEAR(ours(o, -d, Join::mitre), want, 1e-6 * area(o)) << seed;
    compared += !skeleton.empty();
  }
  EXPECT_GT(compared, 200);
}

}  // namespace
}  // namespace kerfkiln::plane
