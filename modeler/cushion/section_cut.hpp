// Vertical sections through the core, layer by layer, as lines and arcs.
#pragma once
#include <vector>

#include "modeler/cushion/core.hpp"

namespace kerfkiln::cushion {

struct LayerCut {
  std::size_t layer = 0;
  plane::Loop loop;  // x along the section, y the height above the underside; counter-clockwise
};
struct Section {
  std::vector<LayerCut> cuts;
  double low = 0, high = 0;           // where the section enters and leaves the core
  int low_side = -1, high_side = -1;  // sides it passes there
};

// across_width: y = place, x runs along the section; else x = place and y runs along it. Where a section meets a
// straight side squarely and that side's profile alone shapes it, its curve is the profile itself; elsewhere the
// surface is sampled at most kSectionStepMm apart.
inline constexpr double kSectionStepMm = 1.0;
Section section_cut(const Core&, bool across_width, double place);

}  // namespace kerfkiln::cushion
