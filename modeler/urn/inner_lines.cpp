#include "modeler/urn/inner_lines.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "modeler/numeric/gauss.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kHalvings = 12;
constexpr double kTied = 2e-5, kKink = 5e-5;   // of the wall
constexpr double kArrived = 1e-5;              // of the reach
constexpr double kTiny = 0.01, kShort = 0.05;  // stretches that fewer nodes do for
constexpr double kCalm = 0.1;                  // turn of a normal from node to node that hides no kink
constexpr double kBent = 0.3;                  // turn of the normal that takes more nodes

}  // namespace

InnerSums InnerLines::sums(InnerSolver::At from, InnerSolver::At to, bool eased) {
  from_ = from, to_ = to, eased_ = eased;
  InnerSums s;
  InnerSolver::At a = at(0);
  double fa = 0;
  for (std::size_t i = 0; i < cuts_.size(); ++i) {
    const double fb = static_cast<double>(i + 1) / static_cast<double>(cuts_.size());
    const InnerSolver::At b = at(fb);
    std::optional<InnerSums> known;
    if (!cuts_[i].empty()) known = along_known_cuts(a, b, cuts_[i]);
    s += known ? *known : search(fa, a, fb, b, cuts_[i]);
    a = b, fa = fb;
  }
  return s;
}

std::vector<InnerLines::Cut> InnerLines::cuts() const {
  std::vector<Cut> out;
  for (const Panel& p : cuts_)
    for (const Stretch& s : p)
      if (s.join != Join::fixed) out.push_back({s.from, s.join == Join::kink});
  return out;
}

InnerSums InnerLines::search(double fa, const InnerSolver::At& a, double fb, const InnerSolver::At& b,
                             Panel& cuts) const {
  cuts.clear();
  InnerSums s;
  panels_between(fa, a, fb, b, kHalvings, Join::fixed, cuts, s);
  return s;
}

// A branch that is followed from one end and does not arrive at the other hides a kink that was not found: such a
// panel is halved.
void InnerLines::panels_between(double fa, const InnerSolver::At& a, double fb, const InnerSolver::At& b, int halvings,
                                Join join, Panel& cuts, InnerSums& s) const {
  const std::size_t known = cuts.size();
  InnerSums here;
  bool whole;
  if (const auto k = solver_.kink(a, b, kKink * solver_.wall())) {
    const double fm = eased_ ? uneased((a.z + k->fraction * (b.z - a.z) - from_.z) / (to_.z - from_.z))
                             : fa + k->fraction * (fb - fa);
    // Branches that do not meet where they should tie: a third one rules between them.
    whole = std::abs(k->first.reach - k->second.reach) <= kTied * solver_.wall() &&
            smooth(fa, a.point, fm, k->first, join, cuts, here) &&
            smooth(fm, k->second, fb, b.point, Join::kink, cuts, here);
  } else {
    whole = smooth(fa, a.point, fb, b.point, join, cuts, here);
  }
  if (whole) {
    s += here;
    return;
  }
  if (halvings == 0) {
    // Too narrow for its branches to matter one by one: nearest balls alone, whatever branch they are of.
    cuts.resize(known);
    cuts.push_back({join, fa, fb, a.point, b.point, part(a.point)});
    s += walk(fa, fb, a.point, b.point.normal, true).sums;
    return;
  }
  cuts.resize(known);
  const double fm = 0.5 * (fa + fb);
  const InnerSolver::At m = at(fm);
  panels_between(fa, a, fm, m, halvings - 1, join, cuts, s);
  panels_between(fm, m, fb, b, halvings - 1, Join::fixed, cuts, s);
}

double InnerLines::uneased(double g) const {
  double a = 0, b = 1;
  for (int i = 0; i < 60; ++i) {
    const double m = 0.5 * (a + b);
    (ease(m) < g ? a : b) = m;
  }
  return 0.5 * (a + b);
}

InnerSolver::At InnerLines::between(double f) const {
  const double g = eased_ ? ease(f) : f;
  return {from_.turn + f * (to_.turn - from_.turn), from_.z + g * (to_.z - from_.z), {}};
}

InnerSolver::At InnerLines::at(double f) const {
  InnerSolver::At x = between(f);
  x.point = solver_.solve(direction(x), x.z);
  return x;
}

// Which smooth part of the outside a foot is on: a span, or the corner or end that it cannot pass.
int InnerLines::part(const InnerPoint& p) const {
  const ProfileSpan& span = solver_.form().profile().spans()[static_cast<std::size_t>(p.span)];
  const int along = p.t <= span.begin ? 2 * p.span : p.t >= span.begin + span.length ? 2 * p.span + 2 : 2 * p.span + 1;
  return along * solver_.form().pieces() + p.piece;
}

// About where between two feet, as a fraction, the foot passes the seam between their pieces or spans.
double InnerLines::seam_between(const InnerPoint& a, const InnerPoint& b, double bias) const {
  constexpr double kAside = 0.02;
  double from = 0, to = 0;
  if (a.piece != b.piece) {
    const bool on = b.v < a.v;  // leaves one at its end and enters the next at its beginning
    from = on ? 1 - a.v : a.v, to = on ? b.v : 1 - b.v;
  } else {
    const auto& spans = solver_.form().profile().spans();
    const double seam = spans[static_cast<std::size_t>(std::max(a.span, b.span))].begin;
    from = std::abs(seam - a.t), to = std::abs(b.t - seam);
  }
  return from > 0 && to > 0 ? std::clamp(bias * from / (bias * from + to), kAside, 1 - kAside) : 0.5;
}

// One branch from a to b, cut where its foot passes from part to part: the curvature jumps there.
// False: the branch of pa does not lead to pb.
bool InnerLines::smooth(double a, InnerPoint pa, double b, const InnerPoint& pb, Join join, Panel& cuts,
                        InnerSums& s) const {
  for (int cut = 0; cut < 8 && part(pa) != part(pb); ++cut) {
    double lo = a, hi = b;
    InnerPoint at_lo = pa, at_hi = pb;
    // Across a seam the reach is smooth but for its bending: a millionth is near enough, unless it looks like a jump.
    const auto apart = [&] { return std::abs(at_lo.reach - at_hi.reach) > kTied * solver_.wall(); };
    double bias = 1;  // Illinois: the end that stays counts half
    int stayed = 0;
    for (int step = 0; hi - lo > 1e-6 || (hi - lo > 1e-9 && apart()); ++step) {
      const double m = lo + (hi - lo) * (step % 4 == 3 ? 0.5 : seam_between(at_lo, at_hi, bias));
      const InnerSolver::At x = between(m);
      const InnerPoint p = solver_.follow(at_lo, direction(x), x.z);
      const bool below = part(p) == part(pa);
      if (below)
        lo = m, at_lo = p;
      else
        hi = m, at_hi = p;
      const int now = below ? -1 : 1;
      bias = stayed == now ? bias * (below ? 2 : 0.5) : 1;
      stayed = now;
    }
    if (apart()) {  // not past a seam: the branch ends, and ties with another before
      const auto k = tied_before(lo, at_lo, at_hi, a);
      if (!k || !(k->at > a) || part(k->first) != part(pa)) return false;
      const InnerSolver::At there = at(k->at);
      if (there.point.reach < k->first.reach - kNearer * solver_.wall()) return false;  // a third one rules
      const auto w = stretch(a, k->at, pa, k->first);
      if (!w) return false;
      s += w->sums;
      cuts.push_back({join, a, k->at, pa, k->first, part(pa)});
      a = k->at, pa = k->second, join = Join::kink;
      continue;
    }
    const auto w = stretch(a, hi, pa, at_lo);
    if (!w) return false;
    s += w->sums;
    cuts.push_back({join, a, hi, pa, at_lo, part(pa)});
    a = hi, pa = at_hi, join = Join::seam;
  }
  const auto w = stretch(a, b, pa, pb);
  if (!w) return false;
  s += w->sums;
  cuts.push_back({join, a, b, pa, pb, part(pa)});
  return true;
}

// Where the branch of `p`, which ends at `at`, was as near as that of `q` last; not before `from`.
std::optional<InnerLines::Tie> InnerLines::tied_before(double at, InnerPoint p, InnerPoint q, double from) const {
  struct Look {
    double f = 0, off = 0;
    InnerPoint p, q;
    bool one = false;  // the branch of q begins later: what is followed there is p's
  };
  const auto look = [&](double f, const InnerPoint& near_p, const InnerPoint& near_q) {
    const InnerSolver::At x = between(f);
    const Vec2 u = direction(x);
    Look l{f, 0, solver_.follow(near_p, u, x.z), solver_.follow(near_q, u, x.z)};
    l.off = l.p.reach - l.q.reach;
    constexpr double kSmallestTurn = 1e-3;
    l.one = norm(l.p.normal - l.q.normal) < kSmallestTurn;
    return l;
  };
  Look b = look(at, p, q), a = b;
  if (b.one) return std::nullopt;
  for (double step = 1e-3 * (at - from); !a.one && a.off >= 0; step *= 4) {
    if (a.f <= from) return std::nullopt;
    b = a;
    a = look(std::max(from, a.f - step), a.p, a.q);
  }
  // Illinois, where both are there.
  double fa = a.off, fb = b.off;
  for (int i = 0; i < 60; ++i) {
    const double wide = b.f - a.f;
    const double f =
        a.one ? 0.5 * (a.f + b.f) : std::clamp(a.f + wide * fa / (fa - fb), a.f + 0.01 * wide, b.f - 0.01 * wide);
    const Look m = look(f, a.p, b.q);
    if (!m.one && std::abs(m.off) < 1e-9 * solver_.wall()) return Tie{m.f, m.p, m.q};
    if (m.one || m.off < 0) {
      a = m, fa = m.off, fb *= 0.5;
    } else {
      b = m, fb = m.off, fa *= 0.5;
      // Where the branch of q begins it is a little nearer already.
      if (b.off < kTied * solver_.wall() && (wide < 1e-10 || a.one)) return Tie{b.f, b.p, b.q};
    }
  }
  return std::nullopt;
}

// Each node follows the branch of the one before, or is looked for anew.
InnerLines::Walk InnerLines::walk(double a, double b, const InnerPoint& begin, Vec3 last_normal, bool anew) const {
  Walk out;
  InnerPoint p = begin, before = p;
  double at = a, at_before = a;
  std::size_t node = 0;
  int first_part = 0;
  std::array<double, 20> turns{}, steps{};
  // Where the normal turns much, a cusp may be near.
  const bool bent = norm(begin.normal - last_normal) > kBent;
  const int nodes = b - a < kTiny ? (bent ? 10 : 4) : b - a < kShort ? (bent ? 14 : 6) : bent ? 20 : 10;
  for (const GaussNode& g : gauss_rule(nodes)) {
    const double f = a + (b - a) * g.at;
    const InnerSolver::At x = between(f);
    const Vec2 u = direction(x);
    InnerPoint guess = p;
    if (at > at_before && p.span == before.span && p.piece == before.piece) {
      // The foot goes on as it went.
      const ProfileSpan& span = solver_.form().profile().spans()[static_cast<std::size_t>(p.span)];
      const double on = (f - at) / (at - at_before);
      guess.t = std::clamp(p.t + on * (p.t - before.t), span.begin, span.begin + span.length);
      guess.v = std::clamp(p.v + on * (p.v - before.v), 0.0, 1.0);
    }
    before = p, at_before = at;
    p = anew ? solver_.solve(u, x.z) : solver_.follow(guess, p, u, x.z);
    // Under a sheet that is almost level a step that only grazes its balls gets stuck.
    constexpr double kAlmostLevel = 0.1;
    if (!anew && p.normal.x * u.x + p.normal.y * u.y < kAlmostLevel)
      if (const InnerPoint q = solver_.solve(u, x.z); q.reach < p.reach - kNearer * solver_.wall()) p = q;
    at = f;
    const double turn = norm(p.normal - before.normal);
    out.calm = out.calm && turn < kCalm;
    turns[node] = turn, steps[node] = f - at_before;
    if (node == 0) first_part = part(p);
    out.one_part = out.one_part && part(p) == first_part;
    if (node == static_cast<std::size_t>(nodes) / 2) out.middle = p, out.at_middle = f;
    ++node;
    const double facing = p.normal.x * u.x + p.normal.y * u.y,
                 weight = g.weight * (b - a) * (eased_ ? ease_slope(f) : 1);
    const double slab = 0.5 * weight * p.reach * p.reach;
    out.sums.volume += slab;
    out.sums.moment += slab * x.z;
    out.sums.area += weight * p.reach / facing;
    if (facing < out.flattest) out.flattest = facing, out.at_flattest = f, out.flat_reach = p.reach;
  }
  out.last = p;
  // A step between nodes that turns far more than those beside it is one onto another branch.
  constexpr double kTurn = 0.03, kFarMore = 4;
  const auto rate = [&](std::size_t i) { return turns[i] / steps[i]; };
  for (std::size_t i = 1; i < node; ++i) {
    const double beside = std::max(i > 1 ? rate(i - 1) : 0, i + 1 < node ? rate(i + 1) : 0);
    out.one_branch = out.one_branch && !(turns[i] > kTurn && rate(i) > kFarMore * beside);
  }
  return out;
}

// Whether a walk leads to a place, and its middle and its flattest node are the nearest there.
bool InnerLines::arrives(const Walk& p, double b, const InnerPoint& pb) const {
  const InnerSolver::At end = between(b);
  const InnerPoint arrived = solver_.follow(p.last, direction(end), end.z);
  if (std::abs(arrived.reach - pb.reach) > kArrived * (solver_.wall() + pb.reach)) return false;
  const auto nearest = [&](double f, double reach) { return at(f).point.reach > reach - kNearer * solver_.wall(); };
  constexpr double kFlat = 0.2;
  return nearest(p.at_middle, p.middle.reach) && (p.flattest > kFlat || nearest(p.at_flattest, p.flat_reach));
}

// The branch from a to b; nothing: it does not lead there.
std::optional<InnerLines::Walk> InnerLines::stretch(double a, double b, const InnerPoint& pa,
                                                    const InnerPoint& pb) const {
  Walk w = walk(a, b, pa, pb.normal);
  if (w.one_branch && arrives(w, b, pb)) return w;
  // Under a sheet that is almost level the balls hardly touch the line, and no branch can be followed along it.
  if (part(pa) != part(pb) || norm(pa.normal - pb.normal) > kCalm) return std::nullopt;
  w = walk(a, b, pa, pb.normal, true);
  if (!w.calm || !w.one_part || part(w.middle) != part(pa)) return std::nullopt;
  return w;
}

}  // namespace kerfkiln::urn
