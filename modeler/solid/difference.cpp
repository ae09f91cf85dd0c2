#include "modeler/solid/difference.hpp"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Surface_mesh.h>

#include <array>
#include <cmath>
#include <exception>

#include "modeler/solid/check.hpp"

namespace kerfkiln::solid {
namespace {

namespace pmp = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Surface = CGAL::Surface_mesh<Kernel::Point_3>;

Finding failed(const std::string& what) {
  return {Severity::error, "solid.difference", "", "a cut-out could not be made: " + what,
          "move the cut-out by a tenth of a millimetre"};
}

Surface surface_of(const Mesh& mesh) {
  Surface s;
  for (const Vec3& p : mesh.points) s.add_vertex({p.x, p.y, p.z});
  for (const Triangle& t : mesh.triangles)
    s.add_face(Surface::Vertex_index(t[0]), Surface::Vertex_index(t[1]), Surface::Vertex_index(t[2]));
  return s;
}
Mesh mesh_of(Surface& s) {
  s.collect_garbage();
  Mesh mesh;
  for (const auto v : s.vertices()) mesh.points.push_back({s.point(v).x(), s.point(v).y(), s.point(v).z()});
  for (const auto f : s.faces()) {
    Triangle t{};
    std::size_t k = 0;
    for (const auto v : s.vertices_around_face(s.halfedge(f))) t[k++] = static_cast<std::uint32_t>(v);
    mesh.triangles.push_back(t);
  }
  return mesh;
}

bool apart(const Box3& a, const Box3& b) {
  return a.low.x > b.high.x || b.low.x > a.high.x || a.low.y > b.high.y || b.low.y > a.high.y || a.low.z > b.high.z ||
         b.low.z > a.high.z;
}

}  // namespace

Result<Mesh> difference(const Mesh& from, const Mesh& less) {
  if (from.triangles.empty()) return from;
  for (const Mesh* m : {&from, &less}) {
    if (!check_closed(*m).empty()) return failed("one of the solids is not closed");
    if (!(volume(*m) > 0)) return failed("one of the solids faces inward");
  }
  if (apart(bounds(from), bounds(less))) return from;
  try {
    Surface a = surface_of(from), b = surface_of(less), out, common;
    using Wanted = std::array<boost::optional<Surface*>, 4>;
    Wanted wanted;
    wanted[pmp::Corefinement::INTERSECTION] = &common;
    wanted[pmp::Corefinement::TM1_MINUS_TM2] = &out;
    const auto made = pmp::corefine_and_compute_boolean_operations(a, b, wanted);
    if (!made[pmp::Corefinement::INTERSECTION] || !made[pmp::Corefinement::TM1_MINUS_TM2])
      return failed("the surfaces meet in an edge only");
    Mesh result = mesh_of(out);
    const double overlap = common.is_empty() ? 0 : volume(mesh_of(common));
    if (!check_closed(result).empty() || !(std::abs(volume(from) - overlap - volume(result)) < 1e-9 * volume(from)))
      return failed("the parts do not add up to the whole");
    return result;
  } catch (const std::exception&) {  // CGAL's own, with NDEBUG its input errors only
    return failed("the surfaces meet in a way that has no solid");
  }
}

}  // namespace kerfkiln::solid
