// Where the sections of the job sheet are taken.
#pragma once
#include <string>

#include "modeler/cushion/core.hpp"

namespace kerfkiln::cushion {

struct SectionPlace {
  double at_mm = 0;   // y of a section across the width, x of one from front to back
  std::string words;  // "at mid depth", "262 mm from the front"
};
// The middle of the outline's bounds; where a crease runs along there, the nearest place beside it at which none does:
// a section down the length of a cut would show its floor in place of the top. The middle if there is no such place
// within a quarter of the piece.
SectionPlace section_place(const Core&, bool across_width);

}  // namespace kerfkiln::cushion
