// What an urn weighs at each stage and how far it may lean.
#pragma once
#include <optional>

#include "modeler/urn/capacity.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/shrinkage.hpp"

namespace kerfkiln::urn {

// kg. Fired from the fired density; dry = fired / (1 - loss on ignition); wet (as it leaves the mould) = dry /
// (1 - cast water). While clay shrinks, each litre it loses is a litre of water (Bourry's diagram of drying, from
// memory), so leather-hard at the end of that = wet - 1 kg/L x (cast volume - dry volume): the body's first stage is
// taken to be drying, and there must be another after it. NaN where something is not known.
struct StageMasses {
  double fired = 0, dry = 0, leather_hard = 0, wet = 0;
};
StageMasses stage_masses(const material::Body&, double clay_volume_mm3);

struct Weight {
  double kg = 0, z = 0;  // mass and height of its centroid
};
struct Balance {
  Weight clay, lid, filling;
  double fill_level = 0;   // z
  bool filled_by = false;  // a mass was asked for, by "remains" or by the person; else to the fill line
  bool cut_short = false;  // it does not fit: filled to the fill line
  Standing empty, filled;  // lid included
};
// lid.kg 0: none. Tip angle over the short side of the foot.
Balance balance_of(const Spec&, const Wall&, const WareMeasure&, double fired_density_kg_m3, Weight lid);

}  // namespace kerfkiln::urn
