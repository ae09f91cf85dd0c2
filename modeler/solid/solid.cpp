#include "modeler/solid/solid.hpp"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>

#include <algorithm>
#include <string>
#include <utility>

#include "modeler/solid/check.hpp"
#include "modeler/solid/place.hpp"

namespace kerfkiln::solid {
namespace {

namespace pmp = CGAL::Polygon_mesh_processing;
using Point = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
using Surface = CGAL::Surface_mesh<Point>;

// Through memory on purpose: g++ 12 at -O2 loses a conversion to float and back when it packs the three into vectors,
// and leaves the double as it was (seen in the test of this file).
double through_float(double value) {
  const volatile float rounded = static_cast<float>(value);
  return static_cast<double>(rounded);
}

void round_to_float(Mesh& mesh) {
  for (Vec3& p : mesh.points) p = {through_float(p.x), through_float(p.y), through_float(p.z)};
}

// The triangles of one shell, points shared with the whole.
Mesh shell(const Mesh& mesh, const Shells& all, std::uint32_t which) {
  Mesh out;
  out.points = mesh.points;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
    if (all.of_triangle[i] == which) out.triangles.push_back(mesh.triangles[i]);
  return out;
}

// A shell within an even number of others holds material, one within an odd number a cavity.
void check_orientation(const Mesh& mesh, const Shells& all, Findings& findings) {
  std::vector<Mesh> parts;
  for (std::uint32_t s = 0; s < all.count; ++s) parts.push_back(all.count == 1 ? mesh : shell(mesh, all, s));
  for (std::size_t s = 0; s < parts.size(); ++s) {
    const Vec3 at = mesh.points[parts[s].triangles[0][0]];
    int depth = 0;
    for (std::size_t o = 0; o < parts.size(); ++o) depth += o != s && winding(parts[o], at) != 0;
    const bool cavity = depth % 2 == 1;
    if ((volume(parts[s]) > 0) != cavity) continue;
    findings.push_back({Severity::error, "solid.inward", "",
                        cavity ? "a cavity whose facets face into the material at " + place_text(at)
                               : "a shell whose facets face inward at " + place_text(at),
                        "reverse its facets"});
  }
}

void check_crossing(const Mesh& mesh, Findings& findings) {
  Surface surface;
  surface.reserve(static_cast<unsigned>(mesh.points.size()), static_cast<unsigned>(3 * mesh.triangles.size() / 2),
                  static_cast<unsigned>(mesh.triangles.size()));
  for (const Vec3 p : mesh.points) surface.add_vertex(Point(p.x, p.y, p.z));
  for (const Triangle& t : mesh.triangles)
    surface.add_face(Surface::Vertex_index(t[0]), Surface::Vertex_index(t[1]), Surface::Vertex_index(t[2]));
  if (!pmp::does_self_intersect(surface)) return;

  std::vector<std::pair<Surface::Face_index, Surface::Face_index>> crossing;
  pmp::self_intersections(surface, std::back_inserter(crossing));
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (const auto& [a, b] : crossing)
    pairs.push_back(std::minmax(static_cast<std::size_t>(a), static_cast<std::size_t>(b)));
  std::sort(pairs.begin(), pairs.end());
  for (std::size_t i = 0; i < std::min<std::size_t>(pairs.size(), 3); ++i) {
    const Triangle& t = mesh.triangles[pairs[i].first];
    const Vec3 middle = (mesh.points[t[0]] + mesh.points[t[1]] + mesh.points[t[2]]) / 3;
    findings.push_back({Severity::error, "solid.crossing", "",
                        "facets " + std::to_string(pairs[i].first) + " and " + std::to_string(pairs[i].second) +
                            " of " + std::to_string(pairs.size()) + " crossing pairs meet near " + place_text(middle),
                        "change the sizes that make the surface run through itself there"});
  }
}

}  // namespace

Result<Solid> Solid::checked(Mesh mesh, const CheckOptions& options) {
  round_to_float(mesh);
  Sides sides;
  Findings findings = check_closed(mesh, sides);
  if (!findings.empty()) return findings;
  const Shells all = shells(mesh, sides);
  if (all.count != static_cast<std::uint32_t>(options.components))
    findings.push_back({Severity::error, "solid.components", "",
                        std::to_string(all.count) + " closed shells where " + std::to_string(options.components) +
                            " are intended; the first lies at " + place_text(mesh.points[mesh.triangles[0][0]]),
                        "change the sizes that part or join the body"});
  // Crossing shells have no inside or outside to compare.
  if (options.self_intersection) check_crossing(mesh, findings);
  if (!has_errors(findings) || findings[0].code == "solid.components") check_orientation(mesh, all, findings);
  if (!findings.empty()) return findings;
  Solid solid;
  solid.volume_ = solid::volume(mesh);
  solid.mesh_ = std::move(mesh);
  return solid;
}

}  // namespace kerfkiln::solid
