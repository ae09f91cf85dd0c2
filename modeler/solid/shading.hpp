// How a mesh is drawn: which of its edges are inked as creases, and the normals that shade the rest smooth.
#pragma once
#include <cstdint>
#include <vector>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

struct CreaseRule {
  double sharp_rad = 0.6981317007977318;  // 40 degrees: facets of a small round stay smooth
  // Flatter edges are creases too where they carry a sharp one straight on from its end: 24 degrees.
  double trailing_rad = 0.41887902047863906;
  // Of the box's diagonal: the length of sharp edges that creases which hang together need, and so does each that ends
  // loosely or turns back to its start. A ridge that passes the sharp angle for a moment only would be a speck in a
  // picture.
  double shortest = 0.03;
};

// Creases from one end or branching to the next, along points of the mesh; closed if the first is the last.
struct Crease {
  std::vector<std::uint32_t> points;
  double length = 0;  // mm
};

// The points of the mesh, split where creases part their normals.
struct Shading {
  std::vector<std::uint32_t> point;   // of the mesh, for each split point
  std::vector<Vec3> normal;           // unit, for each split point; upright where there are only facets without area
  std::vector<std::uint32_t> corner;  // three a triangle: its split points
  std::vector<Crease> creases;
};

// Neighbouring facets share normals, weighted by area and corner angle so that flats stay flat beside narrow rounds,
// except across creases. Open edges are sharp, and so are edges of more than two facets or between facets that turn
// against each other (all but the first two then stand alone). Takes any mesh whose indices are in range; same mesh,
// same shading. Connectivity by OpenMesh.
Shading shading(const Mesh&, const CreaseRule& = {});

}  // namespace kerfkiln::solid
