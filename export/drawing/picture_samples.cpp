#include "export/drawing/picture_samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace kerfkiln::output {

std::vector<Vec3> corner_normals(const solid::Mesh& mesh) {
  const std::size_t n = mesh.triangles.size();
  std::vector<Vec3> face(n), flat(n);
  std::vector<std::uint32_t> first(mesh.points.size() + 1, 0);
  for (std::size_t t = 0; t < n; ++t) {
    const auto& [a, b, c] = mesh.triangles[t];
    face[t] = cross(mesh.points[b] - mesh.points[a], mesh.points[c] - mesh.points[a]);
    const double length = norm(face[t]);
    flat[t] = length > 0 ? face[t] / length : Vec3{};
    for (const std::uint32_t v : mesh.triangles[t]) ++first[v + 1];
  }
  for (std::size_t v = 0; v + 1 < first.size(); ++v) first[v + 1] += first[v];
  std::vector<std::uint32_t> around(first.back()), next(first.begin(), first.end() - 1);
  for (std::size_t t = 0; t < n; ++t)
    for (const std::uint32_t v : mesh.triangles[t]) around[next[v]++] = static_cast<std::uint32_t>(t);

  const double limit = std::cos(kCreaseDeg * std::numbers::pi / 180);
  std::vector<Vec3> normals(3 * n);
  for (std::size_t t = 0; t < n; ++t) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t v = mesh.triangles[t][k];
      Vec3 sum;
      for (std::uint32_t i = first[v]; i < first[v + 1]; ++i)
        if (dot(flat[around[i]], flat[t]) > limit) sum = sum + face[around[i]];
      const double length = norm(sum);
      normals[3 * t + k] = length > 0 ? sum / length : flat[t];
    }
  }
  return normals;
}

Span span(const Vec3 (&p)[3], int wide, int high) {
  const auto [low_x, high_x] = std::minmax({p[0].x, p[1].x, p[2].x});
  const auto [low_y, high_y] = std::minmax({p[0].y, p[1].y, p[2].y});
  return {std::max(0, static_cast<int>(std::ceil(low_x - 0.5))),
          std::min(wide - 1, static_cast<int>(std::floor(high_x - 0.5))),
          std::max(0, static_cast<int>(std::ceil(low_y - 0.5))),
          std::min(high - 1, static_cast<int>(std::floor(high_y - 0.5)))};
}

void rasterise(const Body& body, std::uint8_t id, const Camera& camera, Samples& out) {
  for (std::size_t t = 0; t < body.mesh.triangles.size(); ++t) {
    Vec3 p[3];
    for (std::size_t k = 0; k < 3; ++k) p[k] = camera.project(body.mesh.points[body.mesh.triangles[t][k]]);
    const double twice = edge(p[0], p[1], p[2].x, p[2].y);
    if (twice >= 0) continue;  // y runs down, so facets that face the eye turn the other way
    const Vec3* n = &body.corner_normals[3 * t];
    const bool flat = n[0] == n[1] && n[1] == n[2];
    // Barycentric weights and what they carry are linear in x: one addition a sample.
    const double du = -(p[2].y - p[1].y) / twice, dv = -(p[0].y - p[2].y) / twice, dw = -du - dv;
    const double dz = du * p[0].z + dv * p[1].z + dw * p[2].z;
    const Span s = span(p, out.wide, out.high);
    for (int y = s.y0; y <= s.y1; ++y) {
      const double cx = s.x0 + 0.5, cy = y + 0.5;
      double u = edge(p[1], p[2], cx, cy) / twice, v = edge(p[2], p[0], cx, cy) / twice, w = 1 - u - v;
      double z = u * p[0].z + v * p[1].z + w * p[2].z;
      std::size_t i = out.at(s.x0, y);
      for (int x = s.x0; x <= s.x1; ++x, ++i, u += du, v += dv, w += dw, z += dz) {
        if (u < 0 || v < 0 || w < 0 || static_cast<float>(z) <= out.depth[i]) continue;
        out.depth[i] = static_cast<float>(z);
        out.body[i] = id;
        Vec3 m = n[0];
        if (!flat) {
          m = u * n[0] + v * n[1] + w * n[2];
          const double length = norm(m);
          if (length > 0) m = m / length;
        }
        out.nx[i] = static_cast<float>(m.x);
        out.ny[i] = static_cast<float>(m.y);
        out.nz[i] = static_cast<float>(m.z);
      }
    }
  }
}

std::vector<std::uint8_t> line_marks(const Samples& s, int samples, double self_hiding) {
  std::vector<std::uint8_t> marks(s.count(), 0);
  const int bold = samples, fine = std::max(1, samples / 2);
  const float crease = static_cast<float>(std::cos(kCreaseDeg * std::numbers::pi / 180));
  const auto stamp = [&](int x, int y, std::uint8_t kind) {
    const int r = kind == 2 ? bold : fine;
    for (int j = std::max(0, y - r); j <= std::min(s.high - 1, y + r); ++j)
      for (int i = std::max(0, x - r); i <= std::min(s.wide - 1, x + r); ++i) {
        if ((i - x) * (i - x) + (j - y) * (j - y) > r * r + 1) continue;
        std::uint8_t& m = marks[s.at(i, j)];
        m = std::max(m, kind);
      }
  };
  const auto compare = [&](std::size_t a, std::size_t b, std::size_t before, int x, int y) {
    if (s.body[a] != s.body[b]) {
      stamp(x, y, 2);
      return;
    }
    if (s.body[a] == kNobody) return;
    const float along = s.nx[a] * s.nx[b] + s.ny[a] * s.ny[b] + s.nz[a] * s.nz[b];
    const bool bent = along < crease;
    // A plane has no second difference of depth, however steep.
    const bool jump = s.body[before] == s.body[a] &&
                      std::abs(s.depth[before] - 2 * s.depth[a] + s.depth[b]) > static_cast<float>(self_hiding);
    if (bent || jump) stamp(x, y, 1);
  };
  for (int y = 0; y < s.high; ++y)
    for (int x = 0; x < s.wide; ++x) {
      if (x + 1 < s.wide) compare(s.at(x, y), s.at(x + 1, y), s.at(std::max(0, x - 1), y), x, y);
      if (y + 1 < s.high) compare(s.at(x, y), s.at(x, y + 1), s.at(x, std::max(0, y - 1)), x, y);
    }
  return marks;
}

}  // namespace kerfkiln::output
