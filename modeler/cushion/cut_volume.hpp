// How much a cut takes off each layer, by quadrature on the defining functions; in closed form where the face above is
// flat and level.
#pragma once
#include <span>
#include <vector>

#include "modeler/cushion/cells.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {

struct CutVolume {
  double total = 0;            // mm3
  std::vector<double> layers;  // their sum is the total
};

// region: where the cut is made, within the core's outline. levels as of volumes(). error_mm3: wanted of each figure.
// Precondition: the cut leaves foam everywhere.
CutVolume cut_volume(const Form&, std::span<const double> levels_mm, const plane::Region& region, Cut::Kind kind,
                     double mm, double error_mm3);

}  // namespace kerfkiln::cushion
