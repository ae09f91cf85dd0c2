// Members of materials that are kept and printed, not computed from.
#pragma once
#include "modeler/material/describe.hpp"

namespace kerfkiln::material {

inline void evidence(Visitor& v, Kept& store) {
  v.kept({.key = "evidence",
          .label = "Test evidence",
          .help = "Test reports of this material: recorded and printed, never judged.",
          .computed = false},
         {&store, "evidence"});
}
inline void unit_price(Visitor& v, Kept& store) {
  v.kept({.key = "price", .label = "Price", .help = "Price of the unit it is bought in.", .computed = false},
         {&store, "price"});
}

}  // namespace kerfkiln::material
