#include "viewer/state/picture.hpp"

#include <limits>

namespace kerfkiln::viewer {
namespace {

std::array<float, 3> floats(Vec3 v) {
  return {static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z)};
}

}  // namespace

Picture picture_of(const solid::Mesh& m, const solid::CreaseRule& rule) {
  solid::Shading shading = solid::shading(m, rule);
  Picture p;
  constexpr double inf = std::numeric_limits<double>::infinity();
  p.low = {inf, inf, inf}, p.high = {-inf, -inf, -inf};
  std::vector<std::uint32_t> vertex_at(m.points.size(), 0);  // one of those at each point
  p.vertices.reserve(shading.point.size());
  for (std::size_t i = 0; i < shading.point.size(); ++i) {
    const Vec3 at = m.points[shading.point[i]];
    vertex_at[shading.point[i]] = static_cast<std::uint32_t>(i);
    p.vertices.push_back({floats(at), floats(shading.normal[i])});
    p.low = {std::min(p.low.x, at.x), std::min(p.low.y, at.y), std::min(p.low.z, at.z)};
    p.high = {std::max(p.high.x, at.x), std::max(p.high.y, at.y), std::max(p.high.z, at.z)};
  }
  p.triangles = std::move(shading.corner);
  for (const solid::Crease& crease : shading.creases)
    for (std::size_t i = 1; i < crease.points.size(); ++i)
      p.edges.insert(p.edges.end(), {vertex_at[crease.points[i - 1]], vertex_at[crease.points[i]]});
  return p;
}

}  // namespace kerfkiln::viewer
