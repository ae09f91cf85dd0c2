// Closed meshes with volumes in closed form.
#pragma once
#include <cmath>
#include <numbers>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::test {

// A regular N-gon prism standing on z = `low`, volume N/2 sin(2 pi/N) r^2 h: caps are fans around their centres
// (a crossing check meets all pairs of a fan: keep n in the hundreds).
inline solid::Mesh prism(std::uint32_t n, double r, double h, Vec3 centre = {}) {
  solid::Mesh m;
  for (std::uint32_t i = 0; i < n; ++i) {
    const double a = 2 * std::numbers::pi * i / n;
    m.points.push_back(centre + Vec3{r * std::cos(a), r * std::sin(a), 0});
    m.points.push_back(centre + Vec3{r * std::cos(a), r * std::sin(a), h});
  }
  m.points.push_back(centre);
  m.points.push_back(centre + Vec3{0, 0, h});
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t a = 2 * i, b = 2 * ((i + 1) % n);
    m.triangles.push_back({a, b, b + 1});
    m.triangles.push_back({a, b + 1, a + 1});
    m.triangles.push_back({2 * n, b, a});
    m.triangles.push_back({2 * n + 1, a + 1, b + 1});
  }
  return m;
}
inline double prism_volume(std::uint32_t n, double r, double h) {
  return n / 2.0 * std::sin(2 * std::numbers::pi / n) * r * r * h;
}

// A torus of `around` x `across` quadrilaterals, two triangles each.
inline solid::Mesh torus(std::uint32_t around, std::uint32_t across, double big, double small) {
  solid::Mesh m;
  for (std::uint32_t i = 0; i < around; ++i)
    for (std::uint32_t j = 0; j < across; ++j) {
      const double u = 2 * std::numbers::pi * i / around, v = 2 * std::numbers::pi * j / across;
      const double rho = big + small * std::cos(v);
      m.points.push_back({rho * std::cos(u), rho * std::sin(u), small * std::sin(v)});
    }
  for (std::uint32_t i = 0; i < around; ++i)
    for (std::uint32_t j = 0; j < across; ++j) {
      const std::uint32_t i2 = (i + 1) % around, j2 = (j + 1) % across;
      const std::uint32_t a = i * across + j, b = i2 * across + j, c = i2 * across + j2, d = i * across + j2;
      m.triangles.push_back({a, b, c});
      m.triangles.push_back({a, c, d});
    }
  return m;
}

inline solid::Mesh joined(solid::Mesh a, const solid::Mesh& b) {
  const auto shift = static_cast<std::uint32_t>(a.points.size());
  a.points.insert(a.points.end(), b.points.begin(), b.points.end());
  for (const solid::Triangle& t : b.triangles) a.triangles.push_back({t[0] + shift, t[1] + shift, t[2] + shift});
  return a;
}

}  // namespace kerfkiln::test
