#include "modeler/cushion/relief_blocks.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/near_points.hpp"
#include "modeler/cushion/relief_seeds.hpp"
#include "modeler/cushion/relief_strips.hpp"

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;
constexpr double kSame = 0.01;        // inner ends nearer than this are one, mm
constexpr double kRisenShortest = 2;  // pieces of strips along a rise, mm
constexpr double kRisenParts = 16;    // a risen side is cut at least this often over the length of the plan
constexpr double kSeedShare = 0.1;    // short elements are seeded this far apart, in insets

using Column = std::vector<Index>;  // a vertex for each station

class BlockBuilder {
 public:
  BlockBuilder(const Form& form, const ReliefHeights& heights, double deviation)
      : form_(form),
        heights_(heights),
        deviation_(deviation),
        top_(form.field(Sheet::top)),
        bottom_(form.field(Sheet::bottom)),
        boundary_(top_.boundary()),
        fitter_(form, heights, deviation),
        corner_(boundary_.elements().size(), kNone) {}

  ReliefBlocks run(bool strips) {
    const std::span<const Element> elements = boundary_.elements();
    for (std::size_t i = 0; i < elements.size(); ++i)
      stretches_.push_back(strips ? fitter_.stretch(static_cast<int>(i)) : Stretch{});
    for (std::size_t first = 0; first < elements.size();) {
      std::size_t last = first;
      while (last + 1 < elements.size() && elements[last + 1].loop == elements[first].loop) ++last;
      walk(first, last);
      first = last + 1;
    }
    if (form_.risen()) {
      out_.shaped = true;
      const std::vector<Vec2> seeds = rise_seeds(form_, deviation_);
      out_.seeds.insert(out_.seeds.end(), seeds.begin(), seeds.end());
    }
    return std::move(out_);
  }

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }

  // ---- vertices ----
  Index add(Vec2 p, double z_top, double z_bottom) {
    Relief& r = out_.relief;
    r.plan.push_back({to_float(p.x), to_float(p.y)});
    r.top.push_back(z_top);
    r.bottom.push_back(z_bottom);
    return static_cast<Index>(r.plan.size() - 1);
  }
  Index boundary_vertex(Vec2 p) {
    double ht, hb;
    heights_.set(form_.z_top(p), form_.z_bottom(p), ht, hb);
    return add(p, ht, hb);
  }
  Column column(Vec2 q, Vec2 n, const Stations& s, Index first, Index last) {
    Column c(s.d.size());
    for (std::size_t k = 0; k < s.d.size(); ++k) {
      if (k == 0 && first != kNone)
        c[k] = first;
      else if (k + 1 == s.d.size() && last != kNone)
        c[k] = last;
      else
        c[k] = station_vertex(q + s.d[k] * n, s, k);
    }
    return c;
  }
  Index station_vertex(Vec2 p, const Stations& s, std::size_t k) {
    if (!form_.risen()) return add(p, s.top[k], s.bottom[k]);
    double ht, hb;
    heights_.set(s.top[k] + form_.rise(Sheet::top).value(p), s.bottom[k] - form_.rise(Sheet::bottom).value(p), ht, hb);
    return add(p, ht, hb);
  }
  // The inner end of a strip that stops short of its side's end. Where two sides stop at the same ball they meet.
  Index inner_end(const Element& e, double u, const Stations& s) {
    const Vec2 p = e.point(u) + s.depth() * e.inward(u);
    const auto level = [&](Index v) {
      if (form_.risen())  // both ends lie past the edges, on the one smooth face
        return std::abs(out_.relief.top[v] - s.top.back() - form_.rise(Sheet::top).value(p)) < kSame &&
               std::abs(out_.relief.bottom[v] - s.bottom.back() + form_.rise(Sheet::bottom).value(p)) < kSame;
      return out_.relief.top[v] == s.top.back() && out_.relief.bottom[v] == s.bottom.back();
    };
    if (const auto met = ends_.find(p, level)) return *met;
    const Index v = station_vertex(p, s, s.d.size() - 1);
    ends_.add(out_.relief.plan[v], v);
    return v;
  }
  void stitch(const Column& a, const Column& b) {
    auto& t = out_.relief.triangles;
    for (std::size_t k = 0; k + 1 < a.size(); ++k) {
      if (a[k] != b[k]) t.push_back({a[k], b[k], b[k + 1]});
      if (a[k + 1] != b[k + 1]) t.push_back({a[k], b[k + 1], a[k + 1]});
    }
  }

  // ---- along the boundary ----
  void walk(std::size_t first, std::size_t last) {
    loop_.clear();
    const std::size_t n = last - first + 1;
    // Start behind an element whose block does not run on, so that no column is shared across the start.
    std::size_t start = first;
    bool closed = true;
    for (std::size_t i = first; i <= last && closed; ++i)
      if (!runs_on(static_cast<int>(i))) {
        start = at(boundary_.elements()[i].next);
        closed = false;
      }
    // A loop of blocks closes on its first column; an arc whose inner row is one point must not be the last.
    for (std::size_t i = first; i <= last && closed; ++i)
      if (collapsed(static_cast<int>(i))) start = i;
    Column open, first_column;
    for (std::size_t k = 0, i = start; k < n; ++k, i = at(boundary_.elements()[i].next)) {
      const bool end_shared = closed && k + 1 == n;
      along(static_cast<int>(i), open, k == 0 && closed ? &first_column : nullptr,
            end_shared ? &first_column : nullptr);
    }
    if (!open.empty() && !closed) down(open);
    finish_loop();
  }
  bool collapsed(int id) const {
    const Element& e = boundary_.elements()[at(id)];
    const Stretch& s = stretches_[at(id)];
    return s.stations && e.arc && e.ccw && e.radius - s.stations->depth() < kCollapsedArc;
  }
  // The block of element i continues into that of the next without a seam.
  bool runs_on(int i) const {
    const Element& e = boundary_.elements()[at(i)];
    const Stretch& s = stretches_[at(i)];
    const Stretch& f = stretches_[at(e.next)];
    if (!s.stations || s.stations != f.stations || s.to < 1 || f.from > 0) return false;
    const Element& next = boundary_.elements()[at(e.next)];
    const Vec2 m = e.inward(1), k = next.inward(0);
    const double turn = std::atan2(cross(m, k), dot(m, k));
    if (std::abs(turn) < 1e-7) return true;
    if (turn > 0) return false;
    const double depth = s.stations->depth();
    for (double share : {0.0, 0.25, 0.5, 0.75, 1.0})
      if (!fitter_.clean_ray(next.a, turned(m, share * turn), i, e.next, depth)) return false;
    return true;
  }
  static Vec2 turned(Vec2 v, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * v.x - s * v.y, s * v.x + c * v.y};
  }
  void push(Index v) { loop_.push_back(v); }
  void share(Index a, Index b) { out_.shared.insert(std::minmax(a, b)); }
  void down(Column& c) {  // from the inner row back to the boundary
    for (std::size_t k = c.size(); k-- > 0;) push(c[k]);
    for (std::size_t k = 0; k + 1 < c.size(); ++k) share(c[k], c[k + 1]);
    c.clear();
  }
  void up(const Column& c) {
    for (Index v : c) push(v);
    for (std::size_t k = 0; k + 1 < c.size(); ++k) share(c[k], c[k + 1]);
  }
  Index corner(int id) {
    Index& c = corner_[at(id)];
    if (c == kNone) c = boundary_vertex(boundary_.elements()[at(id)].a);
    return c;
  }
  int arc_pieces(double radius, double angle) const {
    const double half = std::acos(std::max(0.0, 1 - kStripAlong * deviation_ / radius));
    return std::max(1, static_cast<int>(std::ceil(std::abs(angle) / (2 * half) - 1e-9)));
  }

  // One element. `open`: the last column of the block before, empty if it ended. keep: where to keep the first column
  // of a loop of blocks; close: the column that the last block joins.
  void along(int id, Column& open, Column* keep, const Column* close) {
    const Element& e = boundary_.elements()[at(id)];
    const Stretch& s = stretches_[at(id)];
    if (s.stations) {
      unseeded_ = 0;
    } else {
      if (!open.empty()) down(open);
      plain(id, 0, 1);
      return;
    }
    const Stations& st = *s.stations;
    if (s.from > 0) {
      if (!open.empty()) down(open);
      plain(id, 0, s.from);
    }
    Index centre = kNone;
    if (open.empty()) {
      const Index first = s.from > 0 ? kNone : corner(id);
      open = column(e.point(s.from), e.inward(s.from), st, first, s.from > 0 ? inner_end(e, s.from, st) : kNone);
      if (keep) *keep = open;
      if (!keep) up(open);
      if (keep) push(open.back());
    }
    if (collapsed(id)) centre = open.back();
    const int pieces = e.arc ? arc_pieces(e.ccw ? e.radius : e.radius + st.depth(), e.sweep * (s.to - s.from)) : 1;
    const bool on = s.to >= 1 && runs_on(id);
    const Element& next = boundary_.elements()[at(e.next)];
    const Vec2 m = e.inward(1), w = next.inward(0);
    const double turn = on ? std::atan2(cross(m, w), dot(m, w)) : 0.0;
    const int fan = turn < -1e-7 ? arc_pieces(st.depth(), turn) : 0;
    std::vector<double> places;
    for (int k = 1; k <= pieces; ++k) {
      const double before = s.from + (s.to - s.from) * (k - 1) / pieces;
      const double u = k == pieces ? s.to : s.from + (s.to - s.from) * k / pieces;
      if (form_.risen()) rise_places(e, st, before, u, places);
      places.push_back(u);
    }
    for (std::size_t k = 0; k < places.size(); ++k) {
      const double u = places[k];
      const bool last = k + 1 == places.size() && s.to >= 1;
      const bool joins = last && close && fan == 0;
      const Index inner = centre == kNone && u == s.to && u < 1 ? inner_end(e, u, st) : centre;
      step(joins ? *close : column(e.point(u), e.inward(u), st, last ? corner(e.next) : kNone, inner), open);
    }
    for (int k = 1; k <= fan; ++k) {
      const bool joins = k == fan && close;
      step(joins ? *close : column(next.a, k == fan ? w : turned(m, turn * k / fan), st, corner(e.next), kNone), open);
    }
    if (on) return;
    down(open);
    if (s.to < 1) plain(id, s.to, 1);
  }
  // How far the strip's chords leave the rise between two places at most, a share of what they may.
  double rise_off(const Element& e, const Stations& st, double from, double to) const {
    const Vec2 a = e.point(from), b = e.point(to), c = a + st.depth() * e.inward(from),
               d = b + st.depth() * e.inward(to);
    const plane::Box box{{std::min({a.x, b.x, c.x, d.x}), std::min({a.y, b.y, c.y, d.y})},
                         {std::max({a.x, b.x, c.x, d.x}), std::max({a.y, b.y, c.y, d.y})}};
    const double length = std::max(norm(b - a), norm(d - c));
    const Vec2 along = unit(b - a);
    double off = 0;
    for (const Sheet sheet : {Sheet::top, Sheet::bottom})
      if (const Rise& rise = form_.rise(sheet); !rise.flat())
        off = std::max(off, rise.bounds(box).turned(along).off(length, st.widest));
    return off / (kStripAlong * deviation_);
  }
  // As far from `from` towards `to` as one chord may go.
  double rise_reach(const Element& e, const Stations& st, double from, double to) const {
    const double least = std::min(1.0, kRisenShortest / (std::abs(to - from) * e.length));
    double share = 1;
    while (share > least) {
      const double end = from + share * (to - from), off = rise_off(e, st, std::min(from, end), std::max(from, end));
      if (off <= 1) break;
      // It grows with the square of the length, or more slowly; bounds of a shorter stretch are closer.
      share = std::max(least, share * std::max(0.4, std::min(0.95, 1 / std::sqrt(off))));
    }
    return from + share * (to - from);
  }
  // Places between which the rise of the strip bends little enough for a chord, from both ends to the middle.
  void rise_places(const Element& e, const Stations& st, double from, double to, std::vector<double>& out) const {
    std::vector<double> back;
    while ((to - from) * e.length > kRisenShortest && rise_off(e, st, from, to) > 1) {
      const double middle = (from + to) / 2, low = rise_reach(e, st, from, middle),
                   high = rise_reach(e, st, to, middle);
      if (low == middle && high == middle) {
        out.push_back(middle);
        break;
      }
      if (low != middle) out.push_back(from = low);
      if (high != middle) back.push_back(to = high);
    }
    out.insert(out.end(), back.rbegin(), back.rend());
  }
  void step(Column c, Column& open) {
    stitch(open, c);
    if (open.back() != c.back()) share(open.back(), c.back());
    push(c.back());
    open = std::move(c);
  }

  // Boundary without a block: vertices only, where chord and heights need them.
  void plain(int id, double from, double to) {
    const Element& e = boundary_.elements()[at(id)];
    const std::size_t seeds = out_.seeds.size();
    const Vec2 a = e.point(from);
    const Index start = from > 0 ? (loop_.empty() ? boundary_vertex(a) : loop_.back()) : corner(id);
    push(start);
    const int n = e.arc ? arc_pieces(e.radius, e.sweep * (to - from)) : 1;
    const bool flat = top_.reach(id) <= 0 && bottom_.reach(id) <= 0;
    out_.shaped = out_.shaped || !flat;
    double u = from;
    for (int k = 1; k <= n; ++k) {
      const double v = k == n ? to : from + (to - from) * k / n;
      subdivide(id, u, v, 0);
      if (k < n || to < 1) pending(id, v);
      u = v;
    }
    if (to >= 1) push(corner(e.next));
    seed_short(id, (to - from) * e.length, out_.seeds.size() > seeds);
  }
  // An outline of many short elements has no vertices between their ends: without seeds of its own the fill would
  // start from slivers as long as the plan.
  void seed_short(int id, double length, bool seeded) {
    const double reach = std::max(top_.reach(id), bottom_.reach(id));
    unseeded_ = seeded || length >= reach ? 0 : unseeded_ + length;
    if (reach <= 0 || unseeded_ < kSeedShare * reach) return;
    seed(id, 0.5);
    unseeded_ = 0;
  }
  void pending(int id, double u) {
    const Element& e = boundary_.elements()[at(id)];
    const Stretch& s = stretches_[at(id)];
    // Where a block begins, its column brings the vertex.
    if (!(s.stations && u == s.from)) push(boundary_vertex(e.point(u)));
    seed(id, u);
  }
  void subdivide(int id, double u0, double u1, int depth) {
    const Element& e = boundary_.elements()[at(id)];
    const double chord = (u1 - u0) * e.length;
    if (depth > 17 || chord < kClosestStations) return;
    const Vec2 a = e.point(u0), b = e.point(u1);
    // A bulge could hide between the places of a long chord.
    bool good = !form_.risen() || chord * kRisenParts < std::max(boundary_.box().width(), boundary_.box().depth());
    for (Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const Rise& rise = form_.rise(sheet);
      if (form_.inset(sheet) <= 0 && rise.flat()) continue;
      const auto lowered = [&](Vec2 p) { return form_.drop(sheet, p) - rise.value(p); };
      const double ta = lowered(a), tb = lowered(b), steep = (tb - ta) / chord;
      for (double share : {0.25, 0.5, 0.75}) {
        const double t = lowered(e.point(u0 + share * (u1 - u0)));
        if (std::abs(t - ta - share * (tb - ta)) > 0.6 * deviation_ * std::sqrt(1 + steep * steep)) good = false;
      }
    }
    if (good) return;
    const double mid = (u0 + u1) / 2;
    out_.shaped = true;
    subdivide(id, u0, mid, depth + 1);
    push(boundary_vertex(e.point(mid)));
    seed(id, mid);
    subdivide(id, mid, u1, depth + 1);
  }
  // Vertices wished for along the ray from u: the stations of the boundary's own profile as far as it rules.
  void seed(int id, double u) {
    const Element& e = boundary_.elements()[at(id)];
    const Vec2 q = e.point(u), n = e.inward(u);
    for (const DropField* f : {&top_, &bottom_}) {
      if (f->reach(id) <= 0 || (f == &bottom_ && f->reach(id) == top_.reach(id) && !f->blended(id))) continue;
      double w = 0;
      const EdgeProfile *p = nullptr, *o = nullptr;
      if (f->blended(id)) {
        const DropField::Blend& b = f->blend(id);
        w = smoothstep(b.g0 + u * (b.g1 - b.g0));
        p = &f->profiles()[at(b.from)];
        o = &f->profiles()[at(b.to)];
      } else {
        p = o = &f->profile(id);
      }
      int pieces = 1;
      for (const EdgeProfile* x : {p, o})
        if (!x->square()) pieces = std::max(pieces, x->curve->pieces(kStripAcross * deviation_));
      const auto inset = [](const EdgeProfile& x, double v) { return x.square() ? 0.0 : x.curve->point(v).x; };
      for (int k = 1; k <= pieces; ++k) {
        const double v = static_cast<double>(k) / pieces, d = (1 - w) * inset(*p, v) + w * inset(*o, v);
        const Vec2 x = q + d * n;
        const DropField::Hit hit = f->strongest(x);
        if (hit.element == id || hit.element < 0) out_.seeds.push_back(x);
        if (hit.element != id) break;
      }
    }
  }

  void finish_loop() {
    std::vector<Index> clean;
    for (Index v : loop_)
      if (clean.empty() || clean.back() != v) clean.push_back(v);
    while (clean.size() > 1 && clean.front() == clean.back()) clean.pop_back();
    if (clean.size() >= 3) out_.loops.push_back(std::move(clean));
  }

  const Form& form_;
  const ReliefHeights& heights_;
  double deviation_;
  const DropField& top_;
  const DropField& bottom_;
  const Boundary& boundary_;
  StripFitter fitter_;
  std::vector<Stretch> stretches_;
  std::vector<Index> corner_, loop_;
  NearPoints ends_{kSame};
  double unseeded_ = 0;  // length of short elements since the last seeds, mm
  ReliefBlocks out_;
};

}  // namespace

double ReliefHeights::snapped(double z) const {
  constexpr double kSnap = 1e-3;
  for (double l : levels)
    if (std::abs(z - l) < kSnap) return l;
  return to_float(z);
}

void ReliefHeights::set(double z_top, double z_bottom, double& top, double& bottom) const {
  constexpr double kThinnest = 1e-3;
  bottom = snapped(z_bottom);
  top = snapped(z_top);
  if (top - bottom < kThinnest) top = bottom;
}

ReliefBlocks relief_blocks(const Form& form, const ReliefHeights& heights, double deviation, bool strips) {
  return BlockBuilder(form, heights, deviation).run(strips);
}

}  // namespace kerfkiln::cushion
