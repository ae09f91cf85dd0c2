#include "modeler/urn/inner_integral.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/numeric/kronrod.hpp"
#include "modeler/urn/inner_lines.hpp"
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
// Lines across 0 ... 1 between the stops; the panel with the largest error is halved until all errors together are
// within the goal, relative. `points` of a wide panel.
template <class Line>
InnerSums across(Line&& line, const std::vector<double>& stops, double narrow, int points, double goal, bool once) {
  struct Panel {
    double a = 0, b = 0;
    InnerSums sums;
  };
  std::vector<double> values;
  const auto panel = [&](double a, double b) {
    Panel p{a, b, {}};
    double gauss = 0, variation = 0;
    values.clear();
    const double wide = b - a;
    const auto rule = kronrod_rule(wide < narrow ? 7 : points);
    for (const KronrodNode& n : rule) {
      const InnerSums one = line(a + wide * n.at);
      p.sums.volume += wide * n.weight * one.volume;
      p.sums.moment += wide * n.weight * one.moment;
      p.sums.area += wide * n.weight * one.area;
      gauss += wide * n.gauss * one.volume;
      values.push_back(one.volume);
    }
    for (std::size_t i = 0; i < rule.size(); ++i)
      variation += wide * rule[i].weight * std::abs(values[i] - p.sums.volume / wide);
    p.sums.error = kronrod_error(p.sums.volume - gauss, variation);
    return p;
  };
  std::vector<Panel> panels;
  for (std::size_t i = 1; i < stops.size(); ++i) panels.push_back(panel(stops[i - 1], stops[i]));
  const auto good = [&] {
    double volume = 0, error = 0;
    for (const Panel& p : panels) volume += p.sums.volume, error += p.sums.error;
    return error <= goal * volume;
  };
  constexpr int kMostHalvings = 60;
  for (int i = 0; i < kMostHalvings && !once && !good(); ++i) {
    Panel& worst = *std::max_element(panels.begin(), panels.end(),
                                     [](const Panel& p, const Panel& q) { return p.sums.error < q.sums.error; });
    const double a = worst.a, b = worst.b, m = 0.5 * (a + b);
    worst = panel(a, m);
    panels.push_back(panel(m, b));
  }
  InnerSums total;
  for (const Panel& p : panels) total += p.sums;
  return total;
}

// Of a trimmed inside, relative: what all errors of the rule together may come to.
constexpr double kGoal = 3e-7;

// Where the lines of a slab change: a few lines the other way tell. 0 and 1, and between them a stop for each seam, and
// two that hold kinks between them, at least `apart` from each other.
std::vector<double> stops_between(InnerLines& crossing, const std::vector<InnerSolver::At>& from,
                                  const std::vector<InnerSolver::At>& to, bool eased, double apart) {
  std::vector<InnerLines::Cut> all;
  for (std::size_t i = 0; i < from.size(); ++i) {
    crossing.sums(from[i], to[i], eased);
    for (const InnerLines::Cut& c : crossing.cuts()) all.push_back(c);
  }
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  std::vector<double> out{0};
  const auto put = [&](double f) {
    if (f - out.back() > apart && 1 - f > apart) out.push_back(f);
  };
  for (std::size_t i = 0; i < all.size();) {
    std::size_t j = i + 1;
    bool kink = all[i].kink;
    double sum = all[i].at;
    for (; j < all.size() && all[j].at - all[j - 1].at < 5 * apart; ++j) sum += all[j].at, kink = kink || all[j].kink;
    if (kink) {
      // All of it between the two, and what it reaches to in other places.
      const double beyond = 0.5 * (all[j - 1].at - all[i].at) + 2 * apart;
      put(all[i].at - beyond), put(all[j - 1].at + beyond);
    } else {
      put(sum / static_cast<double>(j - i));
    }
    i = j;
  }
  out.push_back(1);
  return out;
}

// Between two level places, or without one: `eased` where the inside is level at an end.
InnerSums trimmed_slab(const InnerSolver& solver, double z0, double z1, bool eased, bool fine) {
  const int spans = static_cast<int>(solver.form().profile().spans().size());
  const bool level = solver.upright_kinks(), twisted = solver.form().twisted();
  const double turns = solver.sector(), height = z1 - z0;
  // Panels of a level line: no more than one corner of the section in each.
  const int level_panels = std::max(fine ? 6 : 4, (fine ? 2 : 1) * solver.form().section().pieces) * (twisted ? 2 : 1);
  const int upright_panels = std::max(4, (fine ? 2 : 1) * spans);
  InnerLines lines(solver, level ? level_panels : upright_panels);
  InnerLines crossing(solver, level ? upright_panels : level_panels);
  const auto line = [&](double f) {
    if (!level) return lines.sums({f * turns, z0, {}}, {f * turns, z1, {}}, eased);
    const double z = z0 + (eased ? ease(f) : f) * height;
    const InnerSums s = lines.sums({0, z, {}}, {turns, z, {}}, false);
    const double weight = eased ? ease_slope(f) : 1;
    return InnerSums{weight * s.volume, weight * s.moment, weight * s.area, 0};
  };
  std::vector<InnerSolver::At> from, to;
  const std::vector<double> places = !fine     ? std::vector{0.37}
                                     : twisted ? std::vector{0.0, 0.17, 0.34, 0.5, 0.67, 0.84}
                                               : std::vector{0.0, 0.19, 0.41, 0.63, 0.82, 1.0};
  for (const double f : places) {
    const double z = z0 + (0.02 + 0.96 * f) * height;
    from.push_back(level ? InnerSolver::At{f * turns, z0, {}} : InnerSolver::At{0, z, {}});
    to.push_back(level ? InnerSolver::At{f * turns, z1, {}} : InnerSolver::At{turns, z, {}});
  }
  // Seams and kinks nearer than these are taken together, and between narrow stops the short rule does.
  const double apart = level ? 0.03 * solver.wall() / height : 0.004, narrow = 10 * apart;
  const std::vector<double> stops = stops_between(crossing, from, to, level && eased, std::min(apart, 0.1));
  // A low slab may be as far off as the whole inside would.
  const double share = std::max(0.1, height / (solver.form().high() - solver.floor()));
  const InnerSums sums = across(line, stops, narrow, fine ? 15 : 7, kGoal / share, !fine);
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
      sums += trimmed_slab(solver, low, high, level_before || level_after, fine);
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
