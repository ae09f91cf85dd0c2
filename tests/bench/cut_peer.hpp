// The seat of the cut benchmark and OCCT's making of it.
#pragma once
#include <cstddef>

namespace bench {

struct Seat {
  double width = 560, depth = 540, height = 120, corner = 45, round = 20;  // mm
  double crease = 40, kerf = 4, crease_from = 80;                          // depth, width, distance from the front
  double pocket = 40, pocket_width = 200, pocket_depth = 100;              // from below, in the middle
};
inline constexpr Seat kSeat;

struct Made {
  double volume_mm3 = 0;
  std::size_t triangles = 0;
};
// A prism with rounded uprights; with a crown its top is cut by a B-spline surface through 18 x 18 places of the
// crown's membrane. The rim is filleted, creases and pocket are taken off in one boolean; floors of creases in a crown
// are that surface moved down. Then mesh and volume. The fillet's ball rolls on the crown where our round falls off it
// straight down: the forms differ by less than 1e-3 of the volume.
Made occt_seat(double crown_mm, double deviation_mm);

}  // namespace bench
