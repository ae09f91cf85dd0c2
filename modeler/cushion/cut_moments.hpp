// First moments of what creases and pockets take, so that the centre of what is left is as exact as its volume.
#pragma once
#include "modeler/cushion/cuts.hpp"

namespace kerfkiln::cushion {

struct Moments {
  double volume = 0;  // mm3
  Vec3 first;         // mm4
};

// Of all cuts together, which overlap nowhere; closed where the face above is level, else by quadrature over the
// region, to 1e-7 of the core.
Result<Moments> cut_moments(const Form&, const Cuts&);

}  // namespace kerfkiln::cushion
