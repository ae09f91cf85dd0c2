// The fired density from other ends: a water test of fired bars, and the mass balance of the casting slip.
#pragma once
#include "modeler/base/finding.hpp"
#include "modeler/material/spec.hpp"

namespace kerfkiln::urn {

// ASTM C373, boiled and soaked: masses dry D, suspended in water S, saturated M in any one unit; water 1 g/cm3.
struct WaterFigures {
  double absorption = 0;     // (M - D) / D
  double bulk_density = 0;   // D / (M - S), g/cm3
  double porosity = 0;       // (M - D) / (M - S), apparent
  double solid_density = 0;  // D / (D - S), apparent specific gravity, g/cm3
};
WaterFigures water_figures(double dry, double suspended, double saturated);

// g/cm3: dry matter of a litre of cast, less loss on ignition, over what the litre shrinks to. Volumes of water and
// grains add; the cast is saturated.
double density_from_slip(const material::Body&);

// "material.water_test" (error: not suspended < dry <= saturated), "material.density_check" (warning: the typed fired
// density is more than 2 % off the water test, or more than 5 % off the slip's mass balance where the slip was typed).
Findings check_fired_density(const std::string& body_name, const material::Body&);

}  // namespace kerfkiln::urn
