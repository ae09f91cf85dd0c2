// From what the maker typed of crown and contour to the rises of the core.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/rise.hpp"
#include "modeler/cushion/skins.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

// One curve of the contour with its points in the plan's coordinates, presets expanded.
struct ContourCurve {
  std::string name;         // "lumbar"
  std::string field;        // "contour/lumbar"
  bool along_depth = true;  // else across the width
  std::vector<HeightPoint> points;
  HeightCurve curve;
};

struct Rises {
  Rise top, bottom;
  double crown_top_mm = 0, crown_bottom_mm = 0;
  std::vector<ContourCurve> curves;
  // The sums over all curves of one direction.
  double contour_along(double y) const;
  double contour_across(double x) const;
  bool contoured(bool along_depth) const;
  Findings notes;
};

// Heights are those of the given surface. The core's surface is its parallel at the distance of the skins over it; here
// it is moved straight down by that distance, over the same plan, so the membrane of the crown is the given outline's.
// What that neglects is t (1 / cos slope - 1), first order in the thickness t of the skins; beyond 0.1 mm a note says
// so.
//
// Findings: crown.range; contour.range (a height or place that is not permitted), contour.order (places that do not
// rise), contour.bolsters (wider than the cushion allows), contour.lumbar (off the cushion); note skins.slope.
Result<Rises> rises_of(const Spec&, const Plan&, const Skins&);

// Points of every curve of the contour, and of the sum; empty without a contour.
product::Table contour_table(const Rises&, const Plan&);

}  // namespace kerfkiln::cushion
