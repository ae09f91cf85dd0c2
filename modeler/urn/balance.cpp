#include "modeler/urn/balance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "modeler/base/number_text.hpp"
#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kDegrees = 180 / std::numbers::pi;
constexpr double kWaterKgPerMm3 = 1e-6;

// The level down to which a filling sinks below the fill line, and the centroid of what is left.
struct Level {
  double z = 0, centroid_z = 0;
};
Level level_below(const Wall& wall, const WareMeasure& m, double volume) {
  const double whole = m.capacity_fill;
  double lo = wall.floor(), hi = m.fill_level, at = hi, held = whole, moment = whole * m.fill_centroid_z;
  double next = lo + (hi - lo) * volume / whole;
  for (int i = 0; i < 60; ++i) {
    // Only the slab between two levels is integrated anew.
    const double sign = next < at ? -1 : 1;
    const InnerSums slab = integrate_inside_coarsely(wall, std::min(at, next), std::max(at, next));
    held += sign * slab.volume, moment += sign * slab.moment, at = next;
    const double off = held - volume;
    (off > 0 ? hi : lo) = at;
    if (std::abs(off) <= 1e-9 * whole || hi - lo < 1e-9) break;
    next = at - off / inner_section_area(wall, at);
    if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
  }
  return {at, moment / held};
}

}  // namespace

StageMasses stage_masses(const material::Body& body, double clay_volume_mm3) {
  StageMasses m;
  m.fired = clay_volume_mm3 * 1e-9 * body.fired_density.value;
  m.dry = m.fired / (1 - body.loss_on_ignition.value);
  m.wet = m.dry / (1 - body.slip.cast_water.value);
  m.leather_hard = std::numeric_limits<double>::quiet_NaN();
  if (body.stages.size() < 2) return m;
  double dry_volume = clay_volume_mm3;
  for (std::size_t i = 1; i < body.stages.size(); ++i)
    dry_volume /= 1 - volume_from_linear(stage_shrinkage(body.stages[i]));
  const double cast_volume = dry_volume / (1 - volume_from_linear(stage_shrinkage(body.stages[0])));
  const double mass = m.wet - kWaterKgPerMm3 * (cast_volume - dry_volume);
  // A first stage that shrinks more than the water it holds is not drying alone.
  if (mass > m.dry) m.leather_hard = mass;
  return m;
}

Balance balance_of(const Spec& spec, const Wall& wall, const WareMeasure& m, double fired_density_kg_m3, Weight lid) {
  Balance b;
  b.clay = {m.clay_volume * 1e-9 * fired_density_kg_m3, m.clay_centroid_z};
  b.lid = lid;
  const CapacitySpec& c = spec.capacity;
  const double density = c.filling.value * 1e-9;  // kg/mm3
  double volume = m.capacity_fill;
  Level level{m.fill_level, m.fill_centroid_z};
  double asked = std::numeric_limits<double>::quiet_NaN();
  if (c.remains.known())
    asked = c.remains.value;
  else if (c.person.known())
    asked = kRemainsShare * c.person.value;
  if (!std::isnan(asked)) {
    b.filled_by = true;
    b.cut_short = asked / density > volume;
    if (!b.cut_short) {
      volume = asked / density;
      level = level_below(wall, m, volume);
    }
  }
  b.fill_level = level.z;
  b.filling = {volume * density, level.centroid_z};
  const double foot = std::min(m.foot_half_width, m.foot_half_depth);
  b.empty = standing(foot, b.clay.kg, b.clay.z, b.lid.kg, b.lid.z);
  const double both = b.clay.kg + b.lid.kg;
  b.filled = standing(foot, both, b.empty.centroid_z, b.filling.kg, b.filling.z);
  return b;
}

void add_balance(const Ware& w, FigureList& f) {
  const Balance& b = w.balance;
  const std::string body = "materials/bodies/" + w.materials.body_name;
  const StageMasses s = stage_masses(w.materials.body, w.measure.clay_volume);
  if (std::isfinite(s.dry))
    f.add("dry.mass", "Mass, dry", s.dry, "kg", {"fired.mass", body + "/loss_on_ignition"},
          "fired mass / (1 - loss on ignition); glaze not included");
  if (std::isfinite(s.leather_hard))
    f.add("leather_hard.mass", "Mass, leather-hard", s.leather_hard, "kg", {"wet.mass", body + "/stages/0"},
          "wet mass - 1 kg for each litre that the piece shrinks in the first stage, which is taken to be drying");
  if (std::isfinite(s.wet))
    f.add("wet.mass", "Mass, from the mould", s.wet, "kg", {"dry.mass", body + "/slip/cast_water"},
          "dry mass / (1 - water as cast), without the spare");
  std::vector<std::string> from{"capacity/filling", "profile", "wall"};
  std::string how = "filled to the fill line x bulk density";
  if (b.filled_by && !b.cut_short) {
    from.push_back(w.spec.capacity.remains.known() ? "capacity/remains" : "capacity/person");
    how = w.spec.capacity.remains.known() ? "as typed" : "3.5 % of the person's mass (Warren and Maples 1997)";
  } else if (b.cut_short) {
    how = "what is asked for does not fit; filled to the fill line x bulk density";
  }
  f.add("filling.mass", "Filling", b.filling.kg, "kg", from, how);
  f.add("filling.level", "Level of the filling", b.fill_level, "mm", {"filling.mass", "capacity/filling"},
        "height above the foot, level");
  f.add("filled.cg_height", "Centre of gravity, filled", b.filled.centroid_z, "mm",
        {"fired.cg_height", "filling.mass", "filling.level"}, "joint centroid of clay, lid and filling");
  f.add("filled.tip_angle", "Tip angle, filled", b.filled.tip_angle * kDegrees, "deg",
        {"filled.cg_height", "profile/0"},
        "arctan(half size of the foot on its short side / height of the centre of gravity)");
  f.add("filled.mass", "Mass, filled", b.clay.kg + b.lid.kg + b.filling.kg, "kg", {"fired.mass", "filling.mass"},
        b.lid.kg > 0 ? "clay, lid and filling" : "clay and filling");
}

product::Table balance_table(const Ware& w) {
  const Balance& b = w.balance;
  product::Table t{"balance",
                   "Balance, fired",
                   {"", "mass kg", "centre above the foot mm", "tip angle"},
                   {false, true, true, true},
                   {}};
  const auto row = [&](const char* what, double kg, double z, const std::string& tip) {
    t.rows.push_back({what, format_number(kg, 3), format_number(z, 1), tip});
  };
  const auto degrees = [](double rad) { return format_number(rad * kDegrees, 1) + " deg"; };
  row("urn", b.clay.kg, b.clay.z, b.lid.kg > 0 ? "" : degrees(b.empty.tip_angle));
  if (b.lid.kg > 0) {
    row("lid", b.lid.kg, b.lid.z, "");
    row("urn with lid", b.clay.kg + b.lid.kg, b.empty.centroid_z, degrees(b.empty.tip_angle));
  }
  row("filling", b.filling.kg, b.filling.z, "");
  row("filled", b.clay.kg + b.lid.kg + b.filling.kg, b.filled.centroid_z, degrees(b.filled.tip_angle));
  return t;
}

product::Table masses_table(const Ware& w) {
  const StageMasses s = stage_masses(w.materials.body, w.measure.clay_volume);
  product::Table t{
      "masses", "Mass of the urn at each stage", {"stage", "one kg", "all kg", "how"}, {false, true, true, false}, {}};
  const auto row = [&](const char* stage, double kg, const char* how) {
    if (std::isfinite(kg)) t.rows.push_back({stage, format_number(kg, 3), format_number(kg * w.spec.count, 1), how});
  };
  row("from the mould", s.wet, "dry / (1 - water as cast)");
  row("leather-hard", s.leather_hard, "less 1 kg for each litre it shrinks in drying");
  row("dry", s.dry, "fired / (1 - loss on ignition)");
  row("fired", s.fired, "clay volume x fired density; glaze not included");
  return t;
}

}  // namespace kerfkiln::urn
