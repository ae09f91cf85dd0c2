#include "modeler/urn/lid_mesh.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/urn/lid_size.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kTouch = 1e-4;  // rings that are nearer than this to one another, or to the axis, are one

struct Station {
  Vec2 at;
  LidFace face;  // of the ring: moulding or turned
};

double least_half_width(const Lid& lid) {
  double least = INFINITY;
  for (const plane::Vertex& v : lid.meridian)
    if (v.side != static_cast<int>(LidFace::turned) && v.at.x > 1e-9) least = std::min(least, v.at.x);
  return lid.outline.round() ? std::min(least, lid.panel) : std::max(least, lid.panel);
}

// Rings along the meridian from segment `first` to the axis; both halves of the allowance count, one along the
// meridian and one around.
std::vector<Station> stations(const Lid& lid, std::size_t first, double deviation) {
  std::vector<Station> out;
  const auto put = [&](Vec2 p, LidFace f) {
    if (p.x < kTouch || (!out.empty() && norm(p - out.back().at) < kTouch && out.back().face == f)) return;
    out.push_back({p, f});
  };
  for (std::size_t i = first; i < lid.meridian.size(); ++i) {
    const plane::Segment s = plane::segment(lid.meridian, i);
    auto face = static_cast<LidFace>(lid.meridian[i].side);
    if (face == LidFace::axis) break;
    if (face == LidFace::panel) face = LidFace::moulding;
    put(s.a, face);
    if (s.is_line()) continue;
    const double sag = std::min(0.5 * deviation / s.radius(), 1.0);
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(s.sweep()) / (2 * std::acos(1 - sag)))));
    for (int k = 1; k < n; ++k) put(s.point(static_cast<double>(k) / n), face);
    if (i + 1 < lid.meridian.size()) {
      const auto next = static_cast<LidFace>(lid.meridian[i + 1].side);
      put(s.b, next == LidFace::turned ? LidFace::turned : LidFace::moulding);
    }
  }
  return out;
}

// The chain of rings closed by a fan at both ends.
void revolve(const std::vector<Vec3>& rings, std::size_t columns, Vec3 first, Vec3 last, solid::Mesh& out) {
  const auto n = static_cast<std::uint32_t>(columns), count = static_cast<std::uint32_t>(rings.size() / columns);
  out.points = rings;
  out.points.push_back(first);
  out.points.push_back(last);
  out.triangles.clear();
  const auto face = [&](std::uint32_t a, std::uint32_t b, std::uint32_t c) { out.triangles.push_back({a, b, c}); };
  for (std::uint32_t j = 0; j + 1 < count; ++j)
    for (std::uint32_t i = 0; i < n; ++i) {
      const std::uint32_t a = j * n + i, b = j * n + (i + 1) % n;
      face(a, b, b + n), face(a, b + n, a + n);
    }
  const std::uint32_t top = (count - 1) * n, foot = n * count;
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t k = (i + 1) % n;
    face(foot, k, i), face(top + i, top + k, foot + 1);
  }
}

Vec3 turned(Vec2 p, double z, double by) {
  const double c = std::cos(by), s = std::sin(by);
  return by == 0 ? Vec3{p.x, p.y, z} : Vec3{c * p.x - s * p.y, s * p.x + c * p.y, z};
}

std::vector<LidOutline::Place> lid_places(const Lid& lid, double deviation) {
  const plane::Box box = plane::bounds(lid.meridian);
  const double a = lid.outline.half_width();
  double knob = 0;
  for (const plane::Vertex& v : lid.meridian)
    if (v.side == static_cast<int>(LidFace::turned)) knob = std::max(knob, v.at.x);
  return lid.outline.places(least_half_width(lid) - a, box.high.x - a, knob, 0.5 * deviation);
}

void mesh(const Lid& lid, const std::vector<Station>& chain, double foot, double deviation, solid::Mesh& out) {
  const std::vector<LidOutline::Place> places = lid_places(lid, deviation);
  const double a = lid.outline.half_width(), d_panel = lid.panel - a;
  std::vector<Vec3> rings;
  rings.reserve(chain.size() * places.size());
  for (const Station& s : chain)
    for (const LidOutline::Place& p : places) {
      // Around the knob places keep the bearing that they have on the panel's edge.
      const Vec2 q = s.face == LidFace::turned ? s.at.x * unit(lid.panel > 1e-9 ? p.at + d_panel * p.normal : p.normal)
                                               : p.at + (s.at.x - a) * p.normal;
      rings.push_back(turned(q, s.at.y, lid.turn));
    }
  double top = lid.meridian.back().at.y;
  revolve(rings, places.size(), {0, 0, foot}, {0, 0, top}, out);
}

}  // namespace

void mesh_lid(const Lid& lid, double deviation_mm, solid::Mesh& out) {
  const double deviation = std::min(deviation_mm, 0.2 * lid.size.wall);
  mesh(lid, stations(lid, 0, deviation), lid.meridian.front().at.y, deviation, out);
}

void mesh_lid_form(const Lid& lid, double deviation_mm, solid::Mesh& out) {
  const std::size_t rim = lid.size.style == LidStyle::inset ? lid.inside_end - 2 : lid.inside_end;
  mesh(lid, stations(lid, rim, deviation_mm), lid.meridian[rim].at.y, deviation_mm, out);
}

void mesh_gallery(const Lid& lid, const Wall& w, double deviation_mm, solid::Mesh& out) {
  const LidGallery& g = *lid.gallery;
  const double deviation = std::min(deviation_mm, 0.2 * (-g.inner));
  const std::vector<LidOutline::Place> places = lid.outline.places(g.inner, 0, 0, 0.4 * deviation);
  const std::size_t n = places.size();
  // The neck's inside between the ledge's planes, in as many steps as its curve needs.
  const int steps = std::clamp(static_cast<int>(std::ceil((g.top - g.low) / std::max(1.0, 10 * deviation))), 2, 16);
  std::vector<Vec3> points;
  const auto free_face = [&](double z) {
    for (const auto& p : places) points.push_back(turned(p.at + g.inner * p.normal, z, lid.turn));
  };
  free_face(g.top);
  free_face(g.low);
  for (int i = 0; i <= steps; ++i) {
    const double z = g.low + (g.top - g.low) * i / steps;
    for (const auto& p : places) {
      const Vec2 q = p.at + g.inner * p.normal;
      const double bearing = std::atan2(q.y, q.x) + lid.turn, r = w.inner_reach(bearing, z);
      points.push_back({r * std::cos(bearing), r * std::sin(bearing), z});
    }
  }
  out.points = std::move(points);
  out.triangles.clear();
  const std::size_t rings = out.points.size() / n;
  for (std::size_t j = 0; j < rings; ++j)
    for (std::size_t i = 0; i < n; ++i) {
      const auto at = [&](std::size_t ring, std::size_t k) {
        return static_cast<std::uint32_t>((ring % rings) * n + k % n);
      };
      out.triangles.push_back({at(j, i), at(j, i + 1), at(j + 1, i + 1)});
      out.triangles.push_back({at(j, i), at(j + 1, i + 1), at(j + 1, i)});
    }
}

}  // namespace kerfkiln::urn
