// How the solid layer names places in its messages.
#pragma once
#include <cmath>
#include <string>

#include "modeler/base/number_text.hpp"
#include "modeler/base/vec.hpp"

namespace kerfkiln::solid {

inline std::string place_text(Vec3 p) {
  const auto number = [](double v) { return shortest_number(std::round(v * 1000) / 1000 + 0.); };
  return "(" + number(p.x) + ", " + number(p.y) + ", " + number(p.z) + ") mm";
}

}  // namespace kerfkiln::solid
