// The base board under a cushion: what it weighs, costs and takes in adhesive.
#pragma once
#include <optional>
#include <string>

#include "modeler/base/result.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

struct Core;

struct BaseBoard {
  std::string material;
  double thickness_mm = 0, density_kg_m3 = 0, price_m2 = 0;  // NaN: not known
  double area_mm2 = 0;                                       // holes taken off
  double blank_mm2 = 0;                                      // of the rectangle around it
  double glue_mm2 = 0;                                       // where it meets the level part of the underside
  double kg() const { return area_mm2 * thickness_mm * 1e-9 * density_kg_m3; }
};
// None without a board. Density: the design's own, else that of the material of the same name. Precondition: the board
// passes check_underside; the core's flat_bottom and cuts are known. Findings of the booleans.
Result<std::optional<BaseBoard>> base_board_of(const Core&, const Spec&, const material::Library&);

}  // namespace kerfkiln::cushion
