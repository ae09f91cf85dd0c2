#include "modeler/urn/inner_integral.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/recess.hpp"
#include "modeler/urn/wall_round.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;

// Offset of a spline span about the axis: Gauss along the parameter.
void add_offset(const Profile& p, const InnerPiece& x, double wall, double z0, double z1, int points, InnerSums& sums) {
  const double t0 = z0 > x.z0 ? piece_at(p, x, wall, z0).t : x.t0;
  const double t1 = z1 < x.z1 ? piece_at(p, x, wall, z1).t : x.t1;
  InnerSums s;
  for (const GaussNode& g : gauss_rule(points)) {
    const OffsetPoint o = offset_point(p, x.span, t0 + (t1 - t0) * g.at, wall);
    const double length = g.weight * o.stretch * o.speed;
    const double slab = o.at.x * o.at.x * length * o.normal.x;
    s.volume += slab;
    s.moment += slab * o.at.y;
    s.area += o.at.x * length;
  }
  sums.volume += kPi * (t1 - t0) * s.volume;
  sums.moment += kPi * (t1 - t0) * s.moment;
  sums.area += 2 * kPi * (t1 - t0) * s.area;
}

// Round about a corner: r = c - sqrt(w^2 - x^2), x = z - z_c, in closed form.
void add_arc(const InnerPiece& a, double wall, double z0, double z1, InnerSums& sums) {
  const double w2 = wall * wall, c = a.centre.x;
  const auto parts = [&](double x, double& volume, double& moment, double& area) {
    x = std::clamp(x, -wall, wall);
    const double root = std::sqrt(std::max(0.0, w2 - x * x)), angle = std::asin(x / wall);
    volume = (c * c + w2) * x - x * x * x / 3 - c * (x * root + w2 * angle);
    moment = (c * c + w2) * x * x / 2 - x * x * x * x / 4 + 2 * c * root * root * root / 3;
    area = wall * (c * angle - x);
  };
  double v0, m0, a0, v1, m1, a1;
  parts(z0 - a.centre.y, v0, m0, a0);
  parts(z1 - a.centre.y, v1, m1, a1);
  sums.volume += kPi * (v1 - v0);
  sums.moment += kPi * (m1 - m0 + a.centre.y * (v1 - v0));
  sums.area += 2 * kPi * (a1 - a0);
}

InnerSums round_sums(const Wall& w, double z0, double z1, int fineness) {
  InnerSums sums;
  for (const InnerPiece& x : w.pieces()) {
    const double a = std::max(z0, x.z0), b = std::min(z1, x.z1);
    // A level ceiling has no height, but an area; it belongs to what it closes.
    const bool ceiling = x.z0 == x.z1 && x.z0 > z0 && x.z0 <= z1;
    if (!(b > a) && !ceiling) continue;
    if (x.kind == InnerPiece::Kind::arc)
      add_arc(x, w.size().wall, a, b, sums);
    else
      add_offset(w.form().profile(), x, w.size().wall, a, b, fineness == 0 ? 20 : 30, sums);
  }
  return sums;
}

// Untrimmed: flux of (x/2, y/2, 0) through the offset, per place v between the levels' parameters, cut at the knots.
InnerSums regular_sums(const InnerSolver& solver, double z0, double z1, int fineness) {
  const int along = fineness == 0 ? 10 : fineness == 1 ? 14 : fineness == 2 ? 20 : 30;
  const Form& form = solver.form();
  const Profile& profile = form.profile();
  InnerSums sums;
  form.each_node(along, [&](int piece, double v, double share) {
    const FormPlace place = form.place(piece, v);
    for (const Band& band : solver.bands()) {
      const double s0 = solver.band_at(band, place, z0), s1 = solver.band_at(band, place, z1);
      std::vector<double> stops{s0};
      if (!band.arc)
        for (const ProfileSpan& span : profile.spans())
          if (span.begin > s0 && span.begin < s1) stops.push_back(span.begin);
      stops.push_back(s1);
      for (std::size_t i = 1; i < stops.size(); ++i) {
        const double length = stops[i] - stops[i - 1];
        if (!(length > 0)) continue;
        for (const GaussNode& g : gauss_rule(along)) {
          const OffsetJet o = solver.band_point(band, place, stops[i - 1] + length * g.at);
          const Vec3 n = cross(o.at_v, o.at_t);
          const double weight = form.copies() * share * g.weight * length;
          const double slab = 0.5 * weight * (o.at.x * n.x + o.at.y * n.y);
          sums.volume += slab;
          sums.moment += slab * o.at.z;
          sums.area += weight * norm(n);
        }
      }
    }
  });
  return sums;
}

// Trimmed: radius by direction and height, integrated along lines that are cut at their kinks. The lines run level
// where the kinks stand upright, else upright.
double ease(double f) { return f * f * (3 - 2 * f); }
double ease_slope(double f) { return 6 * f * (1 - f); }

class KinkedLine {
 public:
  // `eased`: heights run by a smooth step, because the inside is level at an end and its rate infinite there.
  KinkedLine(const InnerSolver& solver, InnerSolver::At from, InnerSolver::At to, bool eased)
      : solver_(solver), from_(from), to_(to), eased_(eased) {}

  InnerSums sums(int panels) const {
    InnerSums s;
    InnerSolver::At a = at(0);
    double fa = 0;
    for (int i = 1; i <= panels; ++i) {
      const double fb = static_cast<double>(i) / panels;
      const InnerSolver::At b = at(fb);
      panels_between(fa, a, fb, b, kHalvings, s);
      a = b, fa = fb;
    }
    return s;
  }

 private:
  static constexpr int kHalvings = 12;
  static constexpr double kTied = 2e-5, kKink = 5e-5;  // of the wall
  // A branch that is followed from one end and does not arrive at the other hides a kink that was not found: such a
  // panel is halved.
  void panels_between(double fa, const InnerSolver::At& a, double fb, const InnerSolver::At& b, int halvings,
                      InnerSums& s) const {
    InnerSums here;
    bool whole;
    if (const auto k = solver_.kink(a, b, kKink * solver_.wall())) {
      const double fm = eased_ ? uneased((a.z + k->fraction * (b.z - a.z) - from_.z) / (to_.z - from_.z))
                               : fa + k->fraction * (fb - fa);
      // Branches that do not meet where they should tie: a third one rules between them.
      whole = std::abs(k->first.reach - k->second.reach) <= kTied * solver_.wall() &&
              (smooth(fa, a.point, fm, k->first, here) & smooth(fm, k->second, fb, b.point, here));
    } else {
      whole = smooth(fa, a.point, fb, b.point, here);
    }
    if (whole || halvings == 0) {
      s.volume += here.volume, s.moment += here.moment, s.area += here.area;
      return;
    }
    const double fm = 0.5 * (fa + fb);
    const InnerSolver::At m = at(fm);
    panels_between(fa, a, fm, m, halvings - 1, s);
    panels_between(fm, m, fb, b, halvings - 1, s);
  }

  static double uneased(double g) {
    double a = 0, b = 1;
    for (int i = 0; i < 60; ++i) {
      const double m = 0.5 * (a + b);
      (ease(m) < g ? a : b) = m;
    }
    return 0.5 * (a + b);
  }
  InnerSolver::At between(double f) const {
    const double g = eased_ ? ease(f) : f;
    return {from_.turn + f * (to_.turn - from_.turn), from_.z + g * (to_.z - from_.z), {}};
  }
  InnerSolver::At at(double f) const {
    InnerSolver::At x = between(f);
    x.point = solver_.solve(solver_.direction(x.turn, x.z), x.z);
    return x;
  }
  // Which smooth part of the outside a foot is on: a span, or the corner or end that it cannot pass.
  int part(const InnerPoint& p) const {
    const ProfileSpan& span = solver_.form().profile().spans()[static_cast<std::size_t>(p.span)];
    const int along = p.t <= span.begin                 ? 2 * p.span
                      : p.t >= span.begin + span.length ? 2 * p.span + 2
                                                        : 2 * p.span + 1;
    return along * solver_.form().pieces() + p.piece;
  }
  // About where between two feet, as a fraction, the foot passes the seam between their pieces or spans.
  double seam_between(const InnerPoint& a, const InnerPoint& b, double bias) const {
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
  bool smooth(double a, InnerPoint pa, double b, const InnerPoint& pb, InnerSums& s) const {
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
        const InnerPoint p = solver_.follow(at_lo, solver_.direction(x.turn, x.z), x.z);
        const bool below = part(p) == part(pa);
        if (below)
          lo = m, at_lo = p;
        else
          hi = m, at_hi = p;
        const int now = below ? -1 : 1;
        bias = stayed == now ? bias * (below ? 2 : 0.5) : 1;
        stayed = now;
      }
      if (apart()) return false;  // not past a seam: onto another branch
      panel(a, hi, pa, s);
      a = hi, pa = at_hi;
    }
    const InnerPoint last = panel(a, b, pa, s);
    const InnerSolver::At end = between(b);
    const InnerPoint arrived = solver_.follow(last, solver_.direction(end.turn, end.z), end.z);
    return std::abs(arrived.reach - pb.reach) <= kArrived * (solver_.wall() + pb.reach);
  }
  static constexpr double kArrived = 1e-5;
  // Each node follows the branch of the one before.
  InnerPoint panel(double a, double b, InnerPoint p, InnerSums& s) const {
    InnerPoint before = p;
    double at = a, at_before = a;
    for (const GaussNode& g : gauss_rule(10)) {
      const double f = a + (b - a) * g.at;
      const InnerSolver::At x = between(f);
      const Vec2 u = solver_.direction(x.turn, x.z);
      InnerPoint guess = p;
      if (at > at_before && p.span == before.span && p.piece == before.piece) {
        // The foot goes on as it went.
        const ProfileSpan& span = solver_.form().profile().spans()[static_cast<std::size_t>(p.span)];
        const double on = (f - at) / (at - at_before);
        guess.t = std::clamp(p.t + on * (p.t - before.t), span.begin, span.begin + span.length);
        guess.v = std::clamp(p.v + on * (p.v - before.v), 0.0, 1.0);
      }
      before = p, at_before = at;
      p = solver_.follow(guess, p, u, x.z);
      at = f;
      const double facing = p.normal.x * u.x + p.normal.y * u.y,
                   weight = g.weight * (b - a) * (eased_ ? ease_slope(f) : 1);
      const double slab = 0.5 * weight * p.reach * p.reach;
      s.volume += slab;
      s.moment += slab * x.z;
      s.area += weight * p.reach / facing;
    }
    return p;
  }
  const InnerSolver& solver_;
  InnerSolver::At from_, to_;
  bool eased_;
};

// Lines across 0 ... 1, panels halved until two rules agree.
template <class Line>
InnerSums across(Line&& line, double a, double b, double goal, int depth) {
  const auto rule = [&](double from, double to) {
    InnerSums s;
    for (const GaussNode& g : gauss_rule(10)) {
      const InnerSums one = line(from + (to - from) * g.at);
      const double weight = g.weight * (to - from);
      s.volume += weight * one.volume;
      s.moment += weight * one.moment;
      s.area += weight * one.area;
    }
    return s;
  };
  const auto add = [](InnerSums x, const InnerSums& y) {
    x.volume += y.volume, x.moment += y.moment, x.area += y.area;
    return x;
  };
  struct Part {
    double a, b;
    InnerSums sums;
    int depth;
  };
  std::vector<Part> open{{a, b, rule(a, b), depth}};
  InnerSums total;
  while (!open.empty()) {
    const Part p = open.back();
    open.pop_back();
    const double m = 0.5 * (p.a + p.b);
    const InnerSums left = rule(p.a, m), right = rule(m, p.b), both = add(left, right);
    if (p.depth == 0 || std::abs(both.volume - p.sums.volume) <= goal) {
      const double error = total.error + std::abs(both.volume - p.sums.volume);
      total = add(total, both);
      total.error = error;
      continue;
    }
    open.push_back({m, p.b, right, p.depth - 1});
    open.push_back({p.a, m, left, p.depth - 1});
  }
  return total;
}

// Of a trimmed inside, relative: what two rules may differ by.
constexpr double kFine = 5e-7, kCoarse = 1e-4;

// Between two level places, or without one: `eased` where the inside is level at an end.
InnerSums trimmed_slab(const InnerSolver& solver, double z0, double z1, bool eased, bool fine) {
  const int spans = static_cast<int>(solver.form().profile().spans().size());
  const bool level = solver.upright_kinks();
  const double turns = solver.sector(), height = z1 - z0;
  // Panels of a level line: no more than one corner of the section in each.
  const int panels = std::max(6, 2 * solver.form().section().pieces) * (solver.form().twisted() ? 2 : 1);
  const auto line = [&](double f) {
    if (!level) return KinkedLine(solver, {f * turns, z0, {}}, {f * turns, z1, {}}, eased).sums(std::max(4, 2 * spans));
    const double z = z0 + (eased ? ease(f) : f) * height;
    InnerSums s = KinkedLine(solver, {0, z, {}}, {turns, z, {}}, false).sums(panels);
    const double weight = eased ? ease_slope(f) : 1;
    return InnerSums{weight * s.volume, weight * s.moment, weight * s.area, 0};
  };
  // About the size of the answer; lines are per unit of their own parameter.
  const double reach = solver.solve(solver.direction(0, 0.5 * (z0 + z1)), 0.5 * (z0 + z1)).reach;
  const double goal = (fine ? kFine : kCoarse) * 0.5 * reach * reach;
  InnerSums sums;
  const int parts = !fine ? 1 : level ? std::max(2, spans) : solver.form().twisted() ? 4 : 2;
  for (int i = 0; i < parts; ++i) {
    const double a = static_cast<double>(i) / parts, b = static_cast<double>(i + 1) / parts;
    const InnerSums s = across(line, a, b, goal / parts, 4);
    sums.volume += s.volume, sums.moment += s.moment, sums.area += s.area, sums.error += s.error;
  }
  const double scale = solver.form().copies() * turns * height;
  // Kinks too small to look for, and lines that share their blind spots, are worth this much.
  constexpr double kUnseen = 3e-7;
  return {scale * sums.volume, scale * sums.moment, scale * sums.area, scale * (sums.error + kUnseen * sums.volume)};
}

// The flat between the two reaches at a jump.
double ceiling_area(const InnerSolver& solver, double z) {
  const int panels = 12 * (solver.form().twisted() ? 2 : 1);
  const double step = solver.sector() / panels;
  double sum = 0;
  for (int i = 0; i < panels; ++i)
    sum += integrate(10, step * i, step * (i + 1), [&](double turn) {
      const Vec2 u = solver.direction(turn, z);
      const double below = solver.solve(u, z - solver.nudge()).reach, above = solver.solve(u, z + solver.nudge()).reach;
      return 0.5 * solver.form().copies() * std::abs(below * below - above * above);
    });
  return sum;
}

InnerSums trimmed_sums(const InnerSolver& solver, double z0, double z1, bool fine) {
  InnerSums sums;
  double from = z0;
  bool level_before = false;
  const auto add = [&](double to, bool level_after) {
    const double low = from + (level_before ? solver.nudge() : 0), high = to - (level_after ? solver.nudge() : 0);
    if (high > low) {
      const InnerSums s = trimmed_slab(solver, low, high, level_before || level_after, fine);
      sums.volume += s.volume, sums.moment += s.moment, sums.area += s.area, sums.error += s.error;
    }
    from = to, level_before = level_after;
  };
  for (const LevelBreak& b : solver.level_breaks()) {
    if (!(b.z > z0 && b.z <= z1)) continue;
    add(b.z, true);
    if (b.jump) sums.area += ceiling_area(solver, b.z);
  }
  add(z1, false);
  return sums;
}

// The same in mm.
InnerSums trimmed_sums(const Wall& w, double z0, double z1, bool fine) {
  InnerSums s = trimmed_sums(*w.solver(), w.in_units(z0), w.in_units(z1), fine);
  const double square = w.solver_unit() * w.solver_unit(), cube = square * w.solver_unit();
  s.volume *= cube, s.error *= cube, s.area *= square, s.moment *= square * square;
  return s;
}

// Area within a level curve of the regular inside.
double regular_area(const InnerSolver& solver, double z) {
  double sum = 0;
  solver.form().each_node(20, [&](int piece, double v, double share) {
    for (const Band& band : solver.bands()) {
      const double s = solver.band_at(band, piece, v, z);
      const OffsetJet o = solver.band_point(band, piece, v, s);
      if (std::abs(o.at.z - z) > 1e-9 * (solver.wall() + std::abs(z))) continue;  // another band
      const double s_v = o.at_t.z > 0 ? -o.at_v.z / o.at_t.z : 0;
      const Vec3 step = o.at_v + s_v * o.at_t;
      sum += 0.5 * solver.form().copies() * share * (o.at.x * step.y - o.at.y * step.x);
      break;
    }
  });
  return sum;
}

}  // namespace

InnerSums integrate_inside(const Wall& w, double z0, double z1) {
  if (!(z1 > z0)) return {};
  if (w.trimmed() && w.solver()) return trimmed_sums(w, z0, z1, true);
  // Two rules tell the error of the finer one.
  const auto rule = [&](int fineness) {
    return w.solver() ? regular_sums(*w.solver(), z0, z1, fineness) : round_sums(w, z0, z1, fineness);
  };
  InnerSums fine = rule(1);
  fine.error = std::abs(fine.volume - rule(0).volume);
  // Of analytic integrands four points more take two digits off the error; the sharpest squares ask for the finest
  // rule.
  constexpr double kSharp = 1e-7;
  if (fine.error <= kSharp * fine.volume) return fine;
  InnerSums finer = rule(2);
  finer.error = std::abs(finer.volume - fine.volume);
  constexpr double kFineEnough = 1e-9;
  if (finer.error <= kFineEnough * finer.volume) return finer;
  InnerSums finest = rule(3);
  finest.error = std::abs(finest.volume - finer.volume);
  return finest;
}

InnerSums integrate_inside_coarsely(const Wall& w, double z0, double z1) {
  if (!(z1 > z0)) return {};
  if (!w.solver()) return round_sums(w, z0, z1, 0);
  return w.solver()->regular() ? regular_sums(*w.solver(), z0, z1, 0) : trimmed_sums(w, z0, z1, false);
}

double inner_section_area(const Wall& w, double z) {
  if (!w.solver()) {
    const double r = w.inner_reach(0, z);
    return kPi * r * r;
  }
  if (w.solver()->regular()) return regular_area(*w.solver(), z);
  const InnerSolver& solver = *w.solver();
  z = w.in_units(z);
  const int panels = solver.form().twisted() ? 16 : 8;
  const double step = solver.sector() / panels;
  double sum = 0;
  for (int i = 0; i < panels; ++i)
    sum += integrate(10, step * i, step * (i + 1), [&](double turn) {
      const double r = solver.solve(solver.direction(turn, z), z).reach;
      return 0.5 * solver.form().copies() * r * r;
    });
  return w.solver_unit() * w.solver_unit() * sum;
}

double recess_area(const Wall& w) { return w.size().recess > 0 ? FootInset(w).area() : 0; }

}  // namespace kerfkiln::urn
