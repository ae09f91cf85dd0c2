// Meshes of the core and of its layers: one triangulation of the plan, an upper and a lower height over each vertex,
// vertical walls at the outline. Closed by construction, no boolean. Layers clamp the same triangulation at their
// glue planes, which are level curves of it, so that their solids fill the core's exactly.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::cushion {

// Heights and plan coordinates are representable as float, so that what is written to a file is what was checked.
struct Relief {
  std::vector<Vec2> plan;
  std::vector<double> top, bottom;         // heights over each plan vertex, top >= bottom
  std::vector<solid::Triangle> triangles;  // counter-clockwise seen from above
  std::vector<double> levels;              // as passed, ascending
};

// levels as for volumes(): no edge of the triangulation crosses one of them between its ends. Deviation > 0. Fails with
// "relief.deviation" where the wanted deviation would need more than 4 million triangles or is not met as measured, and
// with "relief.crossing" where parts of the outline come too close to each other.
Result<Relief> relief(const Form&, std::span<const double> levels_mm, double deviation_mm);

solid::Mesh core(const Relief&);
solid::Mesh layer(const Relief&, std::size_t i);  // between levels[i] and levels[i + 1]; outermost take all beyond
std::size_t components(const Relief&, std::size_t layer_index);  // connected pieces of the layer; 1 for most

// Largest distance from sampled points of the mesh (edge midpoints and centroids of both sheets) to the exact surface,
// mm.
double measured_deviation(const Form&, const Relief&);

// The outline of the horizontal section at height z: exact parallel curves where one profile runs all round, else a
// polygon with every vertex within the deviation of the exact curve. Sides are carried where the curve keeps them.
Result<std::vector<plane::Outline>> section(const Form&, double z_mm, double deviation_mm);

}  // namespace kerfkiln::cushion
