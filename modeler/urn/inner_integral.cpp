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
    if (!(b > a)) continue;
    if (x.kind == InnerPiece::Kind::arc) add_arc(x, w.size().wall, a, b, sums);
    else add_offset(w.form().profile(), x, w.size().wall, a, b, fineness == 0 ? 20 : 30, sums);
  }
  return sums;
}

// Untrimmed: flux of (x/2, y/2, 0) through the offset, per place v between the levels' parameters, cut at the knots.
InnerSums regular_sums(const InnerSolver& solver, double z0, double z1, int fineness) {
  const int along = fineness == 0 ? 10 : 20;
  const Profile& profile = solver.form().profile();
  const SectionType& type = solver.form().section();
  InnerSums sums;
  for (int piece = 0; piece < type.pieces; ++piece)
    for (const GaussNode& place : type.rule(piece, fineness == 0 ? 10 : 20))
      for (const Band& band : solver.bands()) {
        const double s0 = solver.band_at(band, piece, place.at, z0), s1 = solver.band_at(band, piece, place.at, z1);
        std::vector<double> stops{s0};
        if (!band.arc)
          for (const ProfileSpan& span : profile.spans())
            if (span.begin > s0 && span.begin < s1) stops.push_back(span.begin);
        stops.push_back(s1);
        for (std::size_t i = 1; i < stops.size(); ++i) {
          const double length = stops[i] - stops[i - 1];
          if (!(length > 0)) continue;
          for (const GaussNode& g : gauss_rule(along)) {
            const OffsetJet o = solver.band_point(band, piece, place.at, stops[i - 1] + length * g.at);
            const Vec3 n = cross(o.at_v, o.at_t);
            const double weight = 4 * place.weight * g.weight * length;
            const double slab = 0.5 * weight * (o.at.x * n.x + o.at.y * n.y);
            sums.volume += slab;
            sums.moment += slab * o.at.z;
            sums.area += weight * norm(n);
          }
        }
      }
  return sums;
}

// Trimmed: radius by direction and height. Each upright line is cut at its kinks.
class UprightLine {
 public:
  UprightLine(const InnerSolver& solver, double turn) : solver_(solver), turn_(turn), u_{std::cos(turn), std::sin(turn)} {}

  InnerSums sums(double z0, double z1, int panels) const {
    InnerSums s;
    double a = z0;
    InnerPoint at_a = solver_.solve(u_, a);
    for (int i = 1; i <= panels; ++i) {
      const double b = z0 + (z1 - z0) * i / panels;
      const InnerPoint at_b = solver_.solve(u_, b);
      if (const auto k = solver_.kink(at_a, turn_, a, at_b, turn_, b)) {
        const double m = a + k->fraction * (b - a);
        panel(a, m, at_a, s);
        panel(m, b, k->second, s);
      } else {
        panel(a, b, at_a, s);
      }
      a = b, at_a = at_b;
    }
    return s;
  }

 private:
  void panel(double a, double b, InnerPoint from, InnerSums& s) const {
    for (const GaussNode& g : gauss_rule(10)) {
      const double z = a + (b - a) * g.at;
      from = solver_.follow(from, u_, z);
      const double facing = from.normal.x * u_.x + from.normal.y * u_.y;
      const double slab = 0.5 * g.weight * (b - a) * from.reach * from.reach;
      s.volume += slab;
      s.moment += slab * z;
      s.area += g.weight * (b - a) * from.reach / facing;
    }
  }
  const InnerSolver& solver_;
  double turn_;
  Vec2 u_;
};

InnerSums trimmed_sums(const InnerSolver& solver, double z0, double z1, int fineness) {
  const int panels = fineness == 0 ? 4 : 8;
  const int levels = std::max(4, 2 * static_cast<int>(solver.form().profile().spans().size()));
  InnerSums sums;
  for (int i = 0; i < panels; ++i)
    for (const GaussNode& g : gauss_rule(10)) {
      const double turn = kPi / 2 * (i + g.at) / panels, weight = 4 * kPi / 2 * g.weight / panels;
      const InnerSums line = UprightLine(solver, turn).sums(z0, z1, levels);
      sums.volume += weight * line.volume;
      sums.moment += weight * line.moment;
      sums.area += weight * line.area;
    }
  return sums;
}

// Area within a level curve of the regular inside.
double regular_area(const InnerSolver& solver, double z) {
  const SectionType& type = solver.form().section();
  double sum = 0;
  for (int piece = 0; piece < type.pieces; ++piece)
    for (const GaussNode& place : type.rule(piece, 20))
      for (const Band& band : solver.bands()) {
        const double s = solver.band_at(band, piece, place.at, z);
        const OffsetJet o = solver.band_point(band, piece, place.at, s);
        if (std::abs(o.at.z - z) > 1e-9 * (1 + std::abs(z))) continue;  // another band
        const double s_v = -o.at_v.z / o.at_t.z;
        const Vec3 step = o.at_v + s_v * o.at_t;
        sum += 2 * place.weight * (o.at.x * step.y - o.at.y * step.x);
        break;
      }
  return sum;
}

}  // namespace

InnerSums integrate_inside(const Wall& w, double z0, double z1, int fineness) {
  if (!(z1 > z0)) return {};
  if (!w.solver()) return round_sums(w, z0, z1, fineness);
  return w.solver()->regular() ? regular_sums(*w.solver(), z0, z1, fineness)
                               : trimmed_sums(*w.solver(), z0, z1, fineness);
}

double inner_section_area(const Wall& w, double z) {
  if (!w.solver()) {
    const double r = w.inner_reach(0, z);
    return kPi * r * r;
  }
  if (w.solver()->regular()) return regular_area(*w.solver(), z);
  double sum = 0;
  for (int i = 0; i < 8; ++i)
    sum += integrate(10, kPi / 16 * i, kPi / 16 * (i + 1), [&](double turn) {
      const double r = w.inner_reach(turn, z);
      return 2 * r * r;
    });
  return sum;
}

double recess_area(const Wall& w) { return w.size().recess > 0 ? FootInset(w).area() : 0; }

}  // namespace kerfkiln::urn
