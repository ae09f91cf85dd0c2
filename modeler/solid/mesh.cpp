#include "modeler/solid/mesh.hpp"

#include <algorithm>
#include <limits>

namespace kerfkiln::solid {

double volume(const Mesh& mesh) {
  if (mesh.points.empty()) return 0;
  const Vec3 o = mesh.points[0];  // near the body, so that a body far from the origin loses no digits
  double sum = 0;
  for (const Triangle& t : mesh.triangles)
    sum += dot(mesh.points[t[0]] - o, cross(mesh.points[t[1]] - o, mesh.points[t[2]] - o));
  return sum / 6;
}

double area(const Mesh& mesh) {
  double sum = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    sum += norm(cross(mesh.points[t[1]] - a, mesh.points[t[2]] - a));
  }
  return sum / 2;
}

Vec3 centroid(const Mesh& mesh) {
  if (mesh.points.empty()) return {};
  const Vec3 o = mesh.points[0];
  Vec3 moment;
  double sum = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]] - o, b = mesh.points[t[1]] - o, c = mesh.points[t[2]] - o;
    const double six = dot(a, cross(b, c));
    sum += six;
    moment = moment + six / 4 * (a + b + c);
  }
  return o + moment / sum;
}

Box3 bounds(const Mesh& mesh) {
  constexpr double inf = std::numeric_limits<double>::infinity();
  Box3 box{{inf, inf, inf}, {-inf, -inf, -inf}};
  for (const Vec3 p : mesh.points) {
    box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
    box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
  }
  return box;
}

}  // namespace kerfkiln::solid
