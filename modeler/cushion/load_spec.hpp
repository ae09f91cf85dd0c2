// Who sits on the piece, as the maker typed it.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln::cushion {

struct LoadSpec {
  Mass person, heavy_person;
  Ratio share;        // of the body's weight on this piece
  Area contact_area;  // over which it is spread
  Length x, y;        // where the middle of the load lies, in the plan; unknown: the middle of the outline
  Length height;      // of the unloaded top above the floor; unknown: no heights are reported
  bool known() const { return person.known(); }  // false: the design says nothing of a load
};

void describe(Visitor&, LoadSpec&);  // the members of "load"

}  // namespace kerfkiln::cushion
