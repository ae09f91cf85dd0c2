#include "tests/support/random_zones.hpp"

#include <cmath>
#include <optional>

#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/skins.hpp"
#include "modeler/cushion/zones.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/plane/offset.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::test {
namespace {

using namespace cushion;

double half(double mm) { return std::round(mm * 2) / 2; }

std::optional<plane::Outline> core_of(const Spec& s, const Plan& plan) {
  const Result<Skins> skins = skins_of(s, material::built_in());
  if (!skins) return std::nullopt;
  const Result<std::vector<plane::Outline>> core = plane::offset(plan.outline, -skins->side_mm);
  if (!core || core->size() != 1) return std::nullopt;
  return core->front();
}

std::string foam(Random& r) {
  const auto& foams = material::built_in().foams;
  return foams[static_cast<std::size_t>(r.below(static_cast<int>(foams.size())))].first;
}

ZoneSpec strip(Random& r, const plane::Outline& core) {
  const plane::Box box = plane::bounds(core);
  ZoneSpec z;
  z.foam = foam(r);
  z.strip.side = core.sides[static_cast<std::size_t>(r.below(static_cast<int>(core.sides.size())))];
  z.strip.width = half(r.between(15, 0.35 * std::min(box.width(), box.depth())));
  return z;
}

ZoneSpec placed(Random& r, const plane::Outline& core) {
  const plane::Box box = plane::bounds(core);
  const double w = half(r.between(20, 0.5 * box.width())), d = half(r.between(20, 0.5 * box.depth()));
  ZoneSpec z;
  z.foam = foam(r);
  z.outline.x = half(r.between(box.low.x, box.high.x));
  z.outline.y = half(r.between(box.low.y, box.high.y));
  if (r.chance(0.3)) {
    VerticesSpec disc;
    for (const double x : {-0.5, 0.5}) {
      VertexSpec v;
      v.x = half(x * w);
      v.y = 0;
      v.bulge = 1;
      disc.outer.push_back(v);
    }
    z.outline.shape = disc;
  } else {
    z.outline.shape = RectangleSpec{w, d, half(std::min(w, d) * r.between(0, 0.45))};
  }
  return z;
}

}  // namespace

void add_random_zones(Spec& s, std::uint64_t seed) {
  Random r(seed * 5 + 2);
  if (!r.chance(0.15)) return;
  const Result<Plan> plan = plan_of(s.outline, s.mirrored);
  if (!plan) return;
  const std::optional<plane::Outline> core = core_of(s, *plan);
  if (!core || core->sides.empty()) return;
  for (LayerSpec& layer : s.layers)
    for (const bool banded : {true, false}) {
      if (!r.chance(0.5)) continue;
      std::vector<ZoneSpec> zones = layer.zones;
      zones.push_back(banded ? strip(r, *core) : placed(r, *core));
      if (zones_of(zones, *core, plan->outline, s.mirrored)) layer.zones = std::move(zones);
    }
}

}  // namespace kerfkiln::test
