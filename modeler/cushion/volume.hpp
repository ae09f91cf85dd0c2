// Volumes of the form and of its layers, by quadrature on the defining functions and never on a mesh.
//
// With W(t) = integral over the plan of max(drop(p) - t, 0), the slab between z = l and z = u holds
//   V(l, u) = A (u - l) - [W_top(H - u) - W_top(H - l)] - [W_bottom(l) - W_bottom(u)],
// so layers telescope to the core exactly. W is integrated over the tiles of inward normals (s along the boundary, d
// along the normal up to the medial axis, Jacobian 1 - curvature d): inner integrals closed where one profile rules,
// adaptive Gauss-Kronrod elsewhere and in s.
//
// With a rise, drop - rise takes the place of the drop: the tiles hold what edges change of it, max(drop - rise - t, 0)
// - max(-rise - t, 0), which is nothing beyond their insets; the rest is the rise alone over the plan (rise_integral).
#pragma once
#include <span>
#include <vector>

#include "modeler/base/vec.hpp"
#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

struct VolumeOptions {
  // Wanted, of the core volume; 0: 1e-10 where one profile runs all round, else 1e-7.
  double relative_error = 0;
  bool general = false;  // true: integrate the general way even where one profile runs all round
};

struct Volumes {
  double core = 0;             // mm3
  double error = 0;            // estimate of the absolute error of core and of each layer, mm3
  std::vector<double> layers;  // mm3, bottom up
  Vec3 centroid;               // of the core, mm
};

// levels: the heights of all layer boundaries, ascending, from the underside (0) to the nominal height, so that layer i
// lies between levels[i] and levels[i + 1]; the outermost layers take everything beyond. At least two levels.
Volumes volumes(const Form&, std::span<const double> levels_mm, const VolumeOptions& = {});

// The same for the part over a region of the plan: disjoint outlines within the form's. The tolerance stays that of the
// whole form.
Volumes volumes_within(const Form&, std::span<const plane::Outline> region, std::span<const double> levels_mm,
                       const VolumeOptions& = {});

// Area of the horizontal section at height z: where z_bottom <= z <= z_top, mm2. Glue faces are sections.
struct Area {
  double value = 0, error = 0;
};
Area section_area(const Form&, double z_mm, const VolumeOptions& = {});
// Area of the part of the plan where the sheet has not dropped more than t from its risen face.
Area level_area(const Form&, Sheet, double drop_mm, const VolumeOptions& = {});

}  // namespace kerfkiln::cushion
