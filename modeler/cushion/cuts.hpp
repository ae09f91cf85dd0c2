// All that is cut out of the shaped core: creases and pockets, the regions and depths that its mesh needs, and what
// each takes off the layers.
#pragma once
#include <span>
#include <vector>

#include "modeler/cushion/cells.hpp"
#include "modeler/cushion/crease.hpp"
#include "modeler/cushion/pockets.hpp"
#include "modeler/cushion/spec.hpp"

namespace kerfkiln::cushion {

struct Cuts {
  std::vector<Crease> creases;
  std::vector<Pocket> pockets;
  // Cuts from above and from below: regions in plan, first in the list of any that zones add.
  std::vector<plane::Outline> regions;
  std::vector<Cut> cuts;
  std::vector<double> off_layer_mm3;  // taken off each layer
  Findings notes;
  bool none() const { return creases.empty() && pockets.empty(); }
  bool from_sides() const {
    for (const Pocket& p : pockets)
      if (p.from == Pocket::From::side) return true;
    return false;
  }
  double volume_mm3() const {
    double sum = 0;
    for (double v : off_layer_mm3) sum += v;
    return sum;
  }
};

// levels as of volumes(). Findings of creases_of and pockets_of.
Result<Cuts> cuts_of(const Spec&, const plane::Outline& given, const Form&, std::span<const double> levels_mm,
                     const CreaseSkins&, const std::vector<std::string>& side_names);

}  // namespace kerfkiln::cushion
