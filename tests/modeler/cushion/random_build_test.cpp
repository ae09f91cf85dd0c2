// Random designs through the whole product: none is refused, layers sum to the core, blanks hold their layers, insets
// of the plan nest.
#include <gtest/gtest.h>

#include <cmath>

#include "modeler/cushion/build.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/plane/offset.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::cushion {
namespace {

// Every inset lies within the one before and is smaller, and the first within the plan.
void expect_nested(const plane::Outline& plan, std::uint64_t seed) {
  std::vector<plane::Outline> outer{plan};
  double room = plane::area(plan);
  for (const double inset : {3.0, 11.0, 40.0}) {
    const Result<std::vector<plane::Outline>> inner = plane::offset(plan, -inset);
    ASSERT_TRUE(inner) << "seed " << seed << " inset " << inset;
    double area = 0;
    for (const plane::Outline& part : *inner) {
      area += plane::area(part);
      for (const plane::Vertex& v : part.outer) {
        bool held = false;
        for (const plane::Outline& ring : outer) held = held || plane::contains(ring, v.at);
        EXPECT_TRUE(held) << "seed " << seed << " inset " << inset;
      }
    }
    EXPECT_LT(area, room) << "seed " << seed << " inset " << inset;
    if (inner->empty()) return;
    outer = *inner;
    room = area;
  }
}

double zones_of_layer(const product::Product& p, const std::string& layer) {
  double sum = 0;
  for (int k = 1; const product::Figure* f = p.figure(layer + ".zone." + std::to_string(k) + ".volume"); ++k)
    sum += f->value;
  return sum;
}

TEST(RandomBuild, NoValidDesignIsRefusedAndLayersSumToTheCore) {
  std::size_t zones = 0;
  for (std::uint64_t seed = 1; seed <= 2000; ++seed) {
    const Spec spec = test::random_cushion(seed);
    for (const LayerSpec& l : spec.layers) zones += l.zones.size();
    const product::Product p = build(spec, material::built_in());
    for (const Finding& f : p.findings)
      ASSERT_NE(f.severity, Severity::error) << "seed " << seed << " " << f.code << " " << f.path << " " << f.message;
    const double core = p.figure("core.volume")->value;
    double sum = 0;
    std::size_t rows = 0;
    for (std::size_t i = 1; i <= spec.layers.size(); ++i) {
      const std::string layer = "layer." + std::to_string(i);
      const double volume = p.figure(layer + ".volume")->value;
      sum += volume;
      rows += spec.layers[i - 1].zones.size();
      const double blank = p.figure(layer + ".blank.width")->value * p.figure(layer + ".blank.depth")->value *
                           p.figure(layer + ".blank.thickness")->value;
      // Zones have blanks of their own, and with what they leave they are the layer.
      const double apart = zones_of_layer(p, layer);
      EXPECT_LE((volume - apart) * 1e6, blank) << "seed " << seed << " " << layer;
    }
    EXPECT_NEAR(sum, core, 1e-12 * core) << "seed " << seed;
    EXPECT_GT(core, 0) << "seed " << seed;
    double finished = 0;
    for (const product::Blank& b : p.blanks) finished += b.finished_mm3 * 1e-6;
    EXPECT_NEAR(finished, core, 1e-9 * core) << "seed " << seed;
    EXPECT_GE(p.blanks.size(), spec.layers.size() + rows) << "seed " << seed;
    expect_nested(plan_of(spec.outline, spec.mirrored)->outline, seed);
  }
  EXPECT_GT(zones, 250U);
}

}  // namespace
}  // namespace kerfkiln::cushion
