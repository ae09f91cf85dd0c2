// Regions in a relief: closed solids on random cells, what is cut and what is left make the whole, zones tile layers.
#include "modeler/cushion/cells.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/solid/check.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

plane::Outline strip(Vec2 a, Vec2 b, double width) {
  const Vec2 n = width / 2 * left(unit(b - a));
  plane::Outline o;
  for (Vec2 p : {a - n, b - n, b + n, a + n}) o.outer.push_back({p, 0, 0});
  return o;
}
plane::Outline placed(double w, double d, double r, Vec2 at) { return plane::moved(plane::rectangle(w, d, r), at); }

void expect_valid(const solid::Mesh& mesh, int parts) {
  if (mesh.triangles.empty()) return;
  const Result<solid::Solid> s = solid::Solid::checked(mesh, {parts, true});
  if (s) return;
  for (const Finding& f : s.findings()) ADD_FAILURE() << f.code << ": " << f.message;
}

// The solids of all layers and of all that is cut off them, each valid; together the relief's own.
void expect_whole(const Form& f, const std::vector<double>& levels, const std::vector<plane::Outline>& regions,
                  const std::vector<Cut>& cuts, double deviation) {
  const Result<Relief> r = relief(f, levels, kReliefShare * deviation);
  ASSERT_TRUE(r);
  const Result<Cells> c = cells(f, *r, regions, cuts, deviation);
  ASSERT_TRUE(c) << c.findings().at(0).message;
  EXPECT_LE(measured_deviation(f, c->relief), deviation);
  const solid::Mesh all = piece(*c, {});
  expect_valid(all, shells(all));
  double sum = 0, removed = 0;
  for (std::size_t i = 0; i + 1 < levels.size(); ++i) {
    SCOPED_TRACE("layer " + std::to_string(i));
    const solid::Mesh layer = piece(*c, {i, {}, false}), gone = piece(*c, {i, {}, true});
    expect_valid(layer, shells(layer));
    EXPECT_EQ(parts(*c, {i, {}, false}), shells(layer));
    // Never made of foam: where the floor runs along a glue plane its parts may touch.
    EXPECT_TRUE(gone.triangles.empty() || solid::check_closed(gone).empty());
    sum += solid::volume(layer);
    removed += solid::volume(gone);
    double zones = 0;
    for (bool in : {false, true}) {
      const auto chosen = [in](std::span<const std::uint32_t> w) { return (!w.empty() && w[0] == 0) == in; };
      const solid::Mesh zone = piece(*c, {i, chosen, false});
      expect_valid(zone, shells(zone));
      zones += solid::volume(zone);
    }
    EXPECT_NEAR(zones, solid::volume(layer), 1e-9 * solid::volume(all));
  }
  EXPECT_NEAR(sum, solid::volume(all), 1e-9 * sum);
  const solid::Mesh uncut = core(c->relief);
  EXPECT_NEAR(sum + removed, solid::volume(uncut), 1e-9 * sum);
}

std::vector<std::pair<const char*, Form>> forms() {
  const EdgeProfiles mixed{{edge("ellipse", {60, 40}), edge("round", {20}), edge("chamfer", {30, 15}), {}}, {}};
  const auto make = [](plane::Outline o, double h, EdgeProfiles t, EdgeProfiles b) {
    return *Form::make(std::move(o), h, std::move(t), std::move(b));
  };
  plane::Outline holed = plane::rectangle(400, 300, 40);
  holed.sides.push_back("hole");
  holed.holes.push_back(circle({330, 220}, 35, true, 4));
  return {
      {"square", make(plane::rectangle(400, 300, 0), 100, {}, {})},
      {"rounded", make(plane::rectangle(400, 300, 40), 100, all(edge("round", {25})), all(edge("round", {15})))},
      {"mitred", make(plane::rectangle(400, 300, 0), 100, all(edge("round", {25})), all(edge("chamfer", {10, 15})))},
      {"four sides", make(plane::rectangle(400, 300, 30), 100, mixed, all(edge("round", {10})))},
      {"ell", make(ell(400, 300, 300, 200, 25), 100, all(edge("round", {30})), all(edge("chamfer", {5, 5})))},
      {"hole", make(holed, 100, all(edge("round", {20})), all(edge("round", {10})))}};
}

TEST(Cells, CreasesAndPocketsLeaveClosedSolids) {
  const std::vector<double> levels{0, 35, 65, 100};
  for (const auto& [name, form] : forms()) {
    SCOPED_TRACE(name);
    for (double deviation : {0.5, 0.05}) {
      SCOPED_TRACE(deviation);
      // Out over both edges, inside, slanting out over one, pocket from below into the edges' reach.
      expect_whole(form, levels,
                   {strip({-20, 100}, {420, 100}, 4), strip({80, 200}, {300, 203}, 5),
                    strip({200, 150}, {330, -40}, 30), placed(120, 60, 20, {40, 20}), placed(60, 40, 0, {100, 240})},
                   {{0, Cut::Kind::below_top, 40},
                    {1, Cut::Kind::below_top, 30},
                    {2, Cut::Kind::below_top, 35},
                    {3, Cut::Kind::roof, 20},
                    {4, Cut::Kind::floor, 70}},
                   deviation);
    }
  }
}

TEST(Cells, CutsThatCrossAndRegionsThatTouch) {
  const std::vector<double> levels{0, 35, 65, 100};
  for (const auto& [name, form] : forms()) {
    SCOPED_TRACE(name);
    // Two crossing creases of unlike depth, a flat pocket across one of them, two that share a boundary.
    expect_whole(form, levels,
                 {strip({-20, 100}, {420, 110}, 6), strip({150, -20}, {160, 320}, 8), placed(100, 80, 10, {200, 70}),
                  placed(40, 40, 0, {50, 150}), placed(30, 40, 0, {90, 150})},
                 {{0, Cut::Kind::below_top, 40},
                  {1, Cut::Kind::below_top, 25},
                  {2, Cut::Kind::floor, 70},
                  {3, Cut::Kind::floor, 60},
                  {4, Cut::Kind::below_top, 20}},
                 0.25);
  }
}

// A box: closed forms.
TEST(Cells, BoxWithSlotAndPockets) {
  const Form f = *Form::make(plane::rectangle(400, 300, 0), 100, {}, {});
  const std::vector<double> levels{0, 60, 100};
  const std::vector<plane::Outline> regions{strip({-20, 100}, {420, 100}, 4), placed(100, 50, 10, {100, 150}),
                                            placed(80, 60, 0, {250, 180})};
  const std::vector<Cut> cuts{{0, Cut::Kind::below_top, 50}, {1, Cut::Kind::roof, 30}, {2, Cut::Kind::floor, 40}};
  const Cells c = *cells(f, *relief(f, levels, 0.001), regions, cuts, 0.001);
  const double slot = 4 * 400 * 50, low = plane::area(regions[1]) * 30, high = 80 * 60 * 60;
  EXPECT_NEAR(solid::volume(piece(c, {})), 400 * 300 * 100 - slot - low - high, 4);  // of 12 million: 0.001 mm on arcs
  EXPECT_NEAR(solid::volume(piece(c, {0, {}, false})), 400 * 300 * 60 - 4 * 400 * 10 - low - 80 * 60 * 20, 4);
  EXPECT_NEAR(solid::volume(piece(c, {1, {}, false})), 400 * 300 * 40 - 4 * 400 * 40 - 80 * 60 * 40, 4);
  EXPECT_EQ(shells(piece(c, {1, {}, false})), 2);
  EXPECT_EQ(parts(c, {1, {}, false}), 2);
}

}  // namespace
}  // namespace kerfkiln::cushion::test
