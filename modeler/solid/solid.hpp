// A mesh that has passed every check we require of something that leaves the program.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

struct CheckOptions {
  int components = 1;             // how many connected closed shells are intended
  bool self_intersection = true;  // CGAL; about 1 us a triangle
};

// The only type an exporter accepts. Guarantees, after rounding the coordinates to the float of the file formats:
// (1) closed and manifold: each directed edge once, its opposite once, each vertex one fan; (2) oriented outward:
// volume > 0 in each outer shell; (3) no degenerate facet; (4) the stated number of components; (5) no two facets
// intersect beyond shared edges and vertices. Otherwise findings "solid.open", "solid.nonmanifold", "solid.inward",
// "solid.degenerate", "solid.components", "solid.crossing", each with a place in mm.
class Solid {
 public:
  static Result<Solid> checked(Mesh, const CheckOptions& = {});
  const Mesh& mesh() const { return mesh_; }
  double volume() const { return volume_; }  // mm3

 private:
  Solid() = default;
  Mesh mesh_;
  double volume_ = 0;
};

}  // namespace kerfkiln::solid
