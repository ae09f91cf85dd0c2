// The columns of a squared form's mesh, shared by all its rings, and the density of rings. Internal to the mesh.
#pragma once
#include <optional>
#include <vector>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {

inline constexpr double kMerge = 1e-4;        // mm: points closer than this are one: a flat or an arc of no length
inline constexpr double kColumnShare = 0.45;  // of the deviation, for the chords along a ring

struct Place {
  int piece = 0;
  double v = 0, step = 0;  // step: to the farther neighbour, in v
  FormPlace at;
};

// The columns of the sector, from its beginning to its end.
std::vector<Place> columns_of(const Form&, double deviation);
// A few places that stand for all when the bending along the rings is judged.
std::vector<Place> some_of(const std::vector<Place>&);
// Rings a unit of the parameter along the surface that keep the deviation beside columns `place_step` of v apart.
double bend_density(const OffsetJet&, double place_step, double deviation);
// The outside with its normal, as an offset of nothing; nothing where a piece is empty.
std::optional<OffsetJet> outside_jet(const Form&, int span, double t, int piece, double v);

}  // namespace kerfkiln::urn
