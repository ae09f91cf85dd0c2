#include "distance_peer.hpp"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Simple_cartesian.h>

#include <cmath>

namespace kerfkiln::urn::test {

std::vector<double> distances(const std::vector<Vec3>& points, const solid::Mesh& mesh) {
  using K = CGAL::Simple_cartesian<double>;
  using Triangles = std::vector<K::Triangle_3>;
  using Primitive = CGAL::AABB_triangle_primitive<K, Triangles::iterator>;
  const auto at = [](Vec3 p) { return K::Point_3(p.x, p.y, p.z); };
  Triangles triangles;
  for (const auto& [a, b, c] : mesh.triangles)
    triangles.emplace_back(at(mesh.points[a]), at(mesh.points[b]), at(mesh.points[c]));
  CGAL::AABB_tree<CGAL::AABB_traits<K, Primitive>> tree(triangles.begin(), triangles.end());
  tree.accelerate_distance_queries();
  std::vector<double> out;
  for (const Vec3 p : points) out.push_back(std::sqrt(tree.squared_distance(at(p))));
  return out;
}

}  // namespace kerfkiln::urn::test
