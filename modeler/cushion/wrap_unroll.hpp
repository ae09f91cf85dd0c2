// A rising face laid flat: lengths follow the layer's middle along the two lines through the middle of the plan, along
// depth and across width. Exact where the face rises along one of them only; elsewhere the layer is stretched or
// pressed in its plane, and how much is said.
#pragma once
#include <functional>

#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

struct Unrolled {
  std::function<Vec2(Vec2)> place;  // none where the face is level
  // Largest stretch and pressing of the layer's middle over the face, as shares; 0 where the face unrolls exactly.
  double stretched = 0, pressed = 0;
  Vec2 stretched_at, pressed_at;
};
// away_mm: of the layer's middle above the core. The middle of the outline's bounds stays where it is.
Unrolled unrolled(const Form&, double away_mm);

}  // namespace kerfkiln::cushion
