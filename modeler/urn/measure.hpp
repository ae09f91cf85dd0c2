// Volumes, areas and centroids by quadrature on the defining functions; meshes take no part.
//
// Gauss-Legendre per profile span and section piece. Round forms reach rounding level; squared ones 1e-9 relative where
// the inside is untrimmed and 1e-6 where it is trimmed; `error` is the estimate from two orders.
#pragma once
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

struct InnerSums;  // inner_integral.hpp

struct BodyMeasure {
  double volume = 0;      // mm3
  double side_area = 0;   // mm2, without floor and lid planes
  double centroid_z = 0;  // mm above the foot
  double error = 0;       // relative, of the volume
};

BodyMeasure measure_outside(const Form&);
BodyMeasure measure_inside(const Wall&, double level);  // floor to level, clamped to the lip
// The z up to which the inside holds `volume_mm3`; NaN when it holds less.
double level_of(const Wall&, double volume_mm3);

struct WareMeasure {
  BodyMeasure outside;       // the whole outer form, foot to lip
  BodyMeasure inside;        // floor to lip
  double fill_level = 0;     // z
  double capacity_fill = 0;  // mm3 to the fill line
  double fill_centroid_z = 0;
  double capacity_brim = 0;  // mm3 to the lip
  double recess_volume = 0;
  double clay_volume = 0;  // outside - inside - recess
  double clay_centroid_z = 0;
  double floor_area = 0;                            // inner floor
  double lip_area = 0;                              // the lip's flat
  double base_area = 0;                             // the whole foot outline
  double inside_area = 0;                           // inner side and floor: what is glazed inside
  double outside_area = 0;                          // outer side alone
  double foot_half_width = 0, foot_half_depth = 0;  // the foot outline's half sizes
  double tip_angle = 0;                             // rad, empty, over the short side: atan(half size / clay centroid)
  double error = 0;                                 // relative, largest estimate
};
// filled: the sums between floor and fill line where they are known already.
WareMeasure measure_ware(const Wall&, double fill_below_lip, const InnerSums* filled = nullptr);
// Tip angle with a filling: masses in any one unit. Height of the joint centroid and the angle in rad.
struct Standing {
  double centroid_z = 0, tip_angle = 0;
};
Standing standing(double foot_half_size, double mass_a, double centroid_a, double mass_b, double centroid_b);

struct SectionMeasure {
  SectionSize size;
  double area = 0, perimeter = 0;  // mm2, mm
};
SectionMeasure measure_section(const Form&, double z);

}  // namespace kerfkiln::urn
