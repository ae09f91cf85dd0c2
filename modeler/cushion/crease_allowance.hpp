// What a crease consumes of cover and topper (reference part 4, derived there). Lengths across the crease, mm.
#pragma once

namespace kerfkiln::cushion {

// Down the wall, across the floor, up again, less the mouth. lip: radius of both upper edges.
double slot_extra(double depth, double mouth, double floor, double lip = 0);
double v_extra(double depth, double mouth);
double half_round_extra(double depth);  // mouth twice the depth

// The slot a core needs where the topper is folded in, compressed to `folded` on each wall.
struct CoreSlot {
  double width = 0, depth = 0;  // in the core; depth where the topper crosses the floor
  double topper_extra = 0;      // of the topper's middle line
};
CoreSlot core_slot(double finished_width, double finished_depth, double folded);

// Along one diagonal of a diamond whose corners lie `depth` lower than its middle.
double diamond_extra(double diagonal, double depth);

// Pull on the tape from cover tension (N/m on each side) that meets the face at an angle.
struct PullDown {
  double per_length = 0;  // N/m
  double pressure = 0;    // kPa on the tape
};
PullDown pull_down(double tension_n_m, double angle_rad, double tape_mm);

inline constexpr double kFoldedTopper = 0.4;  // of its thickness, in a crease (reference part 4)

}  // namespace kerfkiln::cushion
