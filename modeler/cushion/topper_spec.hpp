// How far a topper runs down the sides, as the maker typed it.
#pragma once
#include <string>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln::cushion {

struct DownToSpec {
  std::string where = "bottom";  // "bottom", "edge" or "depth"
  Length depth;                  // below the core's top, for "depth"
};

void describe(Visitor&, const FieldInfo&, DownToSpec&);

}  // namespace kerfkiln::cushion
