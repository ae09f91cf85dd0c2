#include "viewer/state/picture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace kerfkiln::viewer {
namespace {

Vec3 unit_or_up(Vec3 v) {
  const double n = norm(v);
  return n > 0 ? v / n : Vec3{0, 0, 1};
}

double corner_angle(Vec3 a, Vec3 b, Vec3 c) {
  const Vec3 u = b - a, v = c - a;
  return std::atan2(norm(cross(u, v)), dot(u, v));
}

// Union-find over triangle corners; path halving.
struct Groups {
  std::vector<std::uint32_t> parent;
  explicit Groups(std::size_t n) : parent(n) { std::iota(parent.begin(), parent.end(), 0U); }
  std::uint32_t find(std::uint32_t i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
  }
  void unite(std::uint32_t a, std::uint32_t b) {
    a = find(a), b = find(b);
    parent[std::max(a, b)] = std::min(a, b);
  }
};

struct HalfEdge {
  std::uint32_t high;    // the larger vertex; the smaller one is the bucket
  std::uint32_t corner;  // 3 * triangle + position of its first vertex
};

// Half-edges bucketed by their smaller vertex, so that partners are found in linear time.
struct EdgeTable {
  std::vector<std::uint32_t> start;
  std::vector<HalfEdge> half;
  explicit EdgeTable(const solid::Mesh& m) : start(m.points.size() + 1, 0), half(m.triangles.size() * 3) {
    const auto each = [&](auto&& f) {
      for (std::uint32_t t = 0; t < m.triangles.size(); ++t)
        for (std::uint32_t k = 0; k < 3; ++k) {
          const std::uint32_t a = m.triangles[t][k], b = m.triangles[t][(k + 1) % 3];
          f(std::min(a, b), std::max(a, b), 3 * t + k);
        }
    };
    each([&](std::uint32_t low, std::uint32_t, std::uint32_t) { ++start[low + 1]; });
    std::partial_sum(start.begin(), start.end(), start.begin());
    std::vector<std::uint32_t> next(start.begin(), start.end() - 1);
    each([&](std::uint32_t low, std::uint32_t high, std::uint32_t corner) { half[next[low]++] = {high, corner}; });
    for (std::size_t v = 0; v < m.points.size(); ++v)
      std::sort(half.begin() + start[v], half.begin() + start[v + 1], [](const HalfEdge& a, const HalfEdge& b) {
        return a.high != b.high ? a.high < b.high : a.corner < b.corner;
      });
  }
};

}  // namespace

Picture picture_of(const solid::Mesh& m, double feature_rad) {
  Picture p;
  constexpr double inf = std::numeric_limits<double>::infinity();
  p.low = {inf, inf, inf}, p.high = {-inf, -inf, -inf};
  std::vector<Vec3> face(m.triangles.size());
  for (std::size_t t = 0; t < m.triangles.size(); ++t) {
    const Vec3 a = m.points[m.triangles[t][0]], b = m.points[m.triangles[t][1]], c = m.points[m.triangles[t][2]];
    face[t] = unit_or_up(cross(b - a, c - a));
  }
  const auto vertex_of = [&](std::uint32_t corner) { return m.triangles[corner / 3][corner % 3]; };

  Groups groups(m.triangles.size() * 3);
  std::vector<std::array<std::uint32_t, 2>> inked;  // corners at both ends
  const EdgeTable table(m);
  const double limit = std::cos(feature_rad);
  const auto next_corner = [](std::uint32_t c) { return c % 3 == 2 ? c - 2 : c + 1; };
  for (std::size_t v = 0; v + 1 < table.start.size(); ++v) {
    for (std::uint32_t i = table.start[v]; i < table.start[v + 1];) {
      std::uint32_t j = i + 1;
      while (j < table.start[v + 1] && table.half[j].high == table.half[i].high) ++j;
      const std::uint32_t c = table.half[i].corner;
      const std::uint32_t d = table.half[j - 1].corner;
      if (j - i == 2 && dot(face[c / 3], face[d / 3]) >= limit) {
        // Opposite half-edges: the first corner of one meets the second of the other.
        const bool opposite = vertex_of(c) != vertex_of(d);
        groups.unite(c, opposite ? next_corner(d) : d);
        groups.unite(next_corner(c), opposite ? d : next_corner(d));
      } else {
        inked.push_back({c, next_corner(c)});
      }
      i = j;
    }
  }

  constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> slot(m.triangles.size() * 3, none);
  std::vector<Vec3> normal;
  p.triangles.reserve(m.triangles.size() * 3);
  for (std::uint32_t corner = 0; corner < 3 * m.triangles.size(); ++corner) {
    const std::uint32_t root = groups.find(corner);
    if (slot[root] == none) {
      slot[root] = static_cast<std::uint32_t>(p.vertices.size());
      const Vec3 at = m.points[vertex_of(corner)];
      p.vertices.push_back({{static_cast<float>(at.x), static_cast<float>(at.y), static_cast<float>(at.z)}, {}});
      normal.push_back({});
      p.low = {std::min(p.low.x, at.x), std::min(p.low.y, at.y), std::min(p.low.z, at.z)};
      p.high = {std::max(p.high.x, at.x), std::max(p.high.y, at.y), std::max(p.high.z, at.z)};
    }
    const std::uint32_t after = next_corner(corner), before = next_corner(after);
    const double w = corner_angle(m.points[vertex_of(corner)], m.points[vertex_of(after)], m.points[vertex_of(before)]);
    normal[slot[root]] = normal[slot[root]] + w * face[corner / 3];
    p.triangles.push_back(slot[root]);
  }
  for (std::size_t i = 0; i < normal.size(); ++i) {
    const Vec3 n = unit_or_up(normal[i]);
    p.vertices[i].normal = {static_cast<float>(n.x), static_cast<float>(n.y), static_cast<float>(n.z)};
  }
  p.edges.reserve(inked.size() * 2);
  for (const auto& ends : inked)
    for (std::uint32_t corner : ends) p.edges.push_back(slot[groups.find(corner)]);
  return p;
}

}  // namespace kerfkiln::viewer
