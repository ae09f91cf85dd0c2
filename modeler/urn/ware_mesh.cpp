#include "modeler/urn/ware_mesh.hpp"

#include <algorithm>

#include "modeler/urn/grid.hpp"

namespace kerfkiln::urn {

void Quadrant::mirror(solid::Mesh& out) const {
  // Quadrant k has signs (+,+), (-,+), (-,-), (+,-); odd ones are turned inside out by the mirror.
  const std::size_t n = points.size();
  std::vector<std::uint32_t> ids(4 * n);
  out.points.resize(4 * n);
  std::uint32_t count = 0;
  for (std::size_t k = 0; k < 4; ++k) {
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
  solid::Triangle* to = out.triangles.data();
  for (std::size_t k = 0; k < 4; ++k) {
    const std::uint32_t* id = ids.data() + k * n;
    for (const solid::Triangle& t : triangles)
      *to++ =
          k % 2 == 0 ? solid::Triangle{id[t[0]], id[t[1]], id[t[2]]} : solid::Triangle{id[t[0]], id[t[2]], id[t[1]]};
  }
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
