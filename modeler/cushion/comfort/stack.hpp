// Foam layers in series under one pressure: every layer carries all of it, so their order does not matter. Pressures in
// kPa. Films of adhesive are no layers (0.03 to 0.05 mm). Hardness tests read after 30 to 60 s; long sitting adds 10 to
// 20 % of creep (from memory), which is not in these numbers.
#pragma once
#include <span>
#include <vector>

#include "modeler/cushion/comfort/foam_law.hpp"

namespace kerfkiln::cushion {

struct StackLayer {
  double thickness_mm = 0;
  FoamLaw law;
  double densification = 1;   // strain at which the cells are shut
  double set = 0;             // share of the thickness lost when old
  double hardness_loss = 0;   // share of the hardness lost when old
  double thickness_lost = 0;  // mm, of an aged layer: what set has taken
};

enum class Bottoming { none, near, bottomed };

struct StackState {
  std::vector<double> strains;
  double sag_mm = 0;     // compression
  double height_mm = 0;  // of the unloaded stack
  double left_mm() const { return height_mm - sag_mm; }
  double overall() const { return height_mm > 0 ? sag_mm / height_mm : 0; }
  // Overall strain above 0.55 is near, above 0.65 bottomed (derived from the 65 % point of hardness tests).
  Bottoming bottoming() const;
};
StackState pressed(std::span<const StackLayer>, double pressure_kpa);
// Strain above 0.65 is near; above 0.75, or within 0.1 of densification, bottomed.
Bottoming layer_bottoming(const StackLayer&, double strain);
double margin(const StackLayer&, double pressure_kpa);  // stress at 65 % over the pressure

double pressure_at(std::span<const StackLayer>, double overall_strain);
double stiffness_kpa_mm(std::span<const StackLayer>, double pressure_kpa);  // of small changes about the pressure
double series_stiffness(std::span<const double> springs);

std::vector<StackLayer> harder(std::span<const StackLayer>, double factor);
std::vector<StackLayer> aged(std::span<const StackLayer>);

// The one foam that the stack feels like: the force on the foot at 25 % overall, and its support factor.
struct Grade {
  double indentation_25_n = 0, support_factor = 0;
};
Grade effective_grade(std::span<const StackLayer>, double indentation_ratio);

// Spread of production: every hardness is promised to 10 % (joint foam standards 1994).
inline constexpr double kHardnessSpread = 0.1;

}  // namespace kerfkiln::cushion
