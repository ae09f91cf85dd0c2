#include "modeler/cushion/level.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "modeler/cushion/level_discs.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/fit.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr double kCoveredMm = 0.005;  // deeper inside the discs than this is no boundary; above fit and sampling error
constexpr double kJoinMm = 1e-5;      // ends this near are one
constexpr double kNearJointMm = 0.002;
constexpr double kTwinMm = 0.015;  // candidates that run along each other within this: one of them is used

struct Piece {
  plane::Segment along;
  int side = -1;
};

// ---- candidates: every curve that the boundary can run on ----

void add_even(const DiscRow& row, std::vector<Piece>& out) {
  const plane::Segment& s = row.along;
  const double r = row.start;
  if (r == 0) {
    out.push_back({s, row.side});
    return;
  }
  // A parallel past the centre of a left-turning arc turns inside out and bounds nothing.
  if (s.bulge > 0 && s.radius() - r <= 1e-9) return;
  out.push_back({{s.a + r * s.inward(0), s.b + r * s.inward(1), s.bulge}, row.side});
}

// A full circle walked clockwise: the discs on its right, the region on its left.
void add_circle(Vec2 centre, double r, std::vector<Piece>& out) {
  const Vec2 x{r, 0};
  out.push_back({{centre - x, centre + x, -1}, -1});
  out.push_back({{centre + x, centre - x, -1}, -1});
}

// The envelope of discs of radius r(s) about q(s): q + r (-r' T + sqrt(1 - r'^2) N).
Vec2 envelope(const DiscRow& row, double t) {
  const double r = row.radius_at(t), turn = std::clamp(row.slope_at(t), -1.0, 1.0);
  const Vec2 along = row.along.tangent(t);
  return row.along.point(t) + r * ((-turn) * along + std::sqrt(1 - turn * turn) * left(along));
}

plane::CurvePoint envelope_point(const DiscRow& row, double t) {
  constexpr double kStep = 1e-5;
  const double lo = std::max(0.0, t - kStep), hi = std::min(1.0, t + kStep);
  return {envelope(row, t), envelope(row, hi) - envelope(row, lo)};
}

// Only the runs of an envelope that lie outside all discs are fitted: inside them it may turn back on itself.
void add_envelope(const DiscRow& row, const Discs& discs, std::vector<Piece>& out) {
  const int n = static_cast<int>(row.radius.size()) - 1;
  std::vector<bool> open(static_cast<std::size_t>(n) + 1);
  for (int k = 0; k <= n; ++k) {
    const double t = static_cast<double>(k) / n;
    open[static_cast<std::size_t>(k)] = std::abs(row.slope_at(t)) < 1 && discs.depth(envelope(row, t)) < kCoveredMm;
  }
  for (int k = 0; k <= n; ++k) {
    if (!open[static_cast<std::size_t>(k)]) continue;
    int end = k;
    while (end < n && open[static_cast<std::size_t>(end) + 1]) ++end;
    // One step further, so that the run surely reaches the piece that ends it.
    const double from = static_cast<double>(std::max(0, k - 1)) / n, to = static_cast<double>(std::min(n, end + 1)) / n;
    if (to > from) {
      const plane::Loop chain =
          plane::fitted([&row](double t) { return envelope_point(row, t); }, from, to, kLevelFitMm, row.side);
      for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        out.push_back({{chain[i].at, chain[i + 1].at, chain[i].bulge}, chain[i].side});
    }
    k = end;
  }
}

std::vector<Piece> candidates(const Discs& discs) {
  std::vector<Piece> out;
  for (const auto& loop : discs.loops()) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const DiscRow &row = loop[i], &next = loop[(i + 1) % loop.size()];
      if (row.even)
        add_even(row, out);
      else
        add_envelope(row, discs, out);
      const Vec2 in = row.along.tangent(1), turned = next.along.tangent(0);
      const bool smooth = std::abs(cross(in, turned)) < 1e-9 && dot(in, turned) > 0;
      const double r = std::max(row.end, next.start);
      const auto inverted = [r](const DiscRow& x) { return x.along.bulge > 0 && x.along.radius() < r + 1e-9; };
      const bool steps = std::abs(row.end - next.start) > 1e-9 || std::abs(row.slope_at(1) - next.slope_at(0)) > 1e-6;
      if (r > 0 && (!smooth || steps || inverted(row) || inverted(next))) add_circle(row.along.b, r, out);
    }
  }
  return out;
}

// ---- splitting at all meetings ----

void meet_circle(Vec2 c, double r, Vec2 p, Vec2 d, std::vector<Vec2>& out) {
  const Vec2 foot = p + dot(c - p, d) * d;
  const double h2 = r * r - dot(foot - c, foot - c);
  if (h2 < 0) {
    if (h2 > -1e-9 * r) out.push_back(foot);
    return;
  }
  const double h = std::sqrt(h2);
  out.push_back(foot - h * d);
  out.push_back(foot + h * d);
}

std::vector<Vec2> meetings(const plane::Segment& a, const plane::Segment& b) {
  std::vector<Vec2> out;
  if (a.is_line() && b.is_line()) {
    const Vec2 u = unit(a.b - a.a), v = unit(b.b - b.a);
    const double turn = cross(u, v);
    if (std::abs(turn) > 1e-12) out.push_back(a.a + cross(b.a - a.a, v) / turn * u);
  } else if (a.is_line()) {
    meet_circle(b.centre(), b.radius(), a.a, unit(a.b - a.a), out);
  } else if (b.is_line()) {
    meet_circle(a.centre(), a.radius(), b.a, unit(b.b - b.a), out);
  } else {
    const Vec2 ca = a.centre(), between = b.centre() - ca;
    const double d = norm(between), ra = a.radius(), rb = b.radius();
    if (d < 1e-9) return out;
    // The chord that two circles share is a line across the one.
    const double x = (d * d + (ra - rb) * (ra + rb)) / (2 * d);
    const Vec2 u = between / d;
    meet_circle(ca, ra, ca + x * u, left(u), out);
  }
  return out;
}

plane::Box box_of(const plane::Segment& s) {
  const double reach = s.is_line() ? 0 : std::abs(s.bulge) * norm(s.b - s.a) / 2 + 1e-9;
  return {{std::min(s.a.x, s.b.x) - reach, std::min(s.a.y, s.b.y) - reach},
          {std::max(s.a.x, s.b.x) + reach, std::max(s.a.y, s.b.y) + reach}};
}
bool apart(const plane::Box& a, const plane::Box& b) {
  return a.high.x < b.low.x - kJoinMm || b.high.x < a.low.x - kJoinMm || a.high.y < b.low.y - kJoinMm ||
         b.high.y < a.low.y - kJoinMm;
}

// Where one runs on smoothly into the other: they touch there, which rounding would cut into crumbs.
std::optional<Vec2> smooth_joint(const plane::Segment& a, const plane::Segment& b) {
  constexpr double kSmooth = 0.02;  // rad; fitted arcs meet within this
  const auto runs_on = [](const plane::Segment& before, const plane::Segment& after) {
    return norm(before.b - after.a) < kJoinMm && std::abs(cross(before.tangent(1), after.tangent(0))) < kSmooth &&
           dot(before.tangent(1), after.tangent(0)) > 0;
  };
  if (runs_on(a, b)) return a.b;
  if (runs_on(b, a)) return a.a;
  return std::nullopt;
}

// Where on the segment a point lies, if it does; points at its ends are its ends.
std::optional<double> parameter_at(const plane::Segment& s, Vec2 p) {
  if (norm(p - s.a) < kJoinMm) return 0;
  if (norm(p - s.b) < kJoinMm) return 1;
  const plane::Foot foot = plane::nearest(s, p);
  if (foot.distance > kJoinMm) return std::nullopt;
  return foot.t;
}

// The parts of all candidates that lie in the outline and that no disc covers, cut where candidates meet.
std::vector<Piece> boundary_pieces(const std::vector<Piece>& all, const Discs& discs, const plane::Outline& outline) {
  const auto bounds_region = [&](Vec2 p) {
    if (discs.depth(p) >= kCoveredMm) return false;
    return plane::contains(outline, p) || plane::nearest(outline, p).distance < kCoveredMm;
  };
  std::vector<std::vector<std::pair<double, Vec2>>> cuts(all.size());
  std::vector<plane::Box> boxes;
  for (const Piece& p : all) boxes.push_back(box_of(p.along));
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = i + 1; j < all.size(); ++j) {
      if (apart(boxes[i], boxes[j])) continue;
      // Ends that lie on another candidate: where curves touch, no meeting may be found.
      for (const Vec2 end : {all[j].along.a, all[j].along.b})
        if (const auto t = parameter_at(all[i].along, end)) cuts[i].push_back({*t, end});
      for (const Vec2 end : {all[i].along.a, all[i].along.b})
        if (const auto t = parameter_at(all[j].along, end)) cuts[j].push_back({*t, end});
      const std::optional<Vec2> joint = smooth_joint(all[i].along, all[j].along);
      for (const Vec2 p : meetings(all[i].along, all[j].along)) {
        if (joint && norm(p - *joint) < kNearJointMm) continue;
        const std::optional<double> on_i = parameter_at(all[i].along, p), on_j = parameter_at(all[j].along, p);
        if (!on_i || !on_j) continue;
        cuts[i].push_back({*on_i, p});
        cuts[j].push_back({*on_j, p});
      }
    }
  }
  std::vector<Piece> kept;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const plane::Segment& s = all[i].along;
    auto& c = cuts[i];
    c.push_back({0, s.a});
    c.push_back({1, s.b});
    std::sort(c.begin(), c.end(), [](const auto& x, const auto& y) { return x.first < y.first; });
    const double length = s.length();
    for (std::size_t k = 0, last = 0; k + 1 < c.size(); ++k) {
      if ((c[k + 1].first - c[last].first) * length < kJoinMm) continue;
      const double from = c[last].first, to = c[k + 1].first;
      if (bounds_region(s.point((from + to) / 2)))
        kept.push_back(
            {{c[last].second, c[k + 1].second, s.is_line() ? 0 : std::tan(s.sweep() * (to - from) / 4)}, all[i].side});
      last = k + 1;
    }
  }
  return kept;
}

// Two candidates may run along each other (a parallel and the circle about its end): one of them is enough.
void drop_twins(std::vector<Piece>& pieces) {
  std::vector<Piece> kept;
  for (const Piece& p : pieces) {
    const bool twin = std::any_of(kept.begin(), kept.end(), [&](const Piece& q) {
      return norm(p.along.a - q.along.a) < 2 * kJoinMm && norm(p.along.b - q.along.b) < 2 * kJoinMm &&
             norm(p.along.point(0.5) - q.along.point(0.5)) < kCoveredMm;
    });
    if (!twin) kept.push_back(p);
  }
  pieces = std::move(kept);
}

// ---- joining ----

// Pieces that lead nowhere are stubs left over by the tolerance.
void prune(std::vector<Piece>& pieces) {
  for (bool again = true; again;) {
    again = false;
    std::vector<Piece> kept;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      bool led_to = false, leads_on = false;
      for (std::size_t j = 0; j < pieces.size(); ++j) {
        if (j == i) continue;
        led_to = led_to || norm(pieces[j].along.b - pieces[i].along.a) < 2 * kJoinMm;
        leads_on = leads_on || norm(pieces[j].along.a - pieces[i].along.b) < 2 * kJoinMm;
      }
      if (led_to && leads_on) kept.push_back(pieces[i]);
    }
    again = kept.size() != pieces.size();
    pieces = std::move(kept);
  }
}

// Walks from piece to piece. Where several go on, the region on the left keeps to the sharpest left turn, so that parts
// that touch in one point stay apart. Starts with the longest pieces, which are no crumbs.
std::vector<plane::Loop> joined(std::vector<Piece> pieces) {
  std::stable_sort(pieces.begin(), pieces.end(),
                   [](const Piece& a, const Piece& b) { return a.along.length() > b.along.length(); });
  std::vector<bool> used(pieces.size(), false);
  std::vector<plane::Loop> loops;
  for (std::size_t start = 0; start < pieces.size(); ++start) {
    if (used[start]) continue;
    plane::Loop loop;
    bool closed = false;
    for (std::size_t at = start; !used[at];) {
      const plane::Segment& s = pieces[at].along;
      used[at] = true;
      loop.push_back({s.a, s.bulge, pieces[at].side});
      closed = norm(s.b - pieces[start].along.a) < 2 * kJoinMm;
      if (closed) break;
      std::size_t next = pieces.size();
      double best = -10;
      for (std::size_t j = 0; j < pieces.size(); ++j) {
        if (used[j] || norm(pieces[j].along.a - s.b) >= 2 * kJoinMm) continue;
        const Vec2 in = s.tangent(1), out = pieces[j].along.tangent(0);
        const double turn = std::atan2(cross(in, out), dot(in, out));
        if (turn > best) {
          best = turn;
          next = j;
        }
      }
      if (next == pieces.size()) break;
      at = next;
    }
    if (closed && loop.size() >= 2) loops.push_back(std::move(loop));
  }
  return loops;
}

std::vector<plane::Outline> nested(const std::vector<plane::Loop>& loops, const std::vector<std::string>& sides) {
  std::vector<plane::Outline> out;
  for (const plane::Loop& l : loops)
    if (plane::area(l) > 0) out.push_back({l, {}, sides});
  for (const plane::Loop& l : loops) {
    if (plane::area(l) > 0) continue;
    for (plane::Outline& o : out) {
      if (!plane::contains(plane::Outline{o.outer, {}, {}}, l.front().at)) continue;
      o.holes.push_back(l);
      break;
    }
  }
  return out;
}

// Every piece of the boundary must have become part of a loop, or run along one. What is left over otherwise was part
// of a curve that did not close.
bool accounts_for(const std::vector<plane::Outline>& outlines, const std::vector<Piece>& pieces) {
  return std::all_of(pieces.begin(), pieces.end(), [&](const Piece& p) {
    return std::any_of(outlines.begin(), outlines.end(), [&](const plane::Outline& o) {
      return plane::nearest(o, p.along.point(0.5)).distance < kTwinMm;
    });
  });
}

// Where one side has hardly left the outline its curve rounds an inner corner in arcs of a hair's radius, which cross
// each other by their rounding. Runs shorter than the fit are one corner.
plane::Loop without_crumbs(const plane::Loop& loop) {
  plane::Loop out;
  Vec2 at = loop.front().at;
  double run = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    if (i + 1 < loop.size() && run + s.length() < kLevelFitMm) {
      run += s.length();
      continue;
    }
    out.push_back({at, loop[i].bulge, loop[i].side});
    at = s.b;
    run = 0;
  }
  return out;
}

}  // namespace

Result<std::vector<plane::Outline>> level_outlines(const Form& form, double top_mm, double bottom_mm) {
  const Discs discs(form, top_mm, bottom_mm);
  if (discs.even()) {
    if (discs.radius() == 0) return std::vector<plane::Outline>{form.outline()};
    return plane::offset(form.outline(), -discs.radius());
  }
  std::vector<Piece> pieces = boundary_pieces(candidates(discs), discs, form.outline());
  drop_twins(pieces);
  std::vector<Piece> connected = pieces;
  prune(connected);
  std::vector<plane::Outline> outlines = nested(joined(std::move(connected)), form.outline().sides);
  bool closed = accounts_for(outlines, pieces);
  for (plane::Outline& o : outlines) {
    if (plane::simple(o)) continue;
    o.outer = without_crumbs(o.outer);
    for (plane::Loop& hole : o.holes) hole = without_crumbs(hole);
    closed = closed && plane::simple(o);
  }
  if (!closed)
    return error("level.failed", "",
                 "no closed level curve was found where the top has dropped " + number_text(top_mm) +
                     " mm and the bottom " + number_text(bottom_mm) + " mm",
                 "mark this line with the edge gauges");
  return outlines;
}

}  // namespace kerfkiln::cushion
