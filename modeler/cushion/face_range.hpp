// The lowest and highest place of the top within a part of the plan, bounded.
#pragma once
#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

// Heights above the underside. They are reached at the places named; nowhere within `part` does the top lie more than
// gap_mm below low or above high.
struct FaceRange {
  double low = 0, high = 0, gap_mm = 0;
  Vec2 low_at, high_at;
};
// Branch and bound over boxes of the plan, by bounds of the rise (Rise::bounds) and of the drop (which grows no faster
// than its edges' profiles towards them), until the gap is at most gap_mm or boxes are smaller than 0.01 mm: beside
// blended corners and steep ends of edges the gap may stay larger. Precondition: part is not empty and lies within the
// outline.
FaceRange top_range(const Form&, const plane::Outline& part, double gap_mm);

}  // namespace kerfkiln::cushion
