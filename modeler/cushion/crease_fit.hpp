// A crease fitted to the core: where its path runs in the foam, and where another one goes through it.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "modeler/cushion/crease.hpp"
#include "modeler/cushion/crease_draft.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

// Common practice: from an edge; stretches shorter than the second are left out.
inline constexpr double kCreaseEdgeMm = 40, kCreaseRestMm = 15;

inline std::string place_text(Vec2 p) { return "(" + number_text(p.x, 1) + ", " + number_text(p.y, 1) + ") mm"; }

// A draft fitted to the core: where its path runs in the foam.
struct FittedCrease {
  CreaseDraft draft;
  Crease crease;
  CreasePath path;
  double from = 0, to = 0;  // lengths between which it lies in the foam
  bool out_at_start = false, out_at_end = false;
  std::vector<std::pair<double, double>> gaps;  // taken by creases that go through
  bool crossed = false;
};

// Fills in the path of a draft: the stretch of it within the core, ends extended past the outline where they run out.
// Findings crease.outside, crease.end and the like; false after an error.
bool fit_crease(const Form&, FittedCrease&, Findings&);

// The gaps of creases that others go through, crossed marked; finding crease.short and the like.
void cross_creases(std::vector<FittedCrease>&, Findings&);

}  // namespace kerfkiln::cushion
