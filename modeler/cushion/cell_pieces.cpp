#include "modeler/cushion/cell_pieces.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "modeler/solid/relief/sides.hpp"
#include "modeler/solid/relief/stepped.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = solid::kNoSide;

struct Span {
  std::vector<double> lower, upper;
};

// What stays (or goes, from above or from below) at the corners of each triangle.
enum class Side { left, off_top, off_bottom };
Span span_of(const Cells& c, const Piece& p, Side side) {
  const Relief& r = c.relief;
  const std::size_t last = r.levels.size() - 1;
  double low = -INFINITY, high = INFINITY;
  if (p.layer && *p.layer > 0) low = r.levels[*p.layer];
  if (p.layer && *p.layer + 1 < last) high = r.levels[*p.layer + 1];
  // The cuts and the choice of a cell are the same for all of its triangles.
  std::vector<std::vector<std::size_t>> from_top(c.within.size()), from_bottom(c.within.size());
  std::vector<char> chosen(c.within.size(), 1);
  for (std::size_t cell = 0; cell < c.within.size(); ++cell) {
    const auto& w = c.within[cell];
    if (p.chosen) chosen[cell] = p.chosen(w);
    for (std::size_t i = 0; i < c.cuts.size(); ++i)
      if (std::binary_search(w.begin(), w.end(), static_cast<Index>(c.cuts[i].region)))
        (c.cuts[i].kind == Cut::Kind::roof ? from_bottom : from_top)[cell].push_back(c.surface[i]);
  }
  Span s;
  s.lower.resize(3 * r.triangles.size(), 0);
  s.upper.resize(3 * r.triangles.size(), 0);
  for (std::size_t t = 0; t < r.triangles.size(); ++t) {
    const Index cell = c.cell[t];
    if (!chosen[cell]) continue;
    for (std::size_t k = 0; k < 3; ++k) {
      const Index v = r.triangles[t][k];
      double upper = r.top[v], lower = r.bottom[v];
      for (std::size_t i : from_top[cell]) upper = std::min(upper, c.limit[i][v]);
      for (std::size_t i : from_bottom[cell]) lower = std::max(lower, c.limit[i][v]);
      upper = std::max(upper, r.bottom[v]);
      lower = std::min(lower, upper);
      if (side == Side::off_top) {
        lower = upper;
        upper = r.top[v];
      } else if (side == Side::off_bottom) {
        upper = lower;
        lower = r.bottom[v];
      }
      s.lower[3 * t + k] = std::clamp(lower, low, high);
      s.upper[3 * t + k] = std::clamp(upper, low, high);
    }
  }
  return s;
}

solid::Mesh mesh_of(const Cells& c, const Piece& p, Side side) {
  const Span s = span_of(c, p, side);
  return solid::stepped(c.relief.plan, c.relief.triangles, c.opposite, s.lower, s.upper);
}

}  // namespace

bool touches_itself(const Cells& c) {
  const auto& triangles = c.relief.triangles;
  const std::vector<Index>& opposite = c.opposite;
  const std::size_t layers = c.relief.levels.size() - 1;
  std::vector<int> fans(c.relief.plan.size());
  for (std::size_t i = layers == 1 ? 1 : 0; i <= layers; ++i) {  // all layers, and the core; a single one is the core
    Piece p;
    if (i < layers) p.layer = i;
    const Span s = span_of(c, p, Side::left);
    const auto shut = [&](std::size_t corner) { return !(s.upper[corner] > s.lower[corner]); };
    bool closes = false;
    for (std::size_t corner = 0; corner < s.upper.size() && !closes; ++corner) closes = shut(corner);
    if (!closes) continue;
    const auto kept = [&](std::size_t t) { return !(shut(3 * t) && shut(3 * t + 1) && shut(3 * t + 2)); };
    constexpr int kOpen = -1000000;
    std::fill(fans.begin(), fans.end(), 0);
    for (std::size_t t = 0; t < triangles.size(); ++t) {
      if (!kept(t)) continue;
      for (std::size_t k = 0; k < 3; ++k) {
        const Index a = triangles[t][k], b = triangles[t][(k + 1) % 3];
        fans[a] += shut(3 * t + k) ? 1 : kOpen;
        const Index across = opposite[3 * t + k];
        if (across == kNone || across > 3 * t + k || !kept(across / 3)) continue;
        --fans[a];
        --fans[b];
        const std::size_t next = 3 * t + (k + 1) % 3, back = across - across % 3 + (across % 3 + 1) % 3;
        if (shut(3 * t + k) && shut(next) && shut(across) && shut(back)) return true;
      }
    }
    // Triangles less the edges between them: 1 of an open fan, 0 of a ring, 2 and more of several fans.
    std::vector<char> met(fans.size(), 0);
    for (std::size_t t = 0; t < triangles.size(); ++t)
      if (kept(t))
        for (std::size_t k = 0; k < 3; ++k) met[triangles[t][k]] = 1;
    for (std::size_t v = 0; v < fans.size(); ++v)
      if (met[v] && fans[v] > kOpen / 2 && fans[v] != 1) return true;
  }
  return false;
}

solid::Mesh piece(const Cells& c, const Piece& p) {
  if (!p.removed) return mesh_of(c, p, Side::left);
  solid::Mesh above = mesh_of(c, p, Side::off_top), below = mesh_of(c, p, Side::off_bottom);
  const auto base = static_cast<Index>(above.points.size());
  above.points.insert(above.points.end(), below.points.begin(), below.points.end());
  for (const solid::Triangle& t : below.triangles) above.triangles.push_back({base + t[0], base + t[1], base + t[2]});
  return above;
}

int parts(const Cells& c, const Piece& p) {
  const auto& triangles = c.relief.triangles;
  const std::vector<Index>& opposite = c.opposite;
  const Span s = span_of(c, p, Side::left);
  const auto open = [&](std::size_t corner) { return s.upper[corner] > s.lower[corner]; };
  // Across a side the columns of two triangles meet where they share a height; surfaces do not cross between the ends.
  const auto share = [&](std::size_t a, std::size_t b) {
    return std::min(s.upper[a], s.upper[b]) > std::max(s.lower[a], s.lower[b]);
  };
  std::vector<char> seen(triangles.size(), 0);
  std::vector<std::size_t> waiting;
  int count = 0;
  for (std::size_t seed = 0; seed < triangles.size(); ++seed) {
    if (seen[seed] || !(open(3 * seed) || open(3 * seed + 1) || open(3 * seed + 2))) continue;
    ++count;
    seen[seed] = 1;
    waiting.assign(1, seed);
    while (!waiting.empty()) {
      const std::size_t t = waiting.back();
      waiting.pop_back();
      for (std::size_t k = 0; k < 3; ++k) {
        const Index across = opposite[3 * t + k];
        if (across == kNone || seen[across / 3]) continue;
        const std::size_t next = 3 * t + (k + 1) % 3, back = across - across % 3 + (across % 3 + 1) % 3;
        if (!share(3 * t + k, back) && !share(next, across)) continue;
        seen[across / 3] = 1;
        waiting.push_back(across / 3);
      }
    }
  }
  return count;
}

int shells(const solid::Mesh& mesh) {
  std::vector<Index> root(mesh.points.size());
  std::iota(root.begin(), root.end(), 0u);
  const auto find = [&](Index v) {
    while (root[v] != v) v = root[v] = root[root[v]];
    return v;
  };
  for (const solid::Triangle& t : mesh.triangles)
    for (std::size_t i = 0; i < 2; ++i) root[find(t[i])] = find(t[i + 1]);
  int count = 0;
  for (Index v = 0; v < root.size(); ++v) count += root[v] == v;
  return count;
}

}  // namespace kerfkiln::cushion
