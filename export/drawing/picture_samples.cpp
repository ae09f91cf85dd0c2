#include "export/drawing/picture_samples.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::output {

Span span(const Vec3 (&p)[3], int wide, int high) {
  const auto [low_x, high_x] = std::minmax({p[0].x, p[1].x, p[2].x});
  const auto [low_y, high_y] = std::minmax({p[0].y, p[1].y, p[2].y});
  return {std::max(0, static_cast<int>(std::ceil(low_x - 0.5))),
          std::min(wide - 1, static_cast<int>(std::floor(high_x - 0.5))),
          std::max(0, static_cast<int>(std::ceil(low_y - 0.5))),
          std::min(high - 1, static_cast<int>(std::floor(high_y - 0.5)))};
}

namespace {

// The steps from the start of a row at which all three weights may be positive, a step to spare on either side: long
// thin facets cover little of the box around them.
struct Steps {
  int from, to;
};
Steps inside(const double (&weight)[3], const double (&slope)[3], int last) {
  double from = 0, to = last;
  for (int k = 0; k < 3; ++k) {
    if (slope[k] > 0) from = std::max(from, -weight[k] / slope[k] - 1);
    if (slope[k] < 0) to = std::min(to, -weight[k] / slope[k] + 1);
    if (slope[k] == 0 && weight[k] < 0) return {0, -1};
  }
  return from <= to ? Steps{static_cast<int>(from), static_cast<int>(to)} : Steps{0, -1};
}

}  // namespace

void rasterise(const Body& body, std::uint8_t id, const Camera& camera, Samples& out) {
  for (std::size_t t = 0; t < body.mesh.triangles.size(); ++t) {
    Vec3 p[3];
    for (std::size_t k = 0; k < 3; ++k) p[k] = camera.project(body.mesh.points[body.mesh.triangles[t][k]]);
    const double twice = edge(p[0], p[1], p[2].x, p[2].y);
    if (twice >= 0) continue;  // y runs down, so facets that face the eye turn the other way
    Vec3 n[3];
    for (std::size_t k = 0; k < 3; ++k) n[k] = body.shading.normal[body.shading.corner[3 * t + k]];
    const bool flat = n[0] == n[1] && n[1] == n[2];
    // Barycentric weights and what they carry are linear in x: one addition a sample.
    const double du = -(p[2].y - p[1].y) / twice, dv = -(p[0].y - p[2].y) / twice, dw = -du - dv;
    const double dz = du * p[0].z + dv * p[1].z + dw * p[2].z;
    const Span s = span(p, out.wide, out.high);
    for (int y = s.y0; y <= s.y1; ++y) {
      const double cx = s.x0 + 0.5, cy = y + 0.5;
      double u = edge(p[1], p[2], cx, cy) / twice, v = edge(p[2], p[0], cx, cy) / twice, w = 1 - u - v;
      double z = u * p[0].z + v * p[1].z + w * p[2].z;
      const Steps steps = inside({u, v, w}, {du, dv, dw}, s.x1 - s.x0);
      const double skip = steps.from;
      u += skip * du, v += skip * dv, w += skip * dw, z += skip * dz;
      std::size_t i = out.at(s.x0 + steps.from, y);
      for (int x = steps.from; x <= steps.to; ++x, ++i, u += du, v += dv, w += dw, z += dz) {
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

namespace {

// Marks of lines, stamped round.
struct Pen {
  const Samples& samples;
  int bold, fine;
  std::vector<std::uint8_t> marks;
  void stamp(int x, int y, std::uint8_t kind) {
    const int r = kind == 2 ? bold : fine;
    for (int j = std::max(0, y - r); j <= std::min(samples.high - 1, y + r); ++j)
      for (int i = std::max(0, x - r); i <= std::min(samples.wide - 1, x + r); ++i) {
        if ((i - x) * (i - x) + (j - y) * (j - y) > r * r + 1) continue;
        std::uint8_t& m = marks[samples.at(i, j)];
        m = std::max(m, kind);
      }
  }
};

// A crease is seen if some sample about it shows its body no nearer: beside it the body falls away or lies level.
bool seen(const Samples& s, std::uint8_t id, int x, int y, double z) {
  constexpr double kSlack = 0.5;  // samples
  for (int j = std::max(0, y - 1); j <= std::min(s.high - 1, y + 1); ++j)
    for (int i = std::max(0, x - 1); i <= std::min(s.wide - 1, x + 1); ++i) {
      const std::size_t k = s.at(i, j);
      if (s.body[k] == id && static_cast<double>(s.depth[k]) <= z + kSlack) return true;
    }
  return false;
}

void ink_creases(const Body& body, std::uint8_t id, const Camera& camera, Pen& pen) {
  for (const solid::Crease& crease : body.shading.creases)
    for (std::size_t i = 1; i < crease.points.size(); ++i) {
      const Vec3 a = camera.project(body.mesh.points[crease.points[i - 1]]);
      const Vec3 b = camera.project(body.mesh.points[crease.points[i]]);
      const int steps = 1 + static_cast<int>(std::max(std::abs(b.x - a.x), std::abs(b.y - a.y)));
      for (int k = 0; k <= steps; ++k) {
        const Vec3 p = a + (static_cast<double>(k) / steps) * (b - a);
        const int x = static_cast<int>(std::floor(p.x)), y = static_cast<int>(std::floor(p.y));
        if (seen(pen.samples, id, x, y, p.z)) pen.stamp(x, y, 1);
      }
    }
}

}  // namespace

std::vector<std::uint8_t> line_marks(const Samples& s, const std::vector<Body>& bodies, const Camera& camera,
                                     int samples, double self_hiding) {
  Pen pen{s, samples, std::max(1, samples / 2), std::vector<std::uint8_t>(s.count(), 0)};
  for (std::size_t b = 0; b < bodies.size(); ++b) ink_creases(bodies[b], static_cast<std::uint8_t>(b), camera, pen);
  const auto compare = [&](std::size_t a, std::size_t b, std::size_t before, int x, int y) {
    if (s.body[a] != s.body[b]) {
      pen.stamp(x, y, 2);
      return;
    }
    if (s.body[a] == kNobody || s.body[before] != s.body[a]) return;
    // A plane has no second difference of depth, however steep.
    if (std::abs(s.depth[before] - 2 * s.depth[a] + s.depth[b]) > static_cast<float>(self_hiding)) pen.stamp(x, y, 1);
  };
  for (int y = 0; y < s.high; ++y)
    for (int x = 0; x < s.wide; ++x) {
      if (x + 1 < s.wide) compare(s.at(x, y), s.at(x + 1, y), s.at(std::max(0, x - 1), y), x, y);
      if (y + 1 < s.high) compare(s.at(x, y), s.at(x, y + 1), s.at(x, std::max(0, y - 1)), x, y);
    }
  return std::move(pen.marks);
}

}  // namespace kerfkiln::output
