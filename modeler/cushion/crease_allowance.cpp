#include "modeler/cushion/crease_allowance.hpp"

#include <cmath>
#include <numbers>

namespace kerfkiln::cushion {

double slot_extra(double depth, double mouth, double floor, double lip) {
  return 2 * depth + floor - mouth - 2 * (2 - std::numbers::pi / 2) * lip;
}

double v_extra(double depth, double mouth) { return 2 * std::hypot(depth, mouth / 2) - mouth; }

double half_round_extra(double depth) { return depth * (std::numbers::pi - 2); }

CoreSlot core_slot(double finished_width, double finished_depth, double folded) {
  return {finished_width + 2 * folded, finished_depth + folded, 2 * (finished_depth + folded / 2)};
}

double diamond_extra(double diagonal, double depth) { return 2 * std::hypot(diagonal / 2, depth) - diagonal; }

PullDown pull_down(double tension, double angle, double tape) {
  const double per_length = 2 * tension * std::sin(angle);
  return {per_length, per_length / tape};  // N/m over mm: kPa
}

}  // namespace kerfkiln::cushion
