// Zones: regions in plan and exact volumes over them, against closed forms and against each other on random designs.
#include "modeler/cushion/zones.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/edges.hpp"
#include "modeler/cushion/volume.hpp"
#include "tests/modeler/cushion/sample.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;
using std::numbers::pi;

ZoneSpec strip(const std::string& side, double width) {
  ZoneSpec z;
  z.foam = "f25";
  z.strip = {side, width};
  return z;
}
ZoneSpec placed(OutlineSpec shape, double x, double y) {
  ZoneSpec z;
  z.foam = "f25";
  z.outline = {std::move(shape), x, y};
  return z;
}
std::string words(const Findings& f) {
  std::string all;
  for (const Finding& x : f) all += x.code + " " + x.path + ": " + x.message + "\n";
  return all;
}

Result<Form> form_of(const Spec& s, const Plan& plan) {
  double height = 0;
  for (const LayerSpec& l : s.layers) height += l.thickness.value;
  Spec core = s;
  core.given_at = "core";
  core.cover.clear();
  core.batting.clear();
  const Result<Skins> skins = skins_of(core, materials());
  const Result<Edges> edges = edges_of(core, plan, *skins, height);
  if (!edges) return edges.findings();
  return Form::make(plan.outline, height, edges->top_profiles, edges->bottom_profiles);
}

// Bands of a rounded rectangle: the front's line cuts off a circular segment's worth at each corner.
// Area = w b - 2 (corner square less quarter disc) where the band is wider than the radius.
TEST(Zones, StripOfARoundedRectangle) {
  const plane::Outline o = plane::rectangle(500, 400, 40);
  const Result<ZonesOfLayer> z = zones_of({strip("front", 90), strip("right", 30)}, o, o, false);
  ASSERT_FALSE(z);  // they share the corner
  EXPECT_NE(finding(z.findings(), "zones.overlap", "zones/1"), nullptr) << words(z.findings());
  const Result<ZonesOfLayer> front = zones_of({strip("front", 90)}, o, o, false);
  ASSERT_TRUE(front);
  const double area = 500 * 90 - 2 * (1 - pi / 4) * 1600;
  EXPECT_NEAR(plane::area(front->zones[0].region), area, 1e-7);
  EXPECT_NEAR(plane::area(front->rest), plane::area(o) - area, 1e-7);
  // A 30 mm band meets the corners within their arcs.
  const Result<ZonesOfLayer> right = zones_of({strip("right", 30)}, o, o, false);
  ASSERT_TRUE(right);
  const double segment = 1600 * std::acos(10.0 / 40) - 10 * std::sqrt(1600.0 - 100);  // beyond 10 mm of the centre
  EXPECT_NEAR(plane::area(right->zones[0].region), 320 * 30 + segment, 1e-7);
}

// A side that is an arc: the band is a ring sector, exact; past its ends the tangents carry it on.
TEST(Zones, StripAlongAnArc) {
  VerticesSpec v;
  for (const auto& [x, y, name] :
       {std::tuple{0.0, 0.0, "front"}, {400.0, 0.0, "right"}, {400.0, 300.0, "head"}, {0.0, 300.0, "left"}}) {
    VertexSpec c;
    c.x = x;
    c.y = y;
    c.side = name;
    v.outer.push_back(c);
  }
  v.outer[2].bulge = 0.1;
  const Result<Plan> plan = plan_of(v, false);
  ASSERT_TRUE(plan);
  const Result<ZonesOfLayer> z = zones_of({strip("head", 50)}, plan->outline, plan->outline, false);
  ASSERT_TRUE(z) << words(z.findings());
  const double sweep = 4 * std::atan(0.1), r = 400 / (2 * std::sin(sweep / 2));
  const double ring = sweep / 2 * (r * r - (r - 50) * (r - 50));
  // Beyond the radial ends the tangents' bands fill the two wedges between the radius and the side, clipped by it.
  const double wedge = 50 * 50 * std::tan(sweep / 2) / 2;
  EXPECT_NEAR(plane::area(z->zones[0].region), ring + 2 * wedge, 1e-6);
}

TEST(Zones, OtherHandMirrorsZones) {
  const plane::Outline o = plane::rectangle(500, 400, 40);
  const ZoneSpec z = placed(RectangleSpec{80, 60, 10}, 100, 120);
  const Result<ZonesOfLayer> left = zones_of({z}, o, o, false), right = zones_of({z}, plane::mirrored(o), o, true);
  ASSERT_TRUE(left && right);
  const plane::Box a = plane::bounds(left->zones[0].region[0]), b = plane::bounds(right->zones[0].region[0]);
  EXPECT_DOUBLE_EQ(a.low.x, 60);
  EXPECT_DOUBLE_EQ(a.high.x, 140);
  EXPECT_DOUBLE_EQ(b.low.x, 360);
  EXPECT_DOUBLE_EQ(b.high.x, 440);
  EXPECT_DOUBLE_EQ(a.low.y, b.low.y);
}

TEST(Zones, WhatCannotBeDividedIsAFinding) {
  const plane::Outline o = plane::rectangle(500, 400, 40);
  const auto code = [&](std::vector<ZoneSpec> zones, const char* wanted, const char* path) {
    const Result<ZonesOfLayer> z = zones_of(zones, o, o, false);
    ASSERT_FALSE(z) << wanted;
    EXPECT_NE(finding(z.findings(), wanted, path), nullptr) << words(z.findings());
  };
  code({ZoneSpec{}}, "zones.where", "zones/0");
  ZoneSpec both = strip("front", 20);
  both.outline.shape = RectangleSpec{50, 50, 0};
  code({both}, "zones.where", "zones/0");
  ZoneSpec half = placed(RectangleSpec{50, 50, 0}, 30, 30);
  half.outline.y = Length{};
  code({half}, "zones.where", "zones/0");
  ZoneSpec unplaced = placed(RectangleSpec{50, 50, 0}, 30, 30);
  unplaced.outline.x = unplaced.outline.y = Length{};
  code({unplaced}, "outline.place", "zones/0/at");
  code({strip("fornt", 20)}, "zones.side", "zones/0/strip/side");
  code({placed(RectangleSpec{50, 50, 0}, 900, 30)}, "zones.outside", "zones/0");
  code({placed(RectangleSpec{50, 50, 30}, 100, 100)}, "outline.radius", "zones/0/outline/rectangle/corner_radius");
  code({placed(RectangleSpec{900, 900, 0}, 250, 200)}, "zones.nothing_left", "zones");
  code({strip("front", 200), strip("back", 200)}, "zones.nothing_left", "zones");
}

// In an L, the band along the inner side stays with that side's arm.
TEST(Zones, StripKeepsToItsSide) {
  VerticesSpec v;
  const double x[] = {0, 400, 400, 150, 150, 0}, y[] = {0, 0, 150, 150, 400, 400};
  const char* names[] = {"front", "right", "inner", "step", "back", "left"};
  for (int i = 0; i < 6; ++i) {
    VertexSpec c;
    c.x = x[i];
    c.y = y[i];
    c.side = names[i];
    v.outer.push_back(c);
  }
  const Result<Plan> plan = plan_of(v, false);
  const Result<ZonesOfLayer> z = zones_of({strip("back", 60)}, plan->outline, plan->outline, false);
  ASSERT_TRUE(z);
  EXPECT_NEAR(plane::area(z->zones[0].region), 150 * 60, 1e-7);
  // Where foam goes on beyond the inner corner the band ends square.
  const Result<ZonesOfLayer> inner = zones_of({strip("inner", 40)}, plan->outline, plan->outline, false);
  ASSERT_TRUE(inner);
  EXPECT_NEAR(plane::area(inner->zones[0].region), 250 * 40, 1e-7);
}

// The quarter round along the front takes r^2 (1 - pi/4) a millimetre of length: closed form (cylinder).
TEST(Zones, VolumeOfAStripUnderARoundedFront) {
  Spec s = block(500, 400, 0, {{"f40", 60}, {"f50", 40}});
  s.top.sides["front"] = edge("round", {30});
  const Result<Plan> plan = plan_of(s.outline, false);
  const Result<Form> form = form_of(s, *plan);
  ASSERT_TRUE(form);
  for (const double width : {20.0, 30.0, 90.0}) {
    const Result<ZonesOfLayer> z = zones_of({strip("front", width)}, plan->outline, plan->outline, false);
    ASSERT_TRUE(z);
    const double levels[] = {0, 60, 100};
    const Volumes v = volumes_within(*form, z->zones[0].region, levels, {.relative_error = 1e-10});
    // Height left over the plan at y: 30 + sqrt(900 - (30 - y)^2) + 40 - 30 of the upper layer.
    const double y = std::min(width, 30.0), u = 30 - y;
    const double under = (900 * pi / 2 - u * std::sqrt(900 - u * u) - 900 * std::asin(u / 30)) / 2;
    const double upper = 500 * (10 * width + under + 30 * (width - y));
    EXPECT_NEAR(v.layers[0], 500 * width * 60, 1e-3) << width;
    EXPECT_NEAR(v.layers[1], upper, 1e-3) << width;
  }
}

// Zones, and what is left integrated by itself, sum to the layer.
TEST(Zones, RandomZonesAndTheRestFillTheirLayer) {
  int made = 0;
  double worst_uniform = 0, worst_sided = 0;
  for (std::uint64_t seed = 1; made < 500; ++seed) {
    ASSERT_LT(seed, 2000U);
    SCOPED_TRACE("seed " + std::to_string(seed));
    Spec s = test::random_cushion(seed);
    if (seed % 3 == 0)  // one profile all round
      for (EdgeSet* set : {&s.top, &s.bottom})
        std::erase_if(set->sides, [](const auto& x) { return x.first != "other"; });
    const Result<Plan> plan = plan_of(s.outline, s.mirrored);
    const Result<Form> form = form_of(s, *plan);
    if (!form) continue;
    const plane::Box box = plane::bounds(plan->outline);
    test::Random r(seed);
    std::vector<ZoneSpec> zones;
    const std::vector<std::string>& sides = plan->outline.sides;
    if (r.chance(0.6))
      zones.push_back(strip(sides[static_cast<std::size_t>(r.below(static_cast<int>(sides.size())))],
                            r.between(5, 0.4 * box.depth())));
    if (zones.empty() || r.chance(0.5)) {
      const double w = r.between(20, 0.5 * box.width()), d = r.between(20, 0.5 * box.depth());
      zones.push_back(placed(RectangleSpec{w, d, r.between(0, std::min(w, d) / 2)}, r.between(box.low.x, box.high.x),
                             r.between(box.low.y, box.high.y)));
    }
    const Result<ZonesOfLayer> z = zones_of(zones, plan->outline, plan->outline, s.mirrored);
    if (!z) {
      for (const Finding& f : z.findings())
        EXPECT_TRUE(f.code == "zones.overlap" || f.code == "zones.outside" || f.code == "zones.nothing_left")
            << words(z.findings());
      continue;
    }
    ++made;
    std::vector<double> levels{0};
    for (const LayerSpec& l : s.layers) levels.push_back(levels.back() + l.thickness.value);
    const bool uniform = form->uniform(Sheet::top) && form->uniform(Sheet::bottom);
    const VolumeOptions options{.relative_error = uniform ? 1e-11 : 1e-6};
    const Volumes whole = volumes(*form, levels, options), rest = volumes_within(*form, z->rest, levels, options);
    std::vector<double> sum = rest.layers;
    double estimate = rest.error + whole.error;
    double plan_area = plane::area(z->rest);
    for (const ZonePlan& zone : z->zones) {
      const Volumes v = volumes_within(*form, zone.region, levels, options);
      estimate += v.error;
      for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += v.layers[i];
        EXPECT_GE(v.layers[i], -1e-6 * whole.core);
        EXPECT_LE(v.layers[i], plane::area(zone.region) * (levels[i + 1] - levels[i]) * (1 + 1e-9) + 1e-6 * whole.core);
      }
      plan_area += plane::area(zone.region);
    }
    EXPECT_NEAR(plan_area, plane::area(plan->outline), 1e-9 * plane::area(plan->outline));
    for (std::size_t i = 0; i < sum.size(); ++i) {
      const double off = std::abs(sum[i] - whole.layers[i]) / whole.core;
      (uniform ? worst_uniform : worst_sided) = std::max(uniform ? worst_uniform : worst_sided, off);
      EXPECT_LT(off, uniform ? 1e-9 : 1e-6) << "layer " << i << ", estimate " << estimate / whole.core;
    }
  }
  std::printf("zones and rest against the layer, of the core: %.1e with one profile, %.1e with edges by side\n",
              worst_uniform, worst_sided);
}

}  // namespace
}  // namespace kerfkiln::cushion
