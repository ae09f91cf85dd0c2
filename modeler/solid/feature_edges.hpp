// Edges that a drawing of a mesh may show, and a lighter mesh for live view.
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// An edge between two facets, with the unit normals of both. Seen along d it belongs to the silhouette where the normals
// face to different sides of the view: dot(first_normal, d) and dot(second_normal, d) of opposite sign.
struct FeatureEdge {
  Vec3 a, b;
  Vec3 first_normal, second_normal;
  bool crease = false;  // the normals differ by more than the crease angle
};

// Every edge that is a crease or lies between facets that are not coplanar (and so may be a silhouette), in the order of
// the mesh. Edges between coplanar facets, the diagonals of a tessellation, are left out. crease_angle in radians, 0 to
// pi. Finding "solid.nonmanifold" if OpenMesh cannot build the mesh.
Result<std::vector<FeatureEdge>> feature_edges(const Mesh&, double crease_angle_rad);

// A closed mesh of at most about `target_triangles` triangles, by edge collapse under a quadric error (OpenMesh). Creases
// survive as far as the count allows. For display only: a picture of a picture.
Result<Mesh> simplified(const Mesh&, std::size_t target_triangles);

}  // namespace kerfkiln::solid
