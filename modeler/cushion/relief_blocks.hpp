// The regular part of a relief: strips of quads along those stretches of the boundary where only the boundary's own
// profile shapes the foam, and the loops around what remains.
#pragma once
#include <cstdint>
#include <set>
#include <utility>
#include <vector>

#include "modeler/cushion/drop.hpp"
#include "modeler/cushion/relief.hpp"

namespace kerfkiln::cushion {

struct ReliefBlocks {
  Relief relief;                                             // plan, heights and triangles of the blocks
  std::vector<std::vector<std::uint32_t>> loops;             // around the rest, the rest on their left
  std::set<std::pair<std::uint32_t, std::uint32_t>> shared;  // edges of the loops that blocks share
  bool shaped = false;                                       // the rest is not flat
  std::vector<Vec2> seeds;                                   // where the rest wants vertices
};

// Heights of a vertex, rounded to float and set on a level where they come within a thousandth of a millimetre of it.
struct ReliefHeights {
  const Form& form;
  std::vector<double> levels;
  double snapped(double z) const;
  void set(double z_top, double z_bottom, double& top, double& bottom) const;
};
inline double to_float(double x) { return static_cast<double>(static_cast<float>(x)); }

// strips: false leaves everything to the rest. What a strip's sampled rays overlooked shows as a missed deviation; the
// rest has no such assumption.
ReliefBlocks relief_blocks(const Form&, const ReliefHeights&, double deviation_mm, bool strips);

}  // namespace kerfkiln::cushion
