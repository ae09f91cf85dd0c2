#include "modeler/solid/feature_edges.hpp"

#include <OpenMesh/Core/Mesh/TriMesh_ArrayKernelT.hh>
#include <OpenMesh/Tools/Decimater/DecimaterT.hh>
#include <OpenMesh/Tools/Decimater/ModNormalFlippingT.hh>
#include <OpenMesh/Tools/Decimater/ModQuadricT.hh>

#include <optional>

namespace kerfkiln::solid {
namespace {

struct Traits : OpenMesh::DefaultTraitsDouble {
  VertexAttributes(OpenMesh::Attributes::Status);
  EdgeAttributes(OpenMesh::Attributes::Status);
  HalfedgeAttributes(OpenMesh::Attributes::Status | OpenMesh::Attributes::PrevHalfedge);
  FaceAttributes(OpenMesh::Attributes::Status | OpenMesh::Attributes::Normal);
};
using HalfEdgeMesh = OpenMesh::TriMesh_ArrayKernelT<Traits>;

constexpr double kCoplanar = 1e-6;  // rad

Vec3 vec(const HalfEdgeMesh::Point& p) { return {p[0], p[1], p[2]}; }

std::optional<HalfEdgeMesh> connected(const Mesh& mesh) {
  HalfEdgeMesh out;
  out.reserve(mesh.points.size(), mesh.points.size() + mesh.triangles.size(), mesh.triangles.size());
  std::vector<HalfEdgeMesh::VertexHandle> handles;
  handles.reserve(mesh.points.size());
  for (const Vec3 p : mesh.points) handles.push_back(out.add_vertex({p.x, p.y, p.z}));
  for (const Triangle& t : mesh.triangles)
    if (!out.add_face(handles[t[0]], handles[t[1]], handles[t[2]]).is_valid()) return std::nullopt;
  return out;
}

Finding not_manifold() {
  return {Severity::error, "solid.nonmanifold", "", "the mesh has edges with more than two facets", "check the mesh first"};
}

}  // namespace

Result<std::vector<FeatureEdge>> feature_edges(const Mesh& mesh, double crease_angle_rad) {
  auto linked = connected(mesh);
  if (!linked) return not_manifold();
  linked->update_face_normals();
  std::vector<FeatureEdge> out;
  for (const auto edge : linked->edges()) {
    const auto half = edge.h0(), other = edge.h1();
    if (half.is_boundary() || other.is_boundary()) continue;
    const Vec3 n = vec(linked->normal(half.face())), m = vec(linked->normal(other.face()));
    const double angle = std::atan2(norm(cross(n, m)), dot(n, m));
    if (angle < kCoplanar) continue;
    out.push_back({vec(linked->point(half.from())), vec(linked->point(half.to())), n, m, angle > crease_angle_rad});
  }
  return out;
}

Result<Mesh> simplified(const Mesh& mesh, std::size_t target_triangles) {
  auto linked = connected(mesh);
  if (!linked) return not_manifold();
  linked->update_face_normals();
  OpenMesh::Decimater::DecimaterT<HalfEdgeMesh> decimater(*linked);
  OpenMesh::Decimater::ModQuadricT<HalfEdgeMesh>::Handle quadric;
  OpenMesh::Decimater::ModNormalFlippingT<HalfEdgeMesh>::Handle flipping;
  decimater.add(quadric);
  decimater.add(flipping);
  decimater.module(quadric).unset_max_err();
  if (!decimater.initialize()) return not_manifold();
  decimater.decimate_to_faces(0, target_triangles);
  linked->garbage_collection();

  Mesh out;
  out.points.reserve(linked->n_vertices());
  for (const auto v : linked->vertices()) out.points.push_back(vec(linked->point(v)));
  out.triangles.reserve(linked->n_faces());
  for (const auto f : linked->faces()) {
    auto corner = linked->cfv_iter(f);
    Triangle t{};
    for (std::uint32_t& index : t) index = static_cast<std::uint32_t>((corner++)->idx());
    out.triangles.push_back(t);
  }
  return out;
}

}  // namespace kerfkiln::solid
