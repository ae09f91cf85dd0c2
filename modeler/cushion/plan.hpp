// The plan outline as the maker typed it, made into a line-arc outline or into findings.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Plan {
  plane::Outline outline;              // as given, mm, counter-clockwise, coordinates on the plan grid
  std::vector<std::string> shown;      // what each side is called on documents: a mirrored piece's left is on the left
  Findings notes;                      // warnings and notes; paths below the piece
  std::vector<product::Table> tables;  // how well a frame or drawing was met
};

// Side names as the edges refer to them stay in outline.sides; corner arcs made by a radius have side -1. Segments
// without a name are "side 1", "side 2", ... in typed order, those of a hole "hole 1", "hole 2", ...
// mirrored turns the plan about the vertical centre line of its bounding box.
//
// Findings, all at once, paths "outline/...": outline.size (not 0.1 mm ... 10 m), outline.vertices (too many),
// outline.radius (does not fit), outline.name ("other" names all the rest and cannot name a side), those of
// plane::rounded and plane::check_outline, those of frames and drawings (outline_sources.hpp); note outline.clockwise
// (read the other way round).
Result<Plan> plan_of(const OutlineSpec&, bool mirrored);

}  // namespace kerfkiln::cushion
