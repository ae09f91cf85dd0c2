#include "modeler/cushion/surface_distance.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {

namespace {

// The same for a face that does not rise, at `drop` below it.
double distance_to_drop(const DropField& field, Vec2 p, double drop, double enough, const DropField::Hit& hit) {
  const double vertical = std::abs(drop - hit.drop);
  if (vertical <= enough || hit.element < 0) return vertical;
  double distance = vertical;
  if (field.blended(hit.element)) {
    // Along the steepest way the surface is met after vertical * cos(slope).
    distance = vertical / std::sqrt(1 + hit.slope * hit.slope);
  } else {
    distance = std::min(vertical, field.profile(hit.element).curve->distance({hit.distance, drop}));
  }
  if (distance <= enough) return distance;
  const Boundary::Near side = field.boundary().nearest(p);
  const Element& e = field.boundary().elements()[static_cast<std::size_t>(side.element)];
  if (side.distance >= distance) return distance;
  // Straight out to the side face: either the face is met or, on the way, the sheet.
  const Vec2 q = e.point(e.foot(p));
  if (drop >= field.drop(q)) return side.distance;
  if (drop <= hit.drop) return distance;
  double inside = 0, outside = 1;
  while ((outside - inside) * side.distance > 1e-3 * distance) {
    const double mid = (inside + outside) / 2;
    (field.drop(p + mid * (q - p)) < drop ? inside : outside) = mid;
  }
  return std::min(distance, outside * side.distance);
}

}  // namespace

double distance_to_sheet(const Form& form, Sheet sheet, Vec2 p, double z, double enough, const DropField::Hit& hit) {
  const DropField& field = form.field(sheet);
  const Rise& rise = form.rise(sheet);
  if (rise.flat()) return distance_to_drop(field, p, sheet == Sheet::top ? form.height() - z : z, enough, hit);
  const double drop = rise.value(p) + (sheet == Sheet::top ? form.height() - z : z);
  const double vertical = std::abs(drop - hit.drop);
  if (vertical <= enough || hit.element < 0) return vertical;
  // Beside p the face rises by at most its slope times the way: never too small, and no more than the upright miss.
  // What is enough shrinks as much beforehand, or a distance given up on as small would come out above it.
  const double steeper = 1 + norm(rise.at(p).slope);
  return std::min(vertical, steeper * distance_to_drop(field, p, drop, enough / steeper, hit));
}

}  // namespace kerfkiln::cushion
