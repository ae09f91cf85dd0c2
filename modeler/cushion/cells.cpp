#include "modeler/cushion/cells.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <optional>

#include "modeler/cushion/cell_lines.hpp"
#include "modeler/cushion/cell_pieces.hpp"
#include "modeler/cushion/cell_split.hpp"
#include "modeler/cushion/drop.hpp"
#include "modeler/solid/relief/refill.hpp"
#include "modeler/solid/relief/sides.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = solid::kNoSide;
double to_float(double x) { return static_cast<double>(static_cast<float>(x)); }
constexpr double kNear = 0.01;  // triangles so close to a boundary are refilled with it, mm
// What is refilled is measured at a few places only, and cut at levels afterwards: a closer aim makes up for both.
constexpr double kAim = 0.75;

using Chains = std::vector<std::vector<std::vector<Vec2>>>;

std::vector<std::pair<Vec2, Vec2>> segments_of(const Chains& chains) {
  std::vector<std::pair<Vec2, Vec2>> segments;
  for (const auto& region : chains)
    for (const auto& chain : region)
      for (std::size_t i = 0; i < chain.size(); ++i) segments.push_back({chain[i], chain[(i + 1) % chain.size()]});
  return segments;
}

// Does the segment come as near as kNear to the triangle? By separating axes: those of its sides and the segment's.
bool touches(const std::array<Vec2, 3>& t, Vec2 a, Vec2 b) {
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec2 d = t[(i + 1) % 3] - t[i];
    const double margin = -kNear * norm(d);
    if (cross(d, a - t[i]) < margin && cross(d, b - t[i]) < margin) return false;
  }
  const Vec2 d = b - a;
  const double margin = kNear * norm(d);
  double low = INFINITY, high = -INFINITY;
  for (Vec2 p : t) {
    low = std::min(low, cross(d, p - a));
    high = std::max(high, cross(d, p - a));
  }
  return low <= margin && high >= -margin;
}

class CellMaker {
 public:
  CellMaker(const Form& form, Relief relief, std::span<const Cut> cuts, double deviation)
      : form_(form), deviation_(deviation), levels_(relief.levels) {
    out_.relief = std::move(relief);
    out_.cuts.assign(cuts.begin(), cuts.end());
  }

  Result<Cells> run(std::span<const plane::Outline> regions) {
    Chains chains;
    for (const plane::Outline& region : regions) chains.push_back(sampled_loops(form_, region, deviation_));
    if (Findings f = refill_along(chains); !f.empty()) return f;
    find_cells();
    set_limits();
    std::vector<char> active = refilled_;
    for (std::size_t t = 0; t < active.size(); ++t)
      for (const Cut& cut : out_.cuts) active[t] = active[t] || lies_in(t, cut.region);
    split_crossings(out_, std::move(active));
    out_.opposite = solid::opposites(out_.relief.triangles, out_.relief.plan.size());
    return std::move(out_);
  }

 private:
  Findings refill_along(const Chains& chains) {
    Relief& r = out_.relief;
    const std::vector<std::pair<Vec2, Vec2>> segments = segments_of(chains);
    const SegmentGrid grid(segments, kNear);
    std::vector<char> open(r.triangles.size(), 0);
    for (std::size_t k = 0; k < r.triangles.size(); ++k) {
      const solid::Triangle& t = r.triangles[k];
      const std::array<Vec2, 3> p{r.plan[t[0]], r.plan[t[1]], r.plan[t[2]]};
      const plane::Box box{{std::min({p[0].x, p[1].x, p[2].x}), std::min({p[0].y, p[1].y, p[2].y})},
                           {std::max({p[0].x, p[1].x, p[2].x}), std::max({p[0].y, p[1].y, p[2].y})}};
      grid.near(box, [&](Index s) {
        if (!open[k] && touches(p, segments[s].first, segments[s].second)) open[k] = 1;
      });
    }
    // The hole's border, and which of its vertices may go.
    const std::vector<Index> opposite = solid::opposites(r.triangles, r.plan.size());
    know_level_triangles(open);
    std::vector<PlanEdge> outline;
    solid::RefillRequest request;
    std::vector<Index> corridor;
    std::vector<char> role(r.plan.size(), 0);  // 1 of the corridor, 2 on its border
    for (Index c = 0; c < opposite.size(); ++c) {
      const solid::Triangle& t = r.triangles[c / 3];
      const Index a = t[c % 3], b = t[(c % 3 + 1) % 3];
      if (!open[c / 3]) continue;
      if (role[a] == 0) role[a] = 1;
      const bool edge = opposite[c] == kNone;
      if (!edge && open[opposite[c] / 3]) continue;
      role[a] = role[b] = 2;
      if (edge)
        outline.push_back({a, b});
      else
        request.border.push_back({a, b});
    }
    std::vector<Index> inner;
    for (Index v = 0; v < role.size(); ++v) {
      if (role[v] != 0) corridor.push_back(v);
      if (role[v] == 1) inner.push_back(v);
    }
    const double spacing = std::min(0.03, deviation_ / 5);
    lines_ = noded(r.plan, chains, corridor, inner, outline, spacing);
    request.border.insert(request.border.end(), lines_.border.begin(), lines_.border.end());
    add_heights();
    if (request.border.empty()) {
      refilled_.assign(r.triangles.size(), 0);
      return {};
    }
    request.lines = lines_.lines;
    request.inner = lines_.inner;
    request.spacing = spacing;
    request.added = [this](Vec2 p) { return add(p); };
    request.wanting = [this](const solid::Triangle& t) { return wanting(t); };
    Result<std::vector<solid::Triangle>> filled = solid::refill(r.plan, request);
    if (!filled) return filled.findings();
    std::vector<solid::Triangle> kept;
    for (std::size_t k = 0; k < r.triangles.size(); ++k)
      if (!open[k]) kept.push_back(r.triangles[k]);
    refilled_.assign(kept.size(), 0);
    kept.insert(kept.end(), filled->begin(), filled->end());
    refilled_.resize(kept.size(), 1);
    r.triangles = std::move(kept);
    return {};
  }

  // Level curves of a relief stand on chords of it. Beside one, what is filled in stands on the same chords: set on the
  // surface it might fall on the curve's wrong side.
  void know_level_triangles(const std::vector<char>& open) {
    const Relief& r = out_.relief;
    for (Index t = 0; t < open.size(); ++t) {
      if (!open[t]) continue;
      const auto at_level = [&](const std::vector<double>& z) {
        if (flat(z, t)) return false;
        for (Index v : r.triangles[t])
          if (std::find(levels_.begin(), levels_.end(), z[v]) != levels_.end()) return true;
        return false;
      };
      const bool top = at_level(r.top), bottom = at_level(r.bottom);
      if (!top && !bottom) continue;
      Chord c;
      for (std::size_t k = 0; k < 3; ++k) {
        c.at[k] = r.plan[r.triangles[t][k]];
        c.top[k] = r.top[r.triangles[t][k]];
        c.bottom[k] = r.bottom[r.triangles[t][k]];
      }
      c.low = {std::min({c.at[0].x, c.at[1].x, c.at[2].x}), std::min({c.at[0].y, c.at[1].y, c.at[2].y})};
      c.high = {std::max({c.at[0].x, c.at[1].x, c.at[2].x}), std::max({c.at[0].y, c.at[1].y, c.at[2].y})};
      c.of_top = top;
      c.of_bottom = bottom;
      chords_.push_back(c);
    }
  }
  bool flat(const std::vector<double>& z, Index triangle) const {
    const solid::Triangle& t = out_.relief.triangles[triangle];
    return z[t[0]] == z[t[1]] && z[t[1]] == z[t[2]];
  }

  void add_heights() {
    Relief& r = out_.relief;
    const std::size_t before = r.top.size();
    for (std::size_t v = before; v < r.plan.size(); ++v) {
      double top, bottom;
      set_heights(r.plan[v], top, bottom);
      r.top.push_back(top);
      r.bottom.push_back(bottom);
    }
    // On the outline the form falls off too steeply for what rounding does to a place.
    for (const CellLines::OnBorder& o : lines_.on_border) {
      const auto mix = [&](const std::vector<double>& z) { return to_float(z[o.a] + o.share * (z[o.b] - z[o.a])); };
      r.top[o.vertex] = mix(r.top);
      r.bottom[o.vertex] = mix(r.bottom);
    }
  }

  double cleared(double z) const {
    for (double l : out_.relief.levels) z = clear_of(z, l);
    return to_float(z);
  }
  // What is filled in shows: the form, or beside a level curve the relief's chords. Between places of the same labels
  // both sheets are smooth.
  struct Target {
    double high = 0, low = 0;
    int of_top = -1, of_bottom = -1;  // labels
    bool like(const Target& o) const { return of_top == o.of_top && of_bottom == o.of_bottom; }
  };
  Target target(Vec2 p) const {
    const DropField::Hit top = form_.field(Sheet::top).strongest(p), bottom = form_.field(Sheet::bottom).strongest(p);
    Target t{form_.height() + form_.rise(Sheet::top).value(p) - top.drop,
             bottom.drop - form_.rise(Sheet::bottom).value(p), top.label, bottom.label};
    for (std::size_t i = 0; i < chords_.size(); ++i)
      if (const Chord& c = chords_[i]; c.holds(p)) {
        const int own = -2 - static_cast<int>(i);
        if (c.of_top) t.high = c.height(p, c.top), t.of_top = own;
        if (c.of_bottom) t.low = c.height(p, c.bottom), t.of_bottom = own;
        break;
      }
    return t;
  }
  void set_heights(Vec2 p, double& top, double& bottom) const {
    const Target t = target(p);
    bottom = cleared(t.low);
    top = std::max(bottom, to_float(clear_of(cleared(t.high), bottom)));
  }
  const Target& vertex_target(Index v) const {
    if (v >= at_vertex_.size()) at_vertex_.resize(out_.relief.plan.size());
    if (!at_vertex_[v]) at_vertex_[v] = target(out_.relief.plan[v]);
    return *at_vertex_[v];
  }

  Vec2 add(Vec2 wish) {
    const Vec2 p{to_float(wish.x), to_float(wish.y)};
    double top, bottom;
    set_heights(p, top, bottom);
    out_.relief.top.push_back(top);
    out_.relief.bottom.push_back(bottom);
    return p;
  }

  std::optional<Vec2> wanting(const solid::Triangle& t) const {
    const Relief& r = out_.relief;
    const Vec2 a = r.plan[t[0]], b = r.plan[t[1]], c = r.plan[t[2]];
    const double twice = cross(b - a, c - a);
    std::optional<Vec2> where;
    // Middles of sides, the centre; where a ridge may run anywhere through the triangle, the sides' quarters too.
    constexpr double kThird = 1.0 / 3;
    constexpr double kPlaces[][3] = {{0.5, 0.5, 0},   {0, 0.5, 0.5},   {0.5, 0, 0.5},   {kThird, kThird, kThird},
                                     {0.25, 0.75, 0}, {0, 0.25, 0.75}, {0.75, 0, 0.25}, {0.75, 0.25, 0},
                                     {0, 0.75, 0.25}, {0.25, 0, 0.75}};
    constexpr std::size_t kMiddles = 4, kAll = std::size(kPlaces);
    std::array<Target, kAll> targets;
    const auto place = [&](std::size_t i) { return kPlaces[i][0] * a + kPlaces[i][1] * b + kPlaces[i][2] * c; };
    for (std::size_t i = 0; i < kMiddles; ++i) targets[i] = target(place(i));
    bool smooth = true;
    for (std::size_t i = 0; i + 1 < kMiddles; ++i) smooth = smooth && targets[i].like(targets[kMiddles - 1]);
    for (Index v : t) smooth = smooth && vertex_target(v).like(targets[kMiddles - 1]);
    bool known = false;
    for (const std::vector<double>* z : {&r.top, &r.bottom}) {
      const double za = (*z)[t[0]], zb = (*z)[t[1]], zc = (*z)[t[2]];
      // Cuts at a level will stand on edges, off the surface already.
      double worst = (crosses_level(za, zb, zc) ? 0.4 : 0.9) * deviation_;
      const Vec2 slope = ((zb - za) * left(a - c) + (zc - za) * left(b - a)) / twice;
      const double lean = std::sqrt(1 + dot(slope, slope));
      const auto look = [&](std::size_t i) {
        const double exact = z == &r.top ? targets[i].high : targets[i].low;
        const double miss = std::abs(exact - (kPlaces[i][0] * za + kPlaces[i][1] * zb + kPlaces[i][2] * zc)) / lean;
        if (miss <= worst) return;
        worst = miss;
        where = place(i);
      };
      for (std::size_t i = 0; i < kMiddles; ++i) look(i);
      if (where) return where;
      if (smooth) continue;
      for (std::size_t i = kMiddles; i < kAll; ++i) {
        if (!known) targets[i] = target(place(i));
        look(i);
      }
      known = true;
      if (where) return where;
    }
    return where;
  }
  bool crosses_level(double a, double b, double c) const {
    const double low = std::min({a, b, c}), high = std::max({a, b, c});
    return std::any_of(levels_.begin(), levels_.end(), [&](double l) { return low < l && l < high; });
  }

  // Cells are what hangs together without crossing a line; one look each tells which regions hold it.
  void find_cells() {
    const Relief& r = out_.relief;
    const std::vector<Index> opposite = solid::opposites(r.triangles, r.plan.size());
    const auto is_line = [&](Index c) {
      const solid::Triangle& t = r.triangles[c / 3];
      PlanEdge e{t[c % 3], t[(c % 3 + 1) % 3]};
      if (e[0] > e[1]) std::swap(e[0], e[1]);
      return std::binary_search(lines_.lines.begin(), lines_.lines.end(), e);
    };
    out_.cell.assign(r.triangles.size(), kNone);
    out_.within = {{}};
    std::vector<Index> open;
    for (std::size_t seed = 0; seed < r.triangles.size(); ++seed) {
      if (out_.cell[seed] != kNone) continue;
      std::vector<Index> part{static_cast<Index>(seed)};
      out_.cell[seed] = 0;
      std::size_t largest = seed;
      double most = 0;
      for (std::size_t i = 0; i < part.size(); ++i) {
        const solid::Triangle& t = r.triangles[part[i]];
        const double size = cross(r.plan[t[1]] - r.plan[t[0]], r.plan[t[2]] - r.plan[t[0]]);
        if (size > most) {
          most = size;
          largest = part[i];
        }
        for (Index k = 0; k < 3; ++k) {
          const Index across = opposite[3 * part[i] + k];
          if (across == kNone || out_.cell[across / 3] != kNone || is_line(3 * part[i] + k)) continue;
          out_.cell[across / 3] = 0;
          part.push_back(across / 3);
        }
      }
      const solid::Triangle& t = r.triangles[largest];
      const Index cell = cell_of(regions_at((r.plan[t[0]] + r.plan[t[1]] + r.plan[t[2]]) / 3));
      if (cell != 0)
        for (Index k : part) out_.cell[k] = cell;
    }
  }
  std::vector<Index> regions_at(Vec2 p) const {
    std::vector<Index> found;
    for (std::size_t i = 0; i < lines_.loops.size(); ++i) {
      bool in = false;
      for (const auto& loop : lines_.loops[i])
        for (std::size_t k = 0; k < loop.size(); ++k) {
          const Vec2 a = out_.relief.plan[loop[k]], b = out_.relief.plan[loop[(k + 1) % loop.size()]];
          if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
        }
      if (in) found.push_back(static_cast<Index>(i));
    }
    return found;
  }
  Index cell_of(std::vector<Index> within) {
    const auto it = std::find(out_.within.begin(), out_.within.end(), within);
    if (it != out_.within.end()) return static_cast<Index>(it - out_.within.begin());
    out_.within.push_back(std::move(within));
    return static_cast<Index>(out_.within.size() - 1);
  }
  bool lies_in(std::size_t triangle, std::size_t region) const {
    const auto& w = out_.within[out_.cell[triangle]];
    return std::binary_search(w.begin(), w.end(), static_cast<Index>(region));
  }

  void set_limits() {
    for (std::size_t i = 0; i < out_.cuts.size(); ++i) {
      const Cut& cut = out_.cuts[i];
      std::size_t same = 0;
      while (same < i && !(out_.cuts[same].kind == cut.kind && out_.cuts[same].mm == cut.mm)) ++same;
      if (same < i) {
        out_.surface.push_back(out_.surface[same]);
      } else {
        out_.surface.push_back(out_.limit.size());
        const bool moving = cut.kind == Cut::Kind::below_top;
        out_.limit.emplace_back(out_.relief.plan.size(),
                                moving ? std::numeric_limits<double>::quiet_NaN() : cleared(cut.mm));
      }
      if (cut.kind != Cut::Kind::below_top) continue;
      std::vector<double>& z = out_.limit[out_.surface.back()];
      for (std::size_t t = 0; t < out_.relief.triangles.size(); ++t)
        if (lies_in(t, cut.region))
          for (Index v : out_.relief.triangles[t]) z[v] = cleared(out_.relief.top[v] - cut.mm);
    }
  }

  struct Chord {
    std::array<Vec2, 3> at;
    std::array<double, 3> top{}, bottom{};
    bool of_top = false, of_bottom = false;
    Vec2 low, high;  // of its box
    bool holds(Vec2 p) const {
      if (p.x < low.x || p.x > high.x || p.y < low.y || p.y > high.y) return false;
      return cross(at[1] - at[0], p - at[0]) >= 0 && cross(at[2] - at[1], p - at[1]) >= 0 &&
             cross(at[0] - at[2], p - at[2]) >= 0;
    }
    double height(Vec2 p, const std::array<double, 3>& z) const {
      const double whole = cross(at[1] - at[0], at[2] - at[0]);
      const double b = cross(p - at[0], at[2] - at[0]) / whole, c = cross(at[1] - at[0], p - at[0]) / whole;
      return z[0] + b * (z[1] - z[0]) + c * (z[2] - z[0]);
    }
  };

  const Form& form_;
  double deviation_;
  std::vector<double> levels_;
  std::vector<Chord> chords_;
  Cells out_;
  mutable std::vector<std::optional<Target>> at_vertex_;  // as far as asked for
  CellLines lines_;
  std::vector<char> refilled_;
};

}  // namespace

Result<Cells> cells(const Form& form, Relief relief, std::span<const plane::Outline> regions, std::span<const Cut> cuts,
                    double deviation) {
  return CellMaker(form, std::move(relief), cuts, kAim * deviation).run(regions);
}

Result<Cells> cells(const Form& form, std::span<const double> levels, std::span<const plane::Outline> regions,
                    std::span<const Cut> cuts, double deviation) {
  // Where a level curve just grazes what is filled in, a layer may come to touch itself: other places are tried.
  double finer = 1;
  for (int tries = 0;; ++tries, finer *= 0.85) {
    Result<Relief> r = relief(form, levels, finer * kReliefShare * deviation);
    if (!r) return r.findings();
    Result<Cells> made = cells(form, std::move(*r), regions, cuts, finer * deviation);
    if (!made || tries == 4 || !touches_itself(*made)) return made;
  }
}

}  // namespace kerfkiln::cushion
