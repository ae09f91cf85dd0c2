#include "modeler/cushion/cell_lines.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
constexpr double kSame = 0.002;  // closer than this, vertices and lines are one, mm

Vec2 rounded(Vec2 p) {
  return {static_cast<double>(static_cast<float>(p.x)), static_cast<double>(static_cast<float>(p.y))};
}

// Points along a segment so that neither surface leaves the chords by more than `limit`.
class Sampler {
 public:
  Sampler(const Form& form, double limit)
      : form_(form), limit_(limit), reach_(std::max(form.inset(Sheet::top), form.inset(Sheet::bottom))) {}

  void along(const plane::Segment& s, std::vector<Vec2>& out) {
    int n = 1;
    if (!s.is_line()) {
      const double turn = std::acos(std::max(0.5, 1 - limit_ / s.radius()));
      n = std::max(1, static_cast<int>(std::ceil(std::abs(s.sweep()) / (2 * turn))));
    }
    n = std::max(n, static_cast<int>(std::ceil(s.length() / kLongest)));
    for (int i = 0; i < n; ++i) {
      const double a = static_cast<double>(i) / n, b = static_cast<double>(i + 1) / n;
      out.push_back(rounded(s.point(a)));
      split(s, look(s.point(a)), look(s.point(b)), a, b, out, 0);
    }
  }

 private:
  static constexpr double kLongest = 400, kCoarse = 12, kFine = 0.02;
  struct Seen {
    Vec2 at;
    double top, bottom;
  };
  Seen look(Vec2 p) const { return {p, form_.z_top(p), form_.z_bottom(p)}; }

  bool off(const Seen& a, const Seen& b, const Seen& m) const {
    const double run = norm(b.at - a.at);
    const auto miss = [&](double za, double zb, double zm) {
      const double slope = (zb - za) / run;
      return std::abs(zm - (za + zb) / 2) / std::sqrt(1 + slope * slope);
    };
    return miss(a.top, b.top, m.top) > limit_ || miss(a.bottom, b.bottom, m.bottom) > limit_;
  }
  void split(const plane::Segment& s, const Seen& a, const Seen& b, double ta, double tb, std::vector<Vec2>& out,
             int depth) {
    const double run = norm(b.at - a.at), t = (ta + tb) / 2;
    if (run < kFine || depth > 20) return;
    const Seen m = look(s.point(t));
    const double away = form_.field(Sheet::top).boundary().nearest(m.at).distance;
    // So far inside that all is flat, or so far outside that nothing is.
    const bool inside = plane::contains(form_.outline(), m.at);
    if (away >= run / 2 + (inside ? reach_ : 0) && (!inside || !form_.risen())) return;
    if (run < kCoarse && !off(a, b, m)) {
      const Seen q = look(s.point((ta + t) / 2)), r = look(s.point((t + tb) / 2));
      if (!off(a, m, q) && !off(m, b, r)) return;
    }
    split(s, a, m, ta, t, out, depth + 1);
    out.push_back(rounded(m.at));
    split(s, m, b, t, tb, out, depth + 1);
  }

  const Form& form_;
  double limit_, reach_;
};

double distance_to(Vec2 p, Vec2 a, Vec2 b, double& share) {
  const Vec2 d = b - a;
  share = std::clamp(dot(p - a, d) / dot(d, d), 0.0, 1.0);
  return norm(p - (a + share * d));
}

// Vertices by place.
class Places {
 public:
  explicit Places(std::vector<Vec2>& points) : points_(points) {}
  void know(Index v) { cells_[key(points_[v], 0, 0)].push_back(v); }
  Index find_or_add(Vec2 p) {
    Index best = UINT32_MAX;
    double nearest = kSame;
    for (int j = -1; j <= 1; ++j)
      for (int i = -1; i <= 1; ++i) {
        const auto it = cells_.find(key(p, i, j));
        if (it == cells_.end()) continue;
        for (Index v : it->second)
          if (const double d = norm(points_[v] - p); d < nearest) {
            nearest = d;
            best = v;
          }
      }
    if (best != UINT32_MAX) return best;
    points_.push_back(rounded(p));
    know(static_cast<Index>(points_.size() - 1));
    return static_cast<Index>(points_.size() - 1);
  }

 private:
  static std::uint64_t key(Vec2 p, int di, int dj) {
    const auto i = static_cast<std::int64_t>(std::floor(p.x / (2 * kSame))) + di;
    const auto j = static_cast<std::int64_t>(std::floor(p.y / (2 * kSame))) + dj;
    return static_cast<std::uint64_t>(i) << 32 ^ (static_cast<std::uint64_t>(j) & 0xffffffffu);
  }
  std::vector<Vec2>& points_;
  std::unordered_map<std::uint64_t, std::vector<Index>> cells_;
};

struct Part {
  Index a, b;
  std::vector<std::pair<double, Index>> cuts;  // share along, vertex
};

class Noding {
 public:
  Noding(std::vector<Vec2>& points, std::span<const PlanEdge> border) : points_(points), places_(points) {
    for (const PlanEdge& e : border) parts_.push_back({e[0], e[1], {}});
    borders_ = parts_.size();
  }

  CellLines run(const std::vector<std::vector<std::vector<Vec2>>>& chains, std::span<const Index> corridor,
                std::span<const Index> inner, double spacing) {
    for (Index v : corridor) places_.know(v);
    existing_ = static_cast<Index>(points_.size());
    for (const auto& region : chains) {
      auto& loops = out_.loops.emplace_back();
      for (const auto& chain : region) {
        std::vector<Index> loop;
        for (Vec2 p : chain) {
          const Index v = places_.find_or_add(p);
          if (loop.empty() || loop.back() != v) loop.push_back(v);
        }
        while (loop.size() > 1 && loop.front() == loop.back()) loop.pop_back();
        if (loop.size() >= 3) loops.push_back(std::move(loop));
      }
    }
    for (const auto& region : out_.loops)
      for (const auto& loop : region)
        for (std::size_t i = 0; i < loop.size(); ++i) part_of(loop[i], loop[(i + 1) % loop.size()]);
    meet();
    settle(inner, spacing);
    return std::move(out_);
  }

 private:
  static std::uint64_t key(Index a, Index b) {
    return static_cast<std::uint64_t>(std::min(a, b)) << 32 | std::max(a, b);
  }
  void part_of(Index a, Index b) {
    if (known_.try_emplace(key(a, b), parts_.size()).second) parts_.push_back({a, b, {}});
  }
  std::pair<Vec2, Vec2> ends(const Part& p) const { return {points_[p.a], points_[p.b]}; }

  void cut(Part& p, Index v) {
    if (v == p.a || v == p.b) return;
    double share;
    distance_to(points_[v], points_[p.a], points_[p.b], share);
    p.cuts.push_back({share, v});
  }

  void meet() {
    std::vector<std::pair<Vec2, Vec2>> segments;
    for (const Part& p : parts_) segments.push_back(ends(p));
    const SegmentGrid grid(segments, kSame);
    std::vector<std::size_t> seen(parts_.size(), SIZE_MAX);
    const std::size_t count = parts_.size();
    for (std::size_t s = borders_; s < count; ++s) {
      const auto [a, b] = segments[s];
      const plane::Box box{{std::min(a.x, b.x), std::min(a.y, b.y)}, {std::max(a.x, b.x), std::max(a.y, b.y)}};
      grid.near(box, [&](Index o) {
        if (o == s || seen[o] == s || (o >= borders_ && o < s)) return;
        seen[o] = s;
        cross_at(parts_[s], parts_[o]);
      });
    }
    // Vertices of lines, crossings included, that lie on a line or on the outline.
    std::vector<Index> ends_of_lines;
    for (std::size_t s = borders_; s < count; ++s) {
      ends_of_lines.push_back(parts_[s].a);
      ends_of_lines.push_back(parts_[s].b);
      for (const auto& [share, v] : parts_[s].cuts) ends_of_lines.push_back(v);
    }
    std::sort(ends_of_lines.begin(), ends_of_lines.end());
    ends_of_lines.erase(std::unique(ends_of_lines.begin(), ends_of_lines.end()), ends_of_lines.end());
    std::fill(seen.begin(), seen.end(), SIZE_MAX);
    for (Index v : ends_of_lines) {
      const Vec2 p = points_[v], m{kSame, kSame};
      grid.near({p - m, p + m}, [&](Index o) {
        if (seen[o] == v) return;
        seen[o] = v;
        double share;
        if (distance_to(p, segments[o].first, segments[o].second, share) < kSame) cut(parts_[o], v);
      });
    }
  }
  void cross_at(Part& s, Part& o) {
    if (s.a == o.a || s.a == o.b || s.b == o.a || s.b == o.b) return;
    const auto [a, b] = ends(s);
    const auto [c, d] = ends(o);
    const double sc = cross(b - a, c - a), sd = cross(b - a, d - a);
    const double oa = cross(d - c, a - c), ob = cross(d - c, b - c);
    if (!(sc * sd < 0 && oa * ob < 0)) return;
    const Index v = places_.find_or_add(rounded(a + oa / (oa - ob) * (b - a)));
    cut(s, v);
    cut(o, v);
  }

  void settle(std::span<const Index> inner, double spacing) {
    for (std::size_t s = 0; s < parts_.size(); ++s) {
      Part& p = parts_[s];
      std::sort(p.cuts.begin(), p.cuts.end());
      p.cuts.erase(
          std::unique(p.cuts.begin(), p.cuts.end(), [](const auto& x, const auto& y) { return x.second == y.second; }),
          p.cuts.end());
      if (s < borders_)
        for (const auto& [share, v] : p.cuts)
          if (v >= existing_) out_.on_border.push_back({v, p.a, p.b, share});
      Index last = p.a;
      std::vector<PlanEdge>& edges = s < borders_ ? out_.border : out_.lines;
      for (const auto& [share, v] : p.cuts) {
        edges.push_back({last, v});
        last = v;
      }
      edges.push_back({last, p.b});
    }
    for (PlanEdge& e : out_.lines)
      if (e[0] > e[1]) std::swap(e[0], e[1]);
    std::sort(out_.lines.begin(), out_.lines.end());
    out_.lines.erase(std::unique(out_.lines.begin(), out_.lines.end()), out_.lines.end());
    // A line along the outline is the outline.
    std::vector<PlanEdge> outline = out_.border;
    for (PlanEdge& e : outline)
      if (e[0] > e[1]) std::swap(e[0], e[1]);
    std::sort(outline.begin(), outline.end());
    std::erase_if(out_.lines, [&](const PlanEdge& e) { return std::binary_search(outline.begin(), outline.end(), e); });
    for (auto& region : out_.loops)
      for (auto& loop : region) loop = cut_loop(loop);
    keep_inner(inner, spacing);
  }
  std::vector<Index> cut_loop(const std::vector<Index>& loop) const {
    std::vector<Index> out;
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const Index a = loop[i], b = loop[(i + 1) % loop.size()];
      out.push_back(a);
      const Part& p = parts_[known_.at(key(a, b))];
      if (p.a == a)
        for (auto it = p.cuts.begin(); it != p.cuts.end(); ++it) out.push_back(it->second);
      else
        for (auto it = p.cuts.rbegin(); it != p.cuts.rend(); ++it) out.push_back(it->second);
    }
    return out;
  }
  void keep_inner(std::span<const Index> inner, double spacing) {
    std::vector<Index> used;
    std::vector<std::pair<Vec2, Vec2>> segments;
    for (const PlanEdge& e : out_.lines) {
      used.insert(used.end(), {e[0], e[1]});
      segments.push_back({points_[e[0]], points_[e[1]]});
    }
    std::sort(used.begin(), used.end());
    const SegmentGrid grid(segments, spacing);
    for (Index v : inner) {
      if (std::binary_search(used.begin(), used.end(), v)) continue;
      const Vec2 p = points_[v], m{spacing, spacing};
      bool close = false;
      grid.near({p - m, p + m}, [&](Index s) {
        double share;
        close = close || distance_to(p, segments[s].first, segments[s].second, share) < spacing;
      });
      if (!close) out_.inner.push_back(v);
    }
  }

  std::vector<Vec2>& points_;
  Places places_;
  std::vector<Part> parts_;
  std::size_t borders_ = 0;
  Index existing_ = 0;
  std::unordered_map<std::uint64_t, std::size_t> known_;
  CellLines out_;
};

}  // namespace

std::vector<std::vector<Vec2>> sampled_loops(const Form& form, const plane::Outline& region, double deviation) {
  Sampler sampler(form, deviation / 2);
  std::vector<std::vector<Vec2>> chains;
  const auto add = [&](const plane::Loop& loop) {
    auto& chain = chains.emplace_back();
    for (std::size_t i = 0; i < loop.size(); ++i) sampler.along(plane::segment(loop, i), chain);
  };
  add(region.outer);
  for (const plane::Loop& hole : region.holes) add(hole);
  return chains;
}

SegmentGrid::SegmentGrid(std::span<const std::pair<Vec2, Vec2>> segments, double margin)
    : count_(segments.size()), box_{{1e300, 1e300}, {-1e300, -1e300}} {
  if (segments.empty()) return;
  for (const auto& [a, b] : segments)
    for (Vec2 p : {a, b}) {
      box_.low = {std::min(box_.low.x, p.x), std::min(box_.low.y, p.y)};
      box_.high = {std::max(box_.high.x, p.x), std::max(box_.high.y, p.y)};
    }
  const Vec2 m{margin + 1e-6, margin + 1e-6};
  box_ = {box_.low - m, box_.high + m};
  step_ = {box_.width() / kSize, box_.depth() / kSize};
  bucket_.resize(static_cast<std::size_t>(kSize * kSize));
  for (std::size_t s = 0; s < segments.size(); ++s) {
    const auto [a, b] = segments[s];
    const double y0 = std::min(a.y, b.y) - m.y, y1 = std::max(a.y, b.y) + m.y;
    const int j0 = at({a.x, y0}).second, j1 = at({a.x, y1}).second;
    for (int j = j0; j <= j1; ++j) {
      // The stretch of the segment within this row.
      double x0 = std::min(a.x, b.x), x1 = std::max(a.x, b.x);
      if (a.y != b.y) {
        const double low = box_.low.y + j * step_.y - m.y, high = low + step_.y + 2 * m.y;
        const double u = std::clamp((low - a.y) / (b.y - a.y), 0.0, 1.0),
                     v = std::clamp((high - a.y) / (b.y - a.y), 0.0, 1.0);
        const double xu = a.x + u * (b.x - a.x), xv = a.x + v * (b.x - a.x);
        x0 = std::min(xu, xv);
        x1 = std::max(xu, xv);
      }
      const int i0 = at({x0 - m.x, y0}).first, i1 = at({x1 + m.x, y0}).first;
      for (int i = i0; i <= i1; ++i) bucket_[static_cast<std::size_t>(j * kSize + i)].push_back(static_cast<Index>(s));
    }
  }
}

bool SegmentGrid::misses(const plane::Box& b) const {
  return count_ == 0 || b.high.x < box_.low.x || b.low.x > box_.high.x || b.high.y < box_.low.y ||
         b.low.y > box_.high.y;
}

std::pair<int, int> SegmentGrid::at(Vec2 p) const {
  const auto place = [](double x, double low, double step) {
    return std::clamp(static_cast<int>((x - low) / step), 0, kSize - 1);
  };
  return {place(p.x, box_.low.x, step_.x), place(p.y, box_.low.y, step_.y)};
}

CellLines noded(std::vector<Vec2>& points, const std::vector<std::vector<std::vector<Vec2>>>& chains,
                std::span<const std::uint32_t> corridor, std::span<const std::uint32_t> inner,
                std::span<const PlanEdge> border, double spacing) {
  return Noding(points, border).run(chains, corridor, inner, spacing);
}

}  // namespace kerfkiln::cushion
