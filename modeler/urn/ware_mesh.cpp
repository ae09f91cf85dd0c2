#include "modeler/urn/ware_mesh.hpp"

#include <algorithm>
#include <memory>
#include <numeric>

#include "modeler/urn/grid.hpp"

namespace kerfkiln::urn {

void Sector::mirror(solid::Mesh& out) const {
  // Quadrant k has signs (+,+), (-,+), (-,-), (+,-); odd ones are turned inside out by the mirror.
  const std::size_t n = points.size();
  const auto ids = std::make_unique_for_overwrite<std::uint32_t[]>(4 * n);
  out.points.resize(4 * n);
  // The first quadrant owns all its points.
  std::uint32_t count = static_cast<std::uint32_t>(n);
  std::copy(points.begin(), points.end(), out.points.begin());
  std::iota(ids.get(), ids.get() + n, 0u);
  for (std::size_t k = 1; k < 4; ++k) {
    const bool left = k == 1 || k == 2, down = k >= 2;
    for (std::size_t i = 0; i < n; ++i) {
      const Vec3 p = points[i];
      const bool on_y = p.x == 0, on_x = p.y == 0;
      // The earliest quadrant that shares the point owns it.
      const std::size_t owner = on_x && on_y ? 0 : on_x ? (left ? 1 : 0) : on_y ? (down ? 2 : 0) : k;
      if (owner < k) {
        ids[k * n + i] = ids[owner * n + i];
        continue;
      }
      ids[k * n + i] = count;
      out.points[count++] = {left ? -p.x : p.x, down ? -p.y : p.y, p.z};
    }
  }
  out.points.resize(count);
  out.triangles.resize(4 * triangles.size());
  solid::Triangle* to = std::copy(triangles.begin(), triangles.end(), out.triangles.data());
  for (std::size_t k = 1; k < 4; ++k) {
    const std::uint32_t* id = ids.get() + k * n;
    if (k % 2 == 0)
      for (const solid::Triangle& t : triangles) *to++ = {id[t[0]], id[t[1]], id[t[2]]};
    else
      for (const solid::Triangle& t : triangles) *to++ = {id[t[0]], id[t[2]], id[t[1]]};
  }
}

void Sector::turn(solid::Mesh& out) const {
  constexpr std::uint32_t kOwn = ~0u;
  std::vector<std::uint32_t> id(points.size(), kOwn);
  // A seam's beginning turns into its end and the other way round.
  for (const auto& [first, last] : seams) id[first] = last, id[last] = first;
  out.points.assign(points.begin(), points.end());
  out.points.reserve(2 * points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3 p = points[i];
    if (id[i] != kOwn) continue;
    if (p.x == 0 && p.y == 0) {
      id[i] = static_cast<std::uint32_t>(i);
      continue;
    }
    id[i] = static_cast<std::uint32_t>(out.points.size());
    out.points.push_back({-p.x, -p.y, p.z});
  }
  out.triangles.resize(2 * triangles.size());
  solid::Triangle* to = std::copy(triangles.begin(), triangles.end(), out.triangles.data());
  for (const solid::Triangle& t : triangles) *to++ = {id[t[0]], id[t[1]], id[t[2]]};
}

void mesh_ware(const Wall& w, double deviation_mm, solid::Mesh& out) {
  // The sheets of a thin wall must not meet.
  const double deviation = std::min(deviation_mm, 0.2 * w.size().wall);
  if (w.form().round())
    mesh_round_ware(w, deviation, out);
  else
    mesh_squared_ware(w, deviation, out);
}

void mesh_form(const Form& form, double deviation_mm, solid::Mesh& out) {
  if (form.round())
    mesh_round_form(form, deviation_mm, out);
  else
    mesh_squared_form(form, deviation_mm, out);
}

}  // namespace kerfkiln::urn
