// Samples for burn tests that are cut with a piece, as the maker typed them.
#pragma once
#include <string>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln::cushion {

struct CouponSpec {
  std::string test;  // printed
  std::string foam;  // empty: every foam of the piece, and its cover, batting and barrier
  Length width, length, thickness;
  int count = 3;  // of each material, once for the job
};

void describe(Visitor&, CouponSpec&);

}  // namespace kerfkiln::cushion
