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

// The level sheet's nearest point lies on the line through p and the boundary point that rules at p, or straight out to
// the side face: how steeply the rise runs along both, at most. A blend's lies anywhere.
double rise_beside(const DropField& field, Vec2 p, Vec2 slope, const DropField::Hit& hit) {
  if (field.blended(hit.element)) return norm(slope);
  const Boundary& boundary = field.boundary();
  const auto along = [&](int element) {
    return std::abs(dot(slope, boundary.elements()[static_cast<std::size_t>(element)].from_foot(p)));
  };
  const double ruling = along(hit.element);
  return field.uniform() ? ruling : std::max(ruling, along(boundary.nearest(p).element));
}

// The rise moves the level sheet's points straight up, by `steep` times what they lie off p: no distance to them grows
// by more than the largest stretch of that shear.
double shear(double steep) { return (steep + std::sqrt(steep * steep + 4)) / 2; }

}  // namespace

double distance_to_sheet(const Form& form, Sheet sheet, Vec2 p, double z, double enough, const DropField::Hit& hit) {
  const DropField& field = form.field(sheet);
  const Rise& rise = form.rise(sheet);
  if (rise.flat()) return distance_to_drop(field, p, sheet == Sheet::top ? form.height() - z : z, enough, hit);
  const double drop = rise.value(p) + (sheet == Sheet::top ? form.height() - z : z);
  const double vertical = std::abs(drop - hit.drop);
  if (vertical <= enough || hit.element < 0) return vertical;
  const RiseAt at = rise.at(p);
  const double steeper = shear(rise_beside(field, p, at.slope, hit));
  const double bend = (std::abs(at.xx) + 2 * std::abs(at.xy) + std::abs(at.yy)) / 2;
  // What is enough shrinks as much beforehand, or a distance given up on as small would come out above it.
  const double level_enough = 2 * enough / (steeper + std::sqrt(steeper * steeper + 4 * bend * enough));
  const double level = distance_to_drop(field, p, drop, level_enough, hit);
  return std::min(vertical, level * (steeper + bend * level));
}

}  // namespace kerfkiln::cushion
