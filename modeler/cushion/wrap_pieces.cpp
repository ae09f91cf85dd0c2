#include "modeler/cushion/wrap_pieces.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <mutex>
#include <optional>

#include "modeler/cushion/blended_piece.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kLineMm = 0.02;    // width of a line that divides without a crease
constexpr double kOnLineMm = 1e-3;  // closer to a line than this is on it
constexpr double kPastMm = 5;       // lines run past the outline
constexpr double kLeastPieceMm2 = 100;
constexpr double kRowMm = 20;  // pieces whose middles lie this close front to back are one row

const plane::Loop& loop_of(const plane::Outline& o, int loop) {
  return loop == 0 ? o.outer : o.holes[static_cast<std::size_t>(loop - 1)];
}

// A line on which pieces butt, beyond the end of a crease.
plane::Outline line_strip(Vec2 from, Vec2 to) {
  const Vec2 across = kLineMm / 2 * left(unit(to - from));
  plane::Outline o;
  for (const Vec2 p : {from - across, to - across, to + across, from + across}) o.outer.push_back({p, 0, -1});
  return o;
}

// The first place where the ray meets a segment of a chain.
double first_meeting(Vec2 from, Vec2 along, const std::vector<plane::Segment>& chain) {
  constexpr double kFar = 1e5;
  double best = std::numeric_limits<double>::infinity();
  const plane::Curve ray = plane::curve({from, from + kFar * along, 0});
  for (const plane::Segment& s : chain) {
    if (norm(s.b - s.a) < 1e-9) continue;
    const plane::Meetings m = plane::meetings(ray, plane::curve(s));
    for (int i = 0; i < m.count; ++i) {
      const double t = m.list[static_cast<std::size_t>(i)].on_first;
      if (t > 1e-6) best = std::min(best, t);
    }
  }
  return best;
}

std::vector<plane::Segment> segments_of(const plane::Outline& o) {
  std::vector<plane::Segment> out;
  for (std::size_t i = 0; i < o.outer.size(); ++i) out.push_back(plane::segment(o.outer, i));
  for (const plane::Loop& hole : o.holes)
    for (std::size_t i = 0; i < hole.size(); ++i) out.push_back(plane::segment(hole, i));
  return out;
}

// All lines along which the plan is divided, and what they are.
struct Divider {
  plane::Outline strip;
  int crease = -1, run = -1;  // -1: a line without a crease
};

class Division {
 public:
  // wider_mm: on each side of every line.
  Division(const Form& form, const Cuts& cuts, double wider_mm = 0) : form_(&form), cuts_(&cuts) {
    for (std::size_t i = 0; i < cuts.creases.size(); ++i)
      for (std::size_t k = 0; k < cuts.creases[i].runs.size(); ++k)
        dividers_.push_back({cuts.creases[i].runs[k].strip, static_cast<int>(i), static_cast<int>(k)});
    for (std::size_t i = 0; i < cuts.creases.size(); ++i)
      for (std::size_t k = 0; k < cuts.creases[i].runs.size(); ++k) extend(i, k);
    if (wider_mm == 0) return;
    for (Divider& d : dividers_)
      if (Result<std::vector<plane::Outline>> wide = plane::offset(d.strip, wider_mm, plane::Join::mitre);
          wide && wide->size() == 1)
        d.strip = std::move(wide->front());
  }
  const std::vector<Divider>& dividers() const { return dividers_; }
  // Leaves out the lines that do not part one cell from another; false: there was none.
  bool leave_out_needless(const plane::Region& cells) {
    const auto cell_at = [&](Vec2 p) {
      for (std::size_t i = 0; i < cells.size(); ++i)
        if (plane::contains(cells[i], p)) return static_cast<int>(i);
      return -1;
    };
    return std::erase_if(dividers_, [&](const Divider& d) {
             if (d.crease >= 0) return false;
             const Vec2 a = d.strip.outer[0].at, b = d.strip.outer[1].at, out = right(unit(b - a));
             const double width = norm(d.strip.outer[3].at - a);
             constexpr int kSamples = 16;
             for (int i = 0; i < kSamples; ++i) {
               const Vec2 p = a + (i + 0.5) / kSamples * (b - a);
               if (cell_at(p + kLineMm * out) != cell_at(p - (width + kLineMm) * out)) return false;
             }
             return true;
           }) > 0;
  }
  const CreaseRun& run(const Divider& d) const { return crease(d).runs[static_cast<std::size_t>(d.run)]; }
  const Crease& crease(const Divider& d) const { return cuts_->creases[static_cast<std::size_t>(d.crease)]; }

 private:
  void extend(std::size_t i, std::size_t k) {
    const Crease& c = cuts_->creases[i];
    const CreaseRun& r = c.runs[k];
    if (r.closed) return;
    const CreasePath path(r.path, false);
    std::vector<plane::Segment> stops = segments_of(form_->outline());
    for (std::size_t j = 0; j < cuts_->creases.size(); ++j)
      for (std::size_t m = 0; m < cuts_->creases[j].runs.size(); ++m) {
        if (j == i && m == k) continue;
        const CreasePath other(cuts_->creases[j].runs[m].path, cuts_->creases[j].runs[m].closed);
        for (const plane::Curve& v : other.curves()) stops.push_back(v.segment());
      }
    for (const bool start : {true, false}) {
      if (start ? r.out_at_start : r.out_at_end) continue;
      const double at = start ? 0 : path.length();
      const Vec2 along = start ? -path.tangent(0) : path.tangent(path.length());
      // A hair back into the crease's strip, so that the cells on both sides come apart.
      const Vec2 from = path.point(at) - kOnLineMm * along;
      const double far = first_meeting(path.point(at), along, stops);
      if (!std::isfinite(far)) continue;
      const Vec2 to = path.point(at) + far * along;
      const bool at_outline = plane::nearest(form_->outline(), to).distance < kOnLineMm;
      dividers_.push_back({line_strip(from, at_outline ? to + kPastMm * along : to), -1, -1});
    }
  }
  const Form* form_;
  const Cuts* cuts_;
  std::vector<Divider> dividers_;
};

// Sections that were asked for: the edge of a pattern, its folds and its marks want the same ones. Any thread.
class Known {
 public:
  template <class F>
  WrapSection at(double t, const F& made) {
    const std::lock_guard lock(mutex_);
    const auto it = list_.find(t);
    return it != list_.end() ? it->second : list_.emplace(t, made()).first->second;
  }

 private:
  std::mutex mutex_;
  std::map<double, WrapSection> list_;
};

class Classifier {
 public:
  Classifier(const Form& form, const Cuts& cuts, const Division& division, std::shared_ptr<const Rims> rims)
      : form_(form), cuts_(cuts), division_(division), rims_(std::move(rims)) {}

  WrapLoop edges_of(const plane::Loop& loop) const {
    WrapLoop out;
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      if (s.length() > 1e-3) out.push_back(edge_of(s));
    }
    return out;
  }

 private:
  WrapEdge edge_of(const plane::Segment& s) const {
    const Vec2 middle = s.point(0.5);
    WrapEdge e;
    e.rim = s;
    const plane::Nearest near = plane::nearest(form_.outline(), middle);
    if (near.distance < kOnLineMm) return on_outline(e, near);
    const WrapLayer& layer = rims_->layer();
    for (const Divider& d : division_.dividers()) {
      double distance = std::numeric_limits<double>::infinity();
      for (const plane::Segment& q : segments_of(d.strip))
        distance = std::min(distance, plane::nearest(q, middle).distance);
      if (distance > kOnLineMm) continue;
      if (d.crease < 0) return butt(e, kLineMm / 2);
      const Crease& c = division_.crease(d);
      const CreaseRun& r = division_.run(d);
      const CreasePath::Near at = CreasePath(r.path, r.closed).nearest(middle);
      // The ends of the strip stand closer to the path than its walls.
      if (at.distance < c.width_mm / 2 - kOnLineMm) return butt(e, 0);
      if (!layer.into_creases) return butt(e, std::min(layer.folded_mm, c.width_mm / 2));
      e.kind = WrapEdge::Kind::wall;
      e.crease = d.crease;
      e.run = d.run;
      e.section = [depth = c.depth_mm, folded = layer.folded_mm, half = c.width_mm / 2](double) {
        return wall_section(depth, folded, half);
      };
      return e;
    }
    return butt(e, 0);
  }
  static WrapEdge butt(WrapEdge e, double reach) {
    e.kind = WrapEdge::Kind::butt;
    e.section = [reach](double) { return butt_section(reach); };
    return e;
  }
  WrapEdge on_outline(WrapEdge e, const plane::Nearest& near) const {
    const plane::Loop& loop = loop_of(form_.outline(), near.loop);
    const plane::Segment whole = plane::segment(loop, static_cast<std::size_t>(near.segment));
    e.side = loop[static_cast<std::size_t>(near.segment)].side;
    e.kind = e.side < 0 ? WrapEdge::Kind::corner : WrapEdge::Kind::side;
    e.varies = rims_->varies(near.loop, near.segment);
    // Feet of inner points: at the ends of an arc rounding may tell the other end.
    const double near_a = plane::nearest(whole, e.rim.point(0.25)).t,
                 near_b = plane::nearest(whole, e.rim.point(0.75)).t;
    const double from = std::clamp(1.5 * near_a - 0.5 * near_b, 0.0, 1.0);
    const double to = std::clamp(1.5 * near_b - 0.5 * near_a, 0.0, 1.0);
    e.section = [rims = rims_, loop_index = near.loop, segment = near.segment, from, to,
                 known = std::make_shared<Known>()](double t) {
      return known->at(t, [&] { return rims->section(loop_index, segment, from + (to - from) * t); });
    };
    return e;
  }
  const Form& form_;
  const Cuts& cuts_;
  const Division& division_;
  std::shared_ptr<const Rims> rims_;
};

}  // namespace

Rims::Rims(const Form& form, WrapLayer layer) : form_(form), layer_(layer) {
  const plane::Outline& o = form_.outline();
  const EdgeProfiles& top = form_.edges(Sheet::top);
  for (const EdgeProfile& p : top.by_side) bends_.emplace_back(p, p, 0, layer_.away_mm);
  bends_.emplace_back(top.other, top.other, 0, layer_.away_mm);
  for (int l = 0; l <= static_cast<int>(o.holes.size()); ++l) {
    const plane::Loop& loop = loop_of(o, l);
    const std::size_t n = loop.size();
    std::vector<Blend> blends(n);
    for (std::size_t i = 0; i < n; ++i) {
      if (loop[i].side >= 0) {
        blends[i].from = blends[i].to = loop[i].side;
        continue;
      }
      // The run of corner segments that this one is part of.
      double before = 0, after = 0;
      const double own = plane::segment(loop, i).length();
      std::size_t b = (i + n - 1) % n, a = (i + 1) % n;
      for (std::size_t k = 0; k < n && loop[b].side < 0; ++k, b = (b + n - 1) % n)
        before += plane::segment(loop, b).length();
      for (std::size_t k = 0; k < n && loop[a].side < 0; ++k, a = (a + 1) % n)
        after += plane::segment(loop, a).length();
      blends[i].from = loop[b].side;
      blends[i].to = loop[a].side;
      const double all = before + own + after;
      blends[i].g0 = before / all;
      blends[i].g1 = (before + own) / all;
    }
    blends_.push_back(std::move(blends));
  }
}

double Rims::weight(const Blend& b, double t) const {
  return b.from == b.to ? 0 : smoothstep(std::clamp(b.g0 + (b.g1 - b.g0) * t, 0.0, 1.0));
}

bool Rims::varies(int loop, int segment) const {
  if (!form_.rise(Sheet::top).flat() || !form_.rise(Sheet::bottom).flat()) return true;
  const Blend& b = blends_[static_cast<std::size_t>(loop)][static_cast<std::size_t>(segment)];
  return !(form_.edges(Sheet::top).of(b.from) == form_.edges(Sheet::top).of(b.to) &&
           form_.edges(Sheet::bottom).of(b.from).drop == form_.edges(Sheet::bottom).of(b.to).drop);
}

SideRoom Rims::room(int loop, int segment, double t) const {
  const Blend& b = blends_[static_cast<std::size_t>(loop)][static_cast<std::size_t>(segment)];
  const double w = weight(b, t);
  const EdgeProfiles &top = form_.edges(Sheet::top), &bottom = form_.edges(Sheet::bottom);
  const Vec2 p = plane::segment(loop_of(form_.outline(), loop), static_cast<std::size_t>(segment)).point(t);
  SideRoom r;
  r.drop_mm = (1 - w) * top.of(b.from).drop + w * top.of(b.to).drop;
  r.bottom_mm = form_.height() + form_.rise(Sheet::top).value(p) + form_.rise(Sheet::bottom).value(p) -
                ((1 - w) * bottom.of(b.from).drop + w * bottom.of(b.to).drop);
  return r;
}

WrapSection Rims::section(int loop, int segment, double t) const {
  const Blend& b = blends_[static_cast<std::size_t>(loop)][static_cast<std::size_t>(segment)];
  const EdgeProfiles& top = form_.edges(Sheet::top);
  const SideRoom room = this->room(loop, segment, t);
  double down = room.bottom_mm;
  if (layer_.down_to.where == DownTo::Where::edge || loop > 0) down = room.drop_mm;
  if (layer_.down_to.where == DownTo::Where::depth && loop == 0) down = layer_.down_to.depth_mm;
  down = std::clamp(down, room.drop_mm, std::max(room.drop_mm, room.bottom_mm));
  std::function<double(double)> rise;
  if (!form_.rise(Sheet::top).flat()) {
    const plane::Segment s = plane::segment(loop_of(form_.outline(), loop), static_cast<std::size_t>(segment));
    const Vec2 p = s.point(t), in = s.inward(t);
    const double at_rim = form_.rise(Sheet::top).value(p);
    rise = [this, p, in, at_rim](double inset) { return form_.rise(Sheet::top).value(p + inset * in) - at_rim; };
  }
  const EdgeProfile &from = top.of(b.from), &to = top.of(b.to);
  if (!(from == to)) return edge_section(from, to, weight(b, t), layer_.away_mm, down, rise);
  const bool own = b.from >= 0 && b.from < static_cast<int>(top.by_side.size());
  return (own ? bends_[static_cast<std::size_t>(b.from)] : bends_.back()).section(down, rise);
}

namespace {

// What the lines of a division and the openings from the top leave of the outline.
Result<plane::Region> cells_of(const Form& form, const Cuts& cuts, const Division& division) {
  plane::Region cells{form.outline()};
  Findings problems;
  const auto take = [&](const plane::Outline& what) {
    Result<plane::Region> left = plane::subtracted(cells, {what});
    if (left)
      cells = std::move(*left);
    else
      append(problems, left.findings());
    return problems.empty();
  };
  for (const Divider& d : division.dividers())
    if (!take(d.strip)) return problems;
  for (const Pocket& p : cuts.pockets)
    if (p.from == Pocket::From::top && !take(p.lid ? p.lid->seat : p.outline)) return problems;
  if (!cuts.none())
    for (const plane::Outline& o : cells)
      if (plane::area(o) >= kLeastPieceMm2 && !plane::simple(o)) return plane::check_outline(o);
  return cells;
}

}  // namespace

Result<WrapPlan> wrap_pieces(const Form& form, const Cuts& cuts, const std::shared_ptr<const Rims>& rims) {
  Division division(form, cuts);
  plane::Region cells;
  Findings problems;
  // Where lines all but touch, cells come out that touch themselves: a hair wider the same lines divide cleanly.
  for (const double wider : {0.0, 0.004, 0.012, 0.05}) {
    Division next(form, cuts, wider);
    Result<plane::Region> divided = cells_of(form, cuts, next);
    if (divided && next.leave_out_needless(*divided)) divided = cells_of(form, cuts, next);
    if (!divided) {
      if (problems.empty()) problems = divided.findings();
      continue;
    }
    division = std::move(next);
    cells = std::move(*divided);
    problems.clear();
    break;
  }
  if (!problems.empty())
    return warning("wrap.pieces", "creases",
                   "the lines of the creases do not divide the topper: " + problems[0].message,
                   "move the crease there by some millimetres, or leave it out");
  std::erase_if(cells, [](const plane::Outline& o) { return plane::area(o) < kLeastPieceMm2; });
  const auto row = [](Vec2 p) { return std::lround(p.y / kRowMm); };
  std::stable_sort(cells.begin(), cells.end(), [&](const plane::Outline& a, const plane::Outline& b) {
    const Vec2 p = plane::centroid(a), q = plane::centroid(b);
    return row(p) != row(q) ? row(p) < row(q) : p.x < q.x;
  });
  WrapPlan plan;
  const Classifier classify(form, cuts, division, rims);
  for (const plane::Outline& o : cells) {
    WrapPiece piece;
    piece.loops.push_back(classify.edges_of(o.outer));
    for (const plane::Loop& hole : o.holes) piece.loops.push_back(classify.edges_of(hole));
    plan.pieces.push_back(std::move(piece));
  }
  plan.faces = std::move(cells);
  return plan;
}

}  // namespace kerfkiln::cushion
