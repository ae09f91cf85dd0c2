// The barrier cloth as a bag of its own: top, bottom and a boxing strip, sewn together.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Core;

struct BarrierPanel {
  std::string id, label;     // "top", "Barrier, top"
  plane::Outline seam, cut;  // where it is sewn, and with the allowance
  struct Mark {
    Vec2 at, inward;
    std::string text;
  };
  std::vector<Mark> marks;  // on the seam, the same on both partners
};
struct BarrierSeam {
  std::string name, first, second;
  double first_mm = 0, second_mm = 0;
};
struct BarrierBag {
  std::string material;
  double allowance_mm = 0;
  std::vector<BarrierPanel> panels;
  std::vector<BarrierSeam> seams;
  Findings notes;           // paths below the piece
  double kg_m2 = 0;         // of the cloth; 0: not known
  double loose_mm = 0;      // how much longer the bag is than the way over the edges, at most
  double area_mm2() const;  // as cut
  double mass_kg() const { return area_mm2() * 1e-6 * kg_m2; }
};

inline constexpr double kBarrierAllowanceMm = 10;  // common practice

// The bag lies over batting and topper. Its seams run along the edges of the box that holds the cushion: square corners
// in the section, so that it is loose over rounded edges and never tight. Warning barrier.panel in notes: a gap or hole
// of the outline closes under the layers or under the seam allowances. Precondition: the core's skins name a barrier.
Result<BarrierBag> barrier_bag(const Core&);
std::vector<product::FlatPart> barrier_parts(const Core&, const BarrierBag&);
product::Table barrier_table(const BarrierBag&);

}  // namespace kerfkiln::cushion
