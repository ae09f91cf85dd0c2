#include "modeler/urn/fired_check.hpp"

#include <cmath>

#include "modeler/urn/message.hpp"
#include "modeler/urn/shrinkage.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kWaterTestOff = 0.02, kSlipOff = 0.05;  // what bars and moisture scatter by anyhow

std::string density(double g_cm3) { return shortest(g_cm3, 3) + " kg/L"; }

}  // namespace

WaterFigures water_figures(double dry, double suspended, double saturated) {
  WaterFigures f;
  f.absorption = (saturated - dry) / dry;
  f.bulk_density = dry / (saturated - suspended);
  f.porosity = (saturated - dry) / (saturated - suspended);
  f.solid_density = dry / (dry - suspended);
  return f;
}

double density_from_slip(const material::Body& b) {
  const double w = b.slip.cast_water.value, grain = b.slip.dry_specific_gravity.value;
  const double cast = 1 / ((1 - w) / grain + w);  // kg/L
  double kept = 1;
  for (const material::ShrinkageStage& s : b.stages) kept *= 1 - volume_from_linear(stage_shrinkage(s));
  return cast * (1 - w) * (1 - b.loss_on_ignition.value) / kept;
}

Findings check_fired_density(const std::string& body_name, const material::Body& b) {
  Findings out;
  const double typed = b.fired_density.value * 1e-3;
  const auto off = [&](double other, double most, const std::string& source, const std::string& remedy) {
    if (!(std::abs(other / typed - 1) > most)) return;
    out.push_back({Severity::warning, "material.density_check", "body",
                   "The fired density of clay body \"" + body_name + "\" is given as " + density(typed) + ", but " +
                       source + " " + density(other) + " (" + shortest(std::abs(other / typed - 1) * 100, 1) +
                       " % off; up to " + shortest(most * 100) + " % is usual)",
                   remedy});
  };
  const material::WaterTest& t = b.water_test;
  if (t.written()) {
    if (!(t.suspended.value < t.dry.value && t.dry.value <= t.saturated.value))
      out.push_back({Severity::error, "material.water_test", "body",
                     "The water test of clay body \"" + body_name + "\" has the masses dry " +
                         shortest(t.dry.value * 1e3) + " g, suspended " + shortest(t.suspended.value * 1e3) +
                         " g, saturated " + shortest(t.saturated.value * 1e3) +
                         " g; suspended must be less than dry, and dry at most saturated",
                     "Weigh the bar dry, hanging in water after boiling, and wiped in air (ASTM C373)."});
    else
      off(water_figures(t.dry.value, t.suspended.value, t.saturated.value).bulk_density, kWaterTestOff,
          "the water test says", "Type the tested density, or test again.");
  }
  if (b.slip.written())
    off(density_from_slip(b), kSlipOff, "slip, loss on ignition and shrinkage give",
        "One of cast water, loss on ignition, shrinkage or density is wrong; measure them on one batch.");
  return out;
}

void add_fired_check(const Ware& w, FigureList& f) {
  const material::Body& b = w.materials.body;
  const std::string path = "materials/bodies/" + w.materials.body_name;
  const double slip = density_from_slip(b);
  if (std::isfinite(slip))
    f.add("fired.density_slip", "Fired density by the slip", slip, "kg/L",
          {path + "/slip", path + "/loss_on_ignition", "shrinkage.total"},
          "dry matter of the cast x (1 - loss on ignition) / volume it shrinks to; a cross-check of the typed density");
  if (!b.water_test.written()) return;
  const WaterFigures t =
      water_figures(b.water_test.dry.value, b.water_test.suspended.value, b.water_test.saturated.value);
  const std::vector<std::string> from{path + "/water_test"};
  f.add("fired.density_tested", "Fired density by the water test", t.bulk_density, "kg/L", from,
        "dry / (saturated - suspended), ASTM C373");
  f.add("fired.absorption", "Water absorption", t.absorption * 100, "%", from, "(saturated - dry) / dry, ASTM C373");
  f.add("fired.porosity", "Open porosity", t.porosity * 100, "%", from,
        "(saturated - dry) / (saturated - suspended), ASTM C373");
}

}  // namespace kerfkiln::urn
