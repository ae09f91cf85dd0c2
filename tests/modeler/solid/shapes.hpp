// Plain bodies for the tests of the solid layer, closed and outward by construction.
#pragma once
#include <cmath>
#include <numbers>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

inline Mesh box_mesh(Vec3 low, Vec3 high) {
  Mesh m;
  for (const double z : {low.z, high.z})
    for (const double y : {low.y, high.y})
      for (const double x : {low.x, high.x}) m.points.push_back({x, y, z});
  m.triangles = {{0, 3, 1}, {0, 2, 3}, {4, 5, 7}, {4, 7, 6}, {0, 1, 5}, {0, 5, 4},
                 {2, 6, 7}, {2, 7, 3}, {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};
  return m;
}

// Ring radius R, tube radius r, n sections of m points.
inline Mesh torus_mesh(double R, double r, std::uint32_t n, std::uint32_t m) {
  Mesh mesh;
  for (std::uint32_t i = 0; i < n; ++i)
    for (std::uint32_t j = 0; j < m; ++j) {
      const double u = 2 * std::numbers::pi * i / n, v = 2 * std::numbers::pi * j / m, d = R + r * std::cos(v);
      mesh.points.push_back({d * std::cos(u), d * std::sin(u), r * std::sin(v)});
    }
  for (std::uint32_t i = 0; i < n; ++i)
    for (std::uint32_t j = 0; j < m; ++j) {
      const std::uint32_t a = i * m + j, b = (i + 1) % n * m + j, c = (i + 1) % n * m + (j + 1) % m,
                          d = i * m + (j + 1) % m;
      mesh.triangles.push_back({a, b, c});
      mesh.triangles.push_back({a, c, d});
    }
  return mesh;
}

inline Mesh reversed(Mesh m) {
  for (Triangle& t : m.triangles) std::swap(t[1], t[2]);
  return m;
}

inline Mesh together(Mesh a, const Mesh& b) {
  const auto shift = static_cast<std::uint32_t>(a.points.size());
  a.points.insert(a.points.end(), b.points.begin(), b.points.end());
  for (const Triangle& t : b.triangles) a.triangles.push_back({t[0] + shift, t[1] + shift, t[2] + shift});
  return a;
}

}  // namespace kerfkiln::solid
