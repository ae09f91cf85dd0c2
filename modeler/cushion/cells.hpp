// Regions of the plan in a relief: a triangulation that no region's boundary crosses, and the solids that stand on it.
// Creases and pockets lower the top or raise the bottom over their region; zones only divide. Solids (the core, a
// layer, a zone's piece of a layer) have vertical walls where heights jump or chosen cells end, and are closed by
// construction: nothing is subtracted from anything.
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/relief.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::cushion {

// What happens over one region. Where cuts overlap the deeper one counts.
struct Cut {
  enum class Kind {
    below_top,  // the surface moves down by `mm`: a crease, floor z_top(p) - mm
    floor,      // nothing stays above the height `mm`: a pocket from the top
    roof        // nothing stays below the height `mm`: a pocket from the bottom
  };
  std::size_t region = 0;
  Kind kind = Kind::below_top;
  double mm = 0;
};

struct Cells {
  Relief relief;                                   // plan, heights without cuts, triangles, levels
  std::vector<std::uint32_t> cell;                 // of each triangle: an index into `within`
  std::vector<std::vector<std::uint32_t>> within;  // the regions that contain the cell, ascending; [0] none
  std::vector<std::uint32_t> opposite;  // for corner c = 3 t + k the corner whose side runs the other way, or none
  std::vector<Cut> cuts;
  // Heights over each plan vertex that cuts leave foam below (or above), one for each kind and depth of cut, NaN where
  // they do not reach; the limit of cut c over vertex v is limit[surface[c]][v].
  std::vector<std::vector<double>> limit;
  std::vector<std::size_t> surface;
};

// Regions may have inner loops, touch or cross each other and reach out of the cushion. Where a region's boundary is
// meant to end at the cushion's outline, let it run a millimetre or more outside: boundaries closer to each other than
// 0.002 mm are one, others are not. Regions of less than 0.05 mm width are not found.
// New vertices lie on the exact form (on the outline: between its vertices; beside a level curve: on the relief),
// coordinates and heights are representable as float. No edge crosses a level, and no two of top, bottom, levels and
// the cuts' limits cross within an edge. Time: linear in the relief for a look at each triangle, else in what the
// boundaries touch. Fails with "relief.deviation" where refilled places would need too many triangles and
// "cells.crossing" where boundaries come too close to be told apart. Beside level curves the relief's own chords are
// kept: made at kReliefShare of the deviation, what is refilled comes within the deviation.
inline constexpr double kReliefShare = 0.75;
Result<Cells> cells(const Form&, Relief, std::span<const plane::Outline> regions, std::span<const Cut> cuts,
                    double deviation_mm);

// The relief and its cells; made finer where a layer would touch itself in an edge or a vertex.
Result<Cells> cells(const Form&, std::span<const double> levels_mm, std::span<const plane::Outline> regions,
                    std::span<const Cut> cuts, double deviation_mm);

// Chooses cells by the regions they lie in (ascending indices into `regions`).
using Chosen = std::function<bool(std::span<const std::uint32_t> within)>;

struct Piece {
  std::optional<std::size_t>
      layer;             // between levels[layer] and levels[layer + 1], outermost take all beyond; none: all
  Chosen chosen;         // none: all cells
  bool removed = false;  // what the cuts take away instead of what they leave
};
// Empty where nothing is left.
solid::Mesh piece(const Cells&, const Piece&);
// How many closed shells that mesh has, without making it; not for what is removed.
int parts(const Cells&, const Piece&);
// How many closed shells a mesh has.
int shells(const solid::Mesh&);

}  // namespace kerfkiln::cushion
