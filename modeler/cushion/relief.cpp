#include "modeler/cushion/relief.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/range_tree.hpp"
#include "modeler/cushion/relief_blocks.hpp"
#include "modeler/cushion/relief_hits.hpp"
#include "modeler/cushion/relief_split.hpp"
#include "modeler/cushion/surface_distance.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/solid/relief/between.hpp"
#include "modeler/solid/relief/fill.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;

// A flat rest bounded by one convex polygon needs no search: a zigzag across it.
bool fill_convex(const Relief& r, const std::vector<Index>& loop, std::vector<solid::Triangle>& out) {
  const std::size_t n = loop.size();
  const auto p = [&](std::size_t i) { return r.plan[loop[i % n]]; };
  for (std::size_t i = 0; i < n; ++i)
    if (!(cross(p(i + 1) - p(i), p(i + 2) - p(i + 1)) > 1e-9)) return false;
  // Convex at every corner and turning once: the sum of turns is then a full one.
  double turn = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 u = p(i + 1) - p(i), v = p(i + 2) - p(i + 1);
    turn += std::atan2(cross(u, v), dot(u, v));
  }
  if (turn > 7) return false;
  std::size_t low = 0, high = n - 1;
  while (low + 1 < high) {
    out.push_back({loop[low], loop[low + 1], loop[high]});
    ++low;
    if (low + 1 >= high) break;
    out.push_back({loop[low], loop[high - 1], loop[high]});
    --high;
  }
  return true;
}

using SheetHits = std::array<ReliefHits, 2>;  // top, bottom

// Fills the rest of the plan so that both sheets come out within the deviation.
class RestFiller {
 public:
  RestFiller(const Form& form, const ReliefHeights& heights, ReliefBlocks& blocks, SheetHits& hits, double deviation)
      : form_(form), heights_(heights), r_(blocks.relief), blocks_(blocks), hits_(hits), deviation_(deviation) {}

  Result<std::vector<solid::Triangle>> run(std::vector<char>& good) {
    solid::FillRequest request;
    request.good = &good;
    request.loops = blocks_.loops;
    request.spacing = spacing_;
    request.added = [this](Vec2 p) { return add(p); };
    if (blocks_.shaped) {
      request.seeds = blocks_.seeds;
      request.wanting = [this](const solid::Triangle& t) { return wanting(t); };
    }
    return solid::fill(r_.plan, request);
  }

 private:
  Vec2 add(Vec2 wish) {
    const Vec2 p{to_float(wish.x), to_float(wish.y)};
    double top, bottom;
    const auto id = static_cast<Index>(r_.top.size());
    const DropField::Hit t = form_.field(Sheet::top).strongest(p), b = form_.field(Sheet::bottom).strongest(p);
    hits_[0].know_vertex(id, t);
    hits_[1].know_vertex(id, b);
    heights_.set(form_.height() + form_.rise(Sheet::top).value(p) - t.drop, b.drop - form_.rise(Sheet::bottom).value(p),
                 top, bottom);
    r_.top.push_back(top);
    r_.bottom.push_back(bottom);
    return p;
  }

  bool crosses_level(double a, double b, double c) const {
    const double low = std::min({a, b, c}), high = std::max({a, b, c});
    for (double l : heights_.levels)
      if (low < l && l < high) return true;
    return false;
  }

  // No edge reaches the triangle: where the outline is convex the places beyond all edges are a convex set, elsewhere
  // none is nearer to the boundary than its nearest corner less the longest side.
  bool beyond_edges(const solid::Triangle& t) {
    double least = INFINITY, longest = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      if (clear_.size() <= t[i]) clear_.resize(r_.plan.size(), -1);
      double& clear = clear_[t[i]];
      if (clear < 0) clear = form_.field(Sheet::top).boundary().nearest(r_.plan[t[i]]).distance;
      least = std::min(least, clear);
      longest = std::max(longest, norm(r_.plan[t[(i + 1) % 3]] - r_.plan[t[i]]));
    }
    constexpr double kRounded = 5e-5;  // what rounding to float does to a place
    return least >= reach_ + (form_.field(Sheet::top).boundary().convex() ? -kRounded : longest);
  }

  std::optional<Vec2> wanting(const solid::Triangle& t) {
    const bool calm = beyond_edges(t);
    plane::Box box{r_.plan[t[0]], r_.plan[t[0]]};
    for (Index v : t) box = joined(box, {r_.plan[v], r_.plan[v]});
    double worst = 0;
    Vec2 where;
    int edge = -1;
    std::size_t sheet_of = 0;
    bool found = false;
    for (std::size_t sheet = 0; sheet < 2 && !found; ++sheet) {
      const Sheet side = sheet == 0 ? Sheet::top : Sheet::bottom;
      if (form_.inset(side) <= 0 && form_.rise(side).flat()) continue;
      const std::vector<double>& z = sheet == 0 ? r_.top : r_.bottom;
      // Cuts at a level will stand on edges, off the surface already.
      worst = (crosses_level(z[t[0]], z[t[1]], z[t[2]]) ? 0.4 : 0.9) * deviation_;
      if (calm && (form_.rise(side).flat() || form_.rise(side).bounds(box).off(box.width(), box.depth()) <= worst))
        continue;
      const DropField& field = form_.field(side);
      ReliefHits& hits = hits_[sheet];
      const auto try_at = [&](double wa, double wb, double wc, int on, const DropField::Hit& hit) {
        const Vec2 p = wa * r_.plan[t[0]] + wb * r_.plan[t[1]] + wc * r_.plan[t[2]];
        const double miss = distance_to_sheet(form_, side, p, wa * z[t[0]] + wb * z[t[1]] + wc * z[t[2]], worst, hit);
        if (miss <= worst) return;
        worst = miss;
        where = p;
        edge = on;
        sheet_of = sheet;
        found = true;
      };
      const DropField::Hit middle[] = {hits.middle(t[0], t[1]), hits.middle(t[1], t[2]), hits.middle(t[2], t[0])};
      try_at(0.5, 0.5, 0, 0, middle[0]);
      try_at(0, 0.5, 0.5, 1, middle[1]);
      try_at(0.5, 0, 0.5, 2, middle[2]);
      if (found) continue;
      const DropField::Hit centre = hits.centre(t);
      try_at(1.0 / 3, 1.0 / 3, 1.0 / 3, -1, centre);
      if (found) continue;
      // Where one source rules without a kink the surface is farthest off about the middles.
      bool smooth = true;
      for (const DropField::Hit& h : middle) smooth = smooth && h.label == centre.label;
      for (Index v : t) smooth = smooth && hits.vertex(v).label == centre.label;
      if (smooth) continue;
      // A ridge may run anywhere through the triangle.
      for (int i = 0; i < 3; ++i) {
        double w[3] = {0.25, 0.25, 0.25};
        const int j = (i + 1) % 3;
        const auto on_edge = [&](double share) {
          double v[3] = {0, 0, 0};
          v[i] = share;
          v[j] = 1 - share;
          const Index a = t[static_cast<std::size_t>(i)], b = t[static_cast<std::size_t>(j)];
          try_at(v[0], v[1], v[2], i, field.strongest(share * r_.plan[a] + (1 - share) * r_.plan[b]));
        };
        on_edge(0.25);
        on_edge(0.75);
        w[i] = 0.5;
        try_at(w[0], w[1], w[2], -1,
               field.strongest(w[0] * r_.plan[t[0]] + w[1] * r_.plan[t[1]] + w[2] * r_.plan[t[2]]));
      }
    }
    if (!found) return std::nullopt;
    if (edge < 0) return where;
    // Across a ridge the place to be is the ridge.
    const Index a = t[static_cast<std::size_t>(edge)], b = t[static_cast<std::size_t>((edge + 1) % 3)];
    const int from = hits_[sheet_of].vertex(a).element, to = hits_[sheet_of].vertex(b).element;
    if (from == to) return where;
    const DropField& field = form_.field(sheet_of == 0 ? Sheet::top : Sheet::bottom);
    double low = 0, high = 1;
    for (int i = 0; i < 14; ++i) {
      const double mid = (low + high) / 2;
      (field.strongest(r_.plan[a] + mid * (r_.plan[b] - r_.plan[a])).element == from ? low : high) = mid;
    }
    // So near a vertex, or an end of the region that it would be refused, the ridge is closed in on from the middle.
    const double from_end = std::min(low, 1 - high) * norm(r_.plan[b] - r_.plan[a]);
    const Vec2 ridge = r_.plan[a] + high * (r_.plan[b] - r_.plan[a]);
    return from_end > 2 * spacing_ && field.boundary().nearest(ridge).distance > 2 * spacing_ ? ridge : where;
  }

  const Form& form_;
  const ReliefHeights& heights_;
  Relief& r_;
  ReliefBlocks& blocks_;
  SheetHits& hits_;
  double deviation_;
  double spacing_ = std::min(0.03, deviation_ / 5);
  double reach_ = std::max(form_.inset(Sheet::top), form_.inset(Sheet::bottom));
  std::vector<double> clear_;  // from the boundary, of vertices; negative: not asked for
};

struct Slab {
  std::vector<double> lower, upper;
};
Slab slab_of(const Relief& r, std::size_t i) {
  const bool first = i == 0, last = i + 2 == r.levels.size();
  Slab s{r.bottom, r.top};
  for (std::size_t v = 0; v < r.plan.size(); ++v) {
    if (!first) {
      s.lower[v] = std::max(s.lower[v], r.levels[i]);
      s.upper[v] = std::max(s.upper[v], r.levels[i]);
    }
    if (!last) {
      s.lower[v] = std::min(s.lower[v], r.levels[i + 1]);
      s.upper[v] = std::min(s.upper[v], r.levels[i + 1]);
    }
  }
  return s;
}

// Vertices at which the sides of the triangles do not all come in pairs.
std::vector<char> on_rim(std::span<const solid::Triangle> triangles, std::size_t points) {
  const auto scattered = [](Index v) {
    std::uint64_t x = (v + 1) * 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    return x ^ (x >> 27);
  };
  std::vector<std::uint64_t> unpaired(points, 0);
  for (const solid::Triangle& t : triangles)
    for (std::size_t i = 0; i < 3; ++i) {
      const Index a = t[i], b = t[(i + 1) % 3];
      unpaired[a] += scattered(b);
      unpaired[b] -= scattered(a);
    }
  std::vector<char> rim(points);
  for (std::size_t v = 0; v < points; ++v) rim[v] = unpaired[v] != 0;
  return rim;
}

// Of the triangles that are not known to be good.
double deviation_of(const Form& form, const Relief& r, std::span<const solid::Triangle> triangles,
                    const std::vector<char>& good, SheetHits& hits) {
  double worst = 0;
  const std::vector<char> rim = on_rim(triangles, r.plan.size());
  // A side that two triangles share is looked at once.
  const auto own = [&](Index a, Index b) { return a < b || (rim[a] && rim[b]); };
  for (std::size_t k = 0; k < triangles.size(); ++k) {
    const solid::Triangle& t = triangles[k];
    if (good[k]) continue;
    for (Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const std::vector<double>& z = sheet == Sheet::top ? r.top : r.bottom;
      if (form.inset(sheet) <= 0 && form.rise(sheet).flat()) {
        const double level = sheet == Sheet::top ? form.height() : 0;
        for (Index v : t) worst = std::max(worst, std::abs(z[v] - level));
        continue;
      }
      ReliefHits& known = hits[sheet == Sheet::top ? 0 : 1];
      const auto look = [&](double a, double b, double c, const DropField::Hit& hit) {
        const Vec2 p = a * r.plan[t[0]] + b * r.plan[t[1]] + c * r.plan[t[2]];
        worst = std::max(worst, distance_to_sheet(form, sheet, p, a * z[t[0]] + b * z[t[1]] + c * z[t[2]], worst, hit));
      };
      if (own(t[0], t[1])) look(0.5, 0.5, 0, known.middle(t[0], t[1]));
      if (own(t[1], t[2])) look(0, 0.5, 0.5, known.middle(t[1], t[2]));
      if (own(t[2], t[0])) look(0.5, 0, 0.5, known.middle(t[2], t[0]));
      look(1.0 / 3, 1.0 / 3, 1.0 / 3, known.centre(t));
    }
  }
  return worst;
}
SheetHits hits_of(const Form& form, const Relief& r, double close) {
  return {ReliefHits(form.field(Sheet::top), r.plan, close), ReliefHits(form.field(Sheet::bottom), r.plan, close)};
}

// One attempt. `missed`: the largest deviation measured outside the regular strips.
Result<Relief> attempt(const Form& form, const ReliefHeights& heights, std::span<const double> levels, double deviation,
                       bool strips, double& missed) {
  ReliefBlocks blocks = relief_blocks(form, heights, deviation, strips);
  std::vector<solid::Triangle> rest;
  std::vector<char> good;  // triangles of the rest that were found close enough
  Relief& r = blocks.relief;
  SheetHits hits = hits_of(form, r, 1e-3 * deviation);
  const bool simple = !blocks.shaped && blocks.loops.size() == 1;
  if (!blocks.loops.empty() && !(simple && fill_convex(r, blocks.loops[0], rest))) {
    Result<std::vector<solid::Triangle>> filled = RestFiller(form, heights, blocks, hits, deviation).run(good);
    if (!filled) return filled.findings();
    rest = std::move(*filled);
  }
  r.levels = heights.levels;
  missed = 0;
  if (form.risen()) {
    // Level curves run across the strips too.
    rest.insert(rest.end(), r.triangles.begin(), r.triangles.end());
    r.triangles.clear();
    blocks.shared.clear();
  }
  if (blocks.shaped) {
    good.resize(rest.size(), 0);
    split_at_levels(form, r, rest, blocks.shared, good);
    r.levels.assign(levels.begin(), levels.end());
    open_pinched_edges(form, r, rest, good);
    missed = deviation_of(form, r, rest, good, hits);
  }
  r.triangles.insert(r.triangles.end(), rest.begin(), rest.end());
  return std::move(r);
}

}  // namespace

constexpr double kNoMiss = std::numeric_limits<double>::infinity();

Result<Relief> relief(const Form& form, std::span<const double> levels, double deviation) {
  ReliefHeights heights{form, {}};
  std::vector<double> all;
  for (double z : levels) all.push_back(to_float(z));
  heights.levels = all;
  // The outermost layers take all that rises beyond: their outer levels are no cuts then.
  if (form.risen()) heights.levels.assign(all.begin() + 1, all.end() - 1);
  // Cuts at levels and turns between the samples can cost more than was set aside for them: measured, and done again
  // finer.
  double missed = 0, least = kNoMiss;
  for (const bool strips : {true, false}) {
    double aim = deviation;
    for (int i = 0; i < 4; ++i) {
      Result<Relief> r = attempt(form, heights, all, aim, strips, missed);
      if (!r || missed <= deviation) return r;
      least = std::min(least, missed);
      // A risen face misses by a little and everywhere: as much finer as it missed.
      aim *= form.risen() ? std::clamp(0.9 * deviation / missed, 0.6, 0.9) : 0.6;
    }
  }
  return Finding{Severity::error, "relief.deviation", "",
                 "the surface comes no closer than " + format_number(least, 3) + " mm where " +
                     format_number(deviation, 3) + " mm is wanted",
                 "ask for a larger deviation, or make neighbouring edges more alike"};
}

solid::Mesh core(const Relief& r) { return solid::between(r.plan, r.triangles, r.bottom, r.top); }

solid::Mesh layer(const Relief& r, std::size_t i) {
  const Slab s = slab_of(r, i);
  return solid::between(r.plan, r.triangles, s.lower, s.upper);
}

std::size_t components(const Relief& r, std::size_t i) {
  const Slab s = slab_of(r, i);
  return solid::parts_between(r.triangles, s.lower, s.upper);
}

double measured_deviation(const Form& form, const Relief& r) {
  SheetHits hits = hits_of(form, r, 1e-6);
  return deviation_of(form, r, r.triangles, std::vector<char>(r.triangles.size(), 0), hits);
}

namespace {
// Under a rise no strip follows a level: one relief without levels serves them all.
Result<std::vector<plane::Outline>> risen_section(const Form& form, double z, double deviation) {
  const Form::ReliefKept kept = form.kept_relief(deviation, [](const Form& f, double d) -> Form::ReliefKept {
    const double none[] = {0, f.height()};
    Result<Relief> r = relief(f, none, d);
    if (!r) return r.findings();
    return std::make_shared<const Relief>(std::move(*r));
  });
  if (!kept) return kept.findings();
  Relief r = **kept;
  const ReliefHeights heights{form, {to_float(z)}};
  for (std::vector<double>* sheet : {&r.top, &r.bottom})
    for (double& h : *sheet) h = heights.snapped(h);
  r.levels = heights.levels;
  std::vector<char> good(r.triangles.size(), 1);
  split_at_levels(form, r, r.triangles, {}, good);
  return section_outlines(r, to_float(z));
}
}  // namespace

Result<std::vector<plane::Outline>> section(const Form& form, double z, double deviation) {
  if (form.uniform(Sheet::top) && form.uniform(Sheet::bottom) && !form.risen()) {
    const auto inset = [&](Sheet s, double t) {
      const DropField& f = form.field(s);
      return f.inset_max() > 0 ? f.profile(0).inset_at(t) : 0.0;
    };
    const double d = std::max(inset(Sheet::top, form.height() - z), inset(Sheet::bottom, z));
    if (d <= 0) return std::vector<plane::Outline>{form.outline()};
    return plane::offset(form.outline(), -d);
  }
  if (form.risen()) return risen_section(form, z, deviation);
  const double levels[] = {0, z, form.height()};
  Result<Relief> r = relief(form, levels, deviation);
  if (!r) return r.findings();
  return section_outlines(*r, to_float(z));
}

}  // namespace kerfkiln::cushion
