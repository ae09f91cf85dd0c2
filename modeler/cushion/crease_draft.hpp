// Crease paths as drawn, before they are fitted into the foam: what the maker typed and what patterns give.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/finding.hpp"
#include "modeler/cushion/crease_spec.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

struct CreaseDraft {
  std::string name, field;
  plane::Loop path;  // in the plan of the piece, the other hand done
  bool closed = false;
  bool pattern = false;
  const CreaseSpec* spec = nullptr;
};

// All creases of the list in order; patterns fill the outline of the core, or what a margin leaves of it. Findings
// crease.form, crease.path, crease.pattern.
std::vector<CreaseDraft> drafted(const std::vector<CreaseSpec>&, const plane::Outline& given, bool mirrored,
                                 const plane::Outline& core, Findings& out);

}  // namespace kerfkiln::cushion
