#include "modeler/solid/relief/between.hpp"

#include <algorithm>
#include <numeric>

namespace kerfkiln::solid {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;

// Directed edges of the kept triangles, bucketed by their first vertex: all that adjacency is needed for.
class Edges {
 public:
  Edges(std::span<const Triangle> triangles, const std::vector<Index>& kept, std::size_t points)
      : start_(points + 1, 0) {
    for (Index t : kept)
      for (Index v : triangles[t]) ++start_[v + 1];
    std::partial_sum(start_.begin(), start_.end(), start_.begin());
    to_.resize(start_.back());
    of_.resize(start_.back());
    std::vector<Index> at(start_.begin(), start_.end() - 1);
    for (Index t : kept)
      for (int i = 0; i < 3; ++i) {
        const Index a = triangles[t][static_cast<std::size_t>(i)];
        to_[at[a]] = triangles[t][static_cast<std::size_t>((i + 1) % 3)];
        of_[at[a]++] = t;
      }
  }
  Index triangle(Index a, Index b) const {  // to the left of a -> b
    for (Index i = start_[a]; i < start_[a + 1]; ++i)
      if (to_[i] == b) return of_[i];
    return kNone;
  }
  Index fan_size(Index v) const { return start_[v + 1] - start_[v]; }
  Index fan_triangle(Index v, Index i) const { return of_[start_[v] + i]; }

 private:
  std::vector<Index> start_, to_, of_;
};

std::vector<Index> kept_triangles(std::span<const Triangle> triangles, std::span<const double> lower,
                                  std::span<const double> upper) {
  std::vector<Index> kept;
  kept.reserve(triangles.size());
  for (std::size_t t = 0; t < triangles.size(); ++t)
    for (Index v : triangles[t])
      if (upper[v] > lower[v]) {
        kept.push_back(static_cast<Index>(t));
        break;
      }
  return kept;
}

Index corner_of(const Triangle& t, Index v) { return t[0] == v ? 0u : t[1] == v ? 1u : 2u; }

}  // namespace

Mesh between(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const double> lower,
             std::span<const double> upper) {
  const std::vector<Index> kept = kept_triangles(triangles, lower, upper);
  const Edges edges(triangles, kept, plan.size());
  Mesh mesh;
  mesh.points.reserve(2 * plan.size());
  mesh.triangles.reserve(2 * kept.size() + kept.size() / 4);
  // One pair of vertices for each plan vertex that is used; a united vertex whose triangles form several fans is
  // taken apart below.
  std::vector<Index> top(plan.size(), kNone), bottom(plan.size(), kNone);
  const auto add = [&](Index v, double z) {
    mesh.points.push_back({plan[v].x, plan[v].y, z});
    return static_cast<Index>(mesh.points.size() - 1);
  };
  for (Index t : kept)
    for (Index v : triangles[t]) {
      if (top[v] != kNone) continue;
      top[v] = add(v, upper[v]);
      bottom[v] = upper[v] > lower[v] ? add(v, lower[v]) : top[v];
    }
  for (Index t : kept) {
    const auto [a, b, c] = triangles[t];
    mesh.triangles.push_back({top[a], top[b], top[c]});
    mesh.triangles.push_back({bottom[c], bottom[b], bottom[a]});
  }
  // own[3 k + i]: the separate vertex that corner i of kept triangle k uses instead, where fans were parted.
  std::vector<Index> place(triangles.size(), kNone);
  for (std::size_t k = 0; k < kept.size(); ++k) place[kept[k]] = static_cast<Index>(k);
  for (std::size_t v = 0; v < plan.size(); ++v) {
    const Index id = static_cast<Index>(v), n = edges.fan_size(id);
    if (top[v] == kNone || top[v] != bottom[v] || n == 0) continue;
    std::vector<char> done(n, 0);
    bool first = true;
    for (Index seed = 0; seed < n; ++seed) {
      if (done[seed]) continue;
      Index own_top = top[v];
      if (!first) own_top = add(id, upper[v]);
      first = false;
      // Walk the fan both ways from the seed.
      std::vector<Index> fan{edges.fan_triangle(id, seed)};
      bool ring = false;
      for (Index t = fan[0];;) {
        const Triangle& x = triangles[t];
        const Index next = edges.triangle(id, x[(corner_of(x, id) + 2) % 3]);
        if (next == kNone) break;
        if (next == fan[0]) {
          ring = true;
          break;
        }
        fan.push_back(t = next);
      }
      for (Index t = fan[0]; !ring;) {
        const Triangle& x = triangles[t];
        const Index next = edges.triangle(x[(corner_of(x, id) + 1) % 3], id);
        if (next == kNone) break;
        fan.push_back(t = next);
      }
      // A ring of triangles round a united vertex: top and bottom touch there without joining.
      const Index own_bottom = ring ? add(id, lower[v]) : own_top;
      for (Index t : fan) {
        for (Index i = 0; i < n; ++i)
          if (edges.fan_triangle(id, i) == t) done[i] = 1;
        const Index corner = corner_of(triangles[t], id), k = place[t];
        mesh.triangles[2 * k][corner] = own_top;
        mesh.triangles[2 * k + 1][2 - corner] = own_bottom;
      }
    }
  }
  for (std::size_t k = 0; k < kept.size(); ++k) {
    const Triangle& t = triangles[kept[k]];
    for (std::size_t i = 0; i < 3; ++i) {
      const Index a = t[i], b = t[(i + 1) % 3];
      if (edges.triangle(b, a) != kNone) continue;
      const std::size_t j = (i + 1) % 3;
      const Index ta = mesh.triangles[2 * k][i], tb = mesh.triangles[2 * k][j];
      const Index ba = mesh.triangles[2 * k + 1][2 - i], bb = mesh.triangles[2 * k + 1][2 - j];
      if (ba != ta || bb != tb) {
        if (bb != tb) mesh.triangles.push_back({ba, bb, tb});
        if (ba != ta) mesh.triangles.push_back({ba, tb, ta});
      }
    }
  }
  return mesh;
}

std::size_t parts_between(std::span<const Triangle> triangles, std::span<const double> lower,
                          std::span<const double> upper) {
  const std::vector<Index> kept = kept_triangles(triangles, lower, upper);
  const Edges edges(triangles, kept, lower.size());
  std::vector<char> seen(triangles.size(), 0);
  std::size_t parts = 0;
  for (Index seed : kept) {
    if (seen[seed]) continue;
    ++parts;
    std::vector<Index> open{seed};
    seen[seed] = 1;
    while (!open.empty()) {
      const Triangle t = triangles[open.back()];
      open.pop_back();
      for (std::size_t i = 0; i < 3; ++i) {
        const Index g = edges.triangle(t[(i + 1) % 3], t[i]);
        if (g == kNone || seen[g]) continue;
        seen[g] = 1;
        open.push_back(g);
      }
    }
  }
  return parts;
}

}  // namespace kerfkiln::solid
