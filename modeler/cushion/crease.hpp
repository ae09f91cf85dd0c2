// Creases: pull-in lines in the top. A crease is a path in the plan, the strip that its cut takes and the depth below
// the core's surface. What the maker typed (crease_spec.hpp) becomes this list: patterns are drawn out, crossing
// creases part, and each runs in one or more stretches.
//
// Crossings (reference part 4): the deeper crease is cut through, of equal depths the first in the list; the other
// stops 5 mm short on both sides, its tape in pieces.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/crease_spec.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// One uninterrupted stretch of a crease.
struct CreaseRun {
  plane::Loop path;  // centre line on the core, an open chain (last bulge unused) or closed; ends at the outline
                     // where it runs out over the edge
  bool closed = false;
  bool out_at_start = false, out_at_end = false;
  plane::Outline strip;  // what is cut: butt ends, round outer joins; beyond the outline where it runs out
  double tape_mm = 0;    // length of the tape in it
};

struct Crease {
  std::string name;   // "crease 1", "diamond 4": printed
  std::string field;  // path of the spec's entry below the piece: "creases/0"
  bool trench = false;
  double depth_mm = 0;  // below the core's surface: floor z_top(p) - depth
  double width_mm = 0;  // of the cut: kerf, or tape + 3 mm + folded topper and cover
  double tape_width_mm = 0;
  std::vector<CreaseRun> runs;  // left to right along the path as typed
  double floor_min_mm = 0;      // least foam under the floor
  Vec2 floor_min_at;
  double volume_mm3 = 0;  // taken off the core, overlaps with creases before it in the list not counted again
  double tape_mm() const {
    double sum = 0;
    for (const CreaseRun& r : runs) sum += r.tape_mm;
    return sum;
  }
};

struct Creases {
  std::vector<Crease> list;
  Findings notes;  // warnings and notes, paths below the piece
};

// topper and cover fold into a trench (0 where there is none). width of the plan as given (for patterns and the other
// hand). Findings: crease.form, crease.path, crease.outside, crease.itself, crease.short, crease.through, crease.cut;
// warnings crease.floor, crease.deep, crease.edge, crease.spacing; notes crease.crossing.
struct CreaseSkins {
  double topper_mm = 0, cover_mm = 0;
};
Result<Creases> creases_of(const std::vector<CreaseSpec>&, const plane::Outline& given, bool mirrored, const Form&,
                           const CreaseSkins&);

// Width of the slot a trench needs in the core: tape + 3 mm + the topper folded to 0.4 of its thickness and the cover
// on both walls (reference part 4).
double trench_width(double tape_mm, const CreaseSkins&);

}  // namespace kerfkiln::cushion
