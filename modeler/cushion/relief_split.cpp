#include "modeler/cushion/relief_split.hpp"

#include <algorithm>
#include <map>

#include "modeler/cushion/relief_blocks.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
using Edge = std::pair<Index, Index>;
Edge edge(Index a, Index b) { return std::minmax(a, b); }
constexpr double kEnd = 0.01;  // cuts keep this far from the ends of an edge, mm

// Replaces each triangle that has split edges by the pieces between its corners and the new vertices.
void split(std::vector<solid::Triangle>& triangles, std::vector<char>& good, const std::map<Edge, Index>& cut) {
  if (cut.empty()) return;
  std::vector<solid::Triangle> out;
  std::vector<char> whole;
  for (std::size_t k = 0; k < triangles.size(); ++k) {
    const solid::Triangle& t = triangles[k];
    Index mid[3];
    int n = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const auto it = cut.find(edge(t[i], t[(i + 1) % 3]));
      mid[i] = it == cut.end() ? UINT32_MAX : it->second;
      n += it != cut.end();
    }
    const auto has = [&](std::size_t i) { return mid[i] != UINT32_MAX; };
    if (n == 0) {
      whole.resize(out.size(), 0);
      out.push_back(t);
      whole.push_back(good[k]);
    } else if (n == 3) {
      for (std::size_t i = 0; i < 3; ++i) out.push_back({t[i], mid[i], mid[(i + 2) % 3]});
      out.push_back({mid[0], mid[1], mid[2]});
    } else if (n == 1) {
      const std::size_t i = has(0) ? 0u : has(1) ? 1u : 2u, j = (i + 1) % 3, l = (i + 2) % 3;
      out.push_back({t[i], mid[i], t[l]});
      out.push_back({mid[i], t[j], t[l]});
    } else {
      const std::size_t i = !has(0) ? 0u : !has(1) ? 1u : 2u, j = (i + 1) % 3, l = (i + 2) % 3;  // edge i is whole
      out.push_back({t[l], mid[l], mid[j]});
      out.push_back({t[i], t[j], mid[j]});
      out.push_back({t[i], mid[j], mid[l]});
    }
  }
  whole.resize(out.size(), 0);
  good = std::move(whole);
  triangles = std::move(out);
}

Index add_between(Relief& r, Index a, Index b, double share) {
  const Vec2 p = r.plan[a] + share * (r.plan[b] - r.plan[a]);
  r.plan.push_back({to_float(p.x), to_float(p.y)});
  const double top = r.top[a] + share * (r.top[b] - r.top[a]);
  const double bottom = r.bottom[a] + share * (r.bottom[b] - r.bottom[a]);
  r.top.push_back(to_float(top));
  r.bottom.push_back(to_float(bottom));
  if (r.top.back() - r.bottom.back() < 1e-3) r.top.back() = r.bottom.back();
  return static_cast<Index>(r.plan.size() - 1);
}

// Puts the last vertex on the exact surface of a sheet, unless a level lies between: cuts at it may be done already.
void set_exact(const Form& form, Sheet sheet, Relief& r) {
  double& z = sheet == Sheet::top ? r.top.back() : r.bottom.back();
  const Vec2 p = r.plan.back();
  const double exact = to_float(sheet == Sheet::top ? form.z_top(p) : form.z_bottom(p));
  for (double l : r.levels)
    if (std::min(z, exact) <= l + 1e-3 && std::max(z, exact) >= l - 1e-3) return;
  z = exact;
}

}  // namespace

void split_at_levels(const Form& form, Relief& r, std::vector<solid::Triangle>& triangles, const EdgeSet& keep,
                     std::vector<char>& good) {
  for (std::vector<double> Relief::*sheet : {&Relief::top, &Relief::bottom})
    for (double level : r.levels) {
      std::map<Edge, Index> cut;
      for (const solid::Triangle& t : triangles)
        for (std::size_t i = 0; i < 3; ++i) {
          const Index a = std::min(t[i], t[(i + 1) % 3]), b = std::max(t[i], t[(i + 1) % 3]);
          const double za = (r.*sheet)[a] - level, zb = (r.*sheet)[b] - level;
          if (!(za * zb < 0) || keep.count({a, b})) continue;
          const auto [it, fresh] = cut.try_emplace({a, b}, 0);
          if (!fresh) continue;
          const double end = std::min(0.5, kEnd / norm(r.plan[b] - r.plan[a]));
          it->second = add_between(r, a, b, std::clamp(za / (za - zb), end, 1 - end));
          (r.*sheet).back() = level;
          set_exact(form, sheet == &Relief::top ? Sheet::bottom : Sheet::top, r);
          // A cut near an end must not turn the sheets over.
          if (r.top.back() - r.bottom.back() < 1e-3) r.top.back() = r.bottom.back() = level;
        }
      split(triangles, good, cut);
    }
}

void open_pinched_edges(const Form& form, Relief& r, std::vector<solid::Triangle>& triangles, std::vector<char>& good) {
  constexpr double kOpen = 0.004;             // mm: seen by no one, far above what rounding to float does
  const std::size_t slabs = r.levels.size();  // all layers, and the core
  for (std::size_t i = 0; i < slabs; ++i) {
    const bool core = i + 1 == slabs;
    const double low = core || i == 0 ? -1e9 : r.levels[i], high = core || i + 2 == slabs ? 1e9 : r.levels[i + 1];
    const auto height = [&](Index v) { return std::clamp(r.top[v], low, high) - std::clamp(r.bottom[v], low, high); };
    std::map<Edge, int> sides;
    for (const solid::Triangle& t : triangles) {
      if (height(t[0]) <= 0 && height(t[1]) <= 0 && height(t[2]) <= 0) continue;
      for (std::size_t k = 0; k < 3; ++k)
        if (height(t[k]) <= 0 && height(t[(k + 1) % 3]) <= 0) ++sides[edge(t[k], t[(k + 1) % 3])];
    }
    std::map<Edge, Index> cut;
    for (const auto& [e, n] : sides) {
      if (n < 2) continue;
      const Index v = cut[e] = add_between(r, e.first, e.second, 0.5);
      const Vec2 p = r.plan[v];
      const double top = to_float(form.z_top(p)), bottom = to_float(form.z_bottom(p));
      r.top[v] = std::max(top, bottom + kOpen);
      r.bottom[v] = bottom;
      // A layer that is pinched at its glue plane opens on its own side of it.
      if (height(v) <= 0) {
        if (r.top[v] <= low) r.top[v] = to_float(low + kOpen);
        if (r.bottom[v] >= high) r.bottom[v] = to_float(high - kOpen);
      }
    }
    split(triangles, good, cut);
  }
}

Result<std::vector<plane::Outline>> section_outlines(const Relief& r, double z) {
  // Directed edges with the section on their left and nothing of it on their right.
  std::map<Index, std::vector<Index>> next;
  std::set<Edge> directed;
  for (const solid::Triangle& t : r.triangles) {
    bool in = true;
    for (Index v : t) in = in && r.top[v] >= z && r.bottom[v] <= z;
    if (!in) continue;
    for (std::size_t i = 0; i < 3; ++i) directed.insert({t[i], t[(i + 1) % 3]});
  }
  for (const Edge& e : directed)
    if (!directed.count({e.second, e.first})) next[e.first].push_back(e.second);
  std::vector<plane::Loop> outer, holes;
  while (!next.empty()) {
    std::vector<Index> chain{next.begin()->first};
    for (;;) {
      const auto it = next.find(chain.back());
      if (it == next.end()) break;
      const Index to = it->second.back();
      it->second.pop_back();
      if (it->second.empty()) next.erase(it);
      if (to == chain.front()) break;
      chain.push_back(to);
    }
    plane::Loop loop;
    for (Index v : chain) loop.push_back({r.plan[v], 0, -1});
    if (loop.size() < 3) continue;
    (plane::area(loop) > 0 ? outer : holes).push_back(std::move(loop));
  }
  std::vector<plane::Outline> outlines;
  for (plane::Loop& l : outer) outlines.push_back({std::move(l), {}, {}});
  for (plane::Loop& h : holes)
    for (plane::Outline& o : outlines)
      if (plane::contains(plane::Outline{o.outer, {}, {}}, h[0].at)) {
        o.holes.push_back(std::move(h));
        break;
      }
  return outlines;
}

}  // namespace kerfkiln::cushion
