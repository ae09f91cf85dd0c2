#include "modeler/cushion/surface_distance.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {

double distance_to_sheet(const Form& form, Sheet sheet, Vec2 p, double z, double enough) {
  const DropField& field = form.field(sheet);
  const double drop = sheet == Sheet::top ? form.height() - z : z;
  const DropField::Hit hit = field.strongest(p);
  const double vertical = std::abs(drop - hit.drop);
  if (vertical <= enough || hit.element < 0) return vertical;
  if (field.blended(hit.element)) {
    // Along the steepest way the surface is met after vertical * cos(slope).
    const double h = 1e-4;
    const Vec2 gradient{(field.drop(p + Vec2{h, 0}) - field.drop(p - Vec2{h, 0})) / (2 * h),
                        (field.drop(p + Vec2{0, h}) - field.drop(p - Vec2{0, h})) / (2 * h)};
    return vertical / std::sqrt(1 + dot(gradient, gradient));
  }
  const EdgeProfile& profile = field.profile(hit.element);
  double distance = std::min(vertical, profile.curve->distance({hit.distance, drop}));
  if (drop >= profile.drop) distance = std::min(distance, hit.distance);
  return distance;
}

}  // namespace kerfkiln::cushion
