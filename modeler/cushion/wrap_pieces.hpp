// The pieces in which a layer lies over the core: what creases leave between them, with the rims of each.
//
// A crease that ends on the face divides on: its line runs straight to the next crease or to the outline, and there the
// pieces butt. Pockets from the top are openings. Holes through the cushion are openings with an edge bent into them.
#pragma once
#include <memory>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/edges.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/wrap_pattern.hpp"

namespace kerfkiln::cushion {

// Where the layer ends on the side.
struct DownTo {
  enum class Where { bottom, edge, depth } where = Where::bottom;
  double depth_mm = 0;  // below the core's top at the rim
};

struct WrapLayer {
  double thickness_mm = 0;  // as laid
  double away_mm = 0;       // of its middle from the core
  DownTo down_to;
  bool into_creases = false;  // folded down the walls; else cut off over the wall's fold
  double folded_mm = 0;       // of one layer of topper in a crease
};

// How far down a side there is room: from the top at the rim to where the bottom edge begins, and what the top edge
// takes of it.
struct SideRoom {
  double drop_mm = 0, bottom_mm = 0;
};

class Rims {
 public:
  Rims(const Form&, WrapLayer);
  // At a place of the outline's loop (0 outer, 1 ... holes) and segment. Corner arcs blend their sides as the form
  // does.
  WrapSection section(int loop, int segment, double t) const;
  bool varies(int loop, int segment) const;
  SideRoom room(int loop, int segment, double t) const;
  const WrapLayer& layer() const { return layer_; }

 private:
  struct Blend {
    int from = -1, to = -1;  // sides
    double g0 = 0, g1 = 0;   // fractions of the run of corner segments
  };
  double weight(const Blend&, double t) const;
  Form form_;
  WrapLayer layer_;
  std::vector<std::vector<Blend>> blends_;
  std::vector<EdgeBend> bends_;  // of each profile of the top, `other` last
};

struct WrapPlan {
  std::vector<WrapPiece> pieces;      // front to back, left to right by their middles
  std::vector<plane::Outline> faces;  // of each piece, on the core
};
// Findings: wrap.pieces where the creases' lines do not divide the outline.
Result<WrapPlan> wrap_pieces(const Form&, const Cuts&, const std::shared_ptr<const Rims>&);

}  // namespace kerfkiln::cushion
