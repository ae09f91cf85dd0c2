#include "modeler/urn/inner_solver.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace kerfkiln::urn {
namespace {

constexpr double kEmptyPiece = 1e-10;  // of the wall: no flat left, or no radius
constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Entry of the ray (direction, z) into the ball about a point of the outside.
struct Entry {
  double e = kInfinity;
  Vec2 off;      // of the point from the ray: sideways, up
  double s = 0;  // half chord
};

Entry entry(Vec3 p, Vec2 u, double z, double wall) {
  Entry r;
  r.off = {u.x * p.y - u.y * p.x, p.z - z};
  const double square = wall * wall - dot(r.off, r.off);
  if (square <= 0) return r;
  r.s = std::sqrt(square);
  r.e = u.x * p.x + u.y * p.y - r.s;
  return r;
}

struct Model {
  Vec3 at;  // of the outside
  double e = kInfinity, e_t = 0, e_v = 0, e_tt = 0, e_tv = 0, e_vv = 0;
};

Model model(const SurfaceJet& j, Vec2 u, double z, double wall) {
  Model m;
  const Entry r = entry(j.p, u, z, wall);
  m.at = j.p;
  m.e = r.e;
  if (r.e == kInfinity) return m;
  const double inverse = 1 / r.s;
  const auto along = [&](Vec3 d) { return u.x * d.x + u.y * d.y; };
  const auto aside = [&](Vec3 d) { return Vec2{u.x * d.y - u.y * d.x, d.z}; };
  const Vec2 ot = aside(j.p_t), ov = aside(j.p_v);
  const double pt = dot(r.off, ot) * inverse, pv = dot(r.off, ov) * inverse;
  m.e_t = along(j.p_t) + pt;
  m.e_v = along(j.p_v) + pv;
  m.e_tt = along(j.p_tt) + (dot(ot, ot) + dot(r.off, aside(j.p_tt)) + pt * pt) * inverse;
  m.e_tv = along(j.p_tv) + (dot(ot, ov) + dot(r.off, aside(j.p_tv)) + pt * pv) * inverse;
  m.e_vv = along(j.p_vv) + (dot(ov, ov) + dot(r.off, aside(j.p_vv)) + pv * pv) * inverse;
  return m;
}

// A step that goes down: Newton's where the model is convex. Else the same with the curvatures' absolute values along
// the model's own axes (spans and pieces as units), so that it follows a curved valley; no longer than a tenth.
// True: Newton's, in all that moves.
bool newton_step(const Model& m, bool move_t, bool move_v, double scale_t, double& dt, double& dv) {
  dt = dv = 0;
  constexpr double kLongest = 0.1;
  if (move_t && move_v) {
    const double det = m.e_tt * m.e_vv - m.e_tv * m.e_tv;
    if (m.e_tt > 0 && det > 1e-14 * m.e_tt * std::abs(m.e_vv)) {
      dt = (-m.e_t * m.e_vv + m.e_v * m.e_tv) / det;
      dv = (-m.e_v * m.e_tt + m.e_t * m.e_tv) / det;
      return true;
    }
    const double a = m.e_tt * scale_t * scale_t, b = m.e_tv * scale_t, c = m.e_vv;
    const double half = 0.5 * (a - c), root = std::sqrt(half * half + b * b), mean = 0.5 * (a + c);
    // The axis of the larger curvature.
    Vec2 axis = half >= 0 ? Vec2{half + root, b} : Vec2{b, root - half};
    axis = root > 0 ? unit(axis) : Vec2{1, 0};
    const Vec2 g{m.e_t * scale_t, m.e_v}, other = left(axis);
    const double high = std::abs(mean + root), low = std::abs(mean - root), least = 1e-6 * std::max(high, low);
    Vec2 step = -(dot(g, axis) / std::max(high, least)) * axis - (dot(g, other) / std::max(low, least)) * other;
    if (const double length = norm(step); length > kLongest) step = (kLongest / length) * step;
    dt = step.x * scale_t, dv = step.y;
    return false;
  }
  if (move_t) dt = m.e_tt > 0 ? -m.e_t / m.e_tt : std::copysign(kLongest * scale_t, -m.e_t);
  if (move_v) dv = m.e_vv > 0 ? -m.e_v / m.e_vv : std::copysign(kLongest, -m.e_v);
  return (!move_t || m.e_tt > 0) && (!move_v || m.e_vv > 0);
}

}  // namespace

InnerSolver::InnerSolver(const Form& form, double wall, double floor)
    : form_(std::make_shared<const Form>(form)), wall_(wall), floor_(floor) {
  find_level_places();
  judge();
  if (!regular_) sample();
}

InnerSolver InnerSolver::at_size(const Form& form, double wall, double floor) const {
  InnerSolver s = *this;
  s.form_ = std::make_shared<const Form>(form);
  s.wall_ = wall, s.floor_ = floor;
  s.level_places_.clear();
  s.find_level_places();
  return s;
}

void InnerSolver::find_level_places() {
  const auto& spans = form_->profile().spans();
  for (int k = 0; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    if (s.level_begin) level_places_.push_back({k, s.begin, s.height[0]});
    if (s.level_end) level_places_.push_back({k, s.begin + s.length, value(s.height, s.length)});
  }
}

// The point of the outside that the ray itself meets: always a valid start.
InnerPoint InnerSolver::direct(Vec2 u, double z) const {
  const double t = form_->profile().at_height(z);
  return straight(u, form_->profile().span_of(t), t, 1e-6);
}

// The point of a station in a direction, its place known to `fine`.
InnerPoint InnerSolver::straight(Vec2 u, int span, double t, double fine) const {
  InnerPoint x;
  x.t = t, x.span = span;
  const ProfileJet at = form_->profile().at(x.span, x.t);
  const SectionSize size = at.size;
  const SectionType& type = form_->section();
  int quadrant = 0;
  if (form_->twisted()) {
    const double c = std::cos(at.twist), s = std::sin(at.twist);
    u = {c * u.x + s * u.y, c * u.y - s * u.x};
    quadrant = u.y >= 0 ? (u.x >= 0 ? 0 : 1) : (u.x < 0 ? 2 : 3);
    u = {std::abs(u.x), std::abs(u.y)};
  }
  const auto side = [&](int piece, double v) { return cross(u, type.point(size, piece, v)); };
  for (x.piece = 0; x.piece + 1 < type.pieces && side(x.piece, 1) < 0; ++x.piece) {
  }
  double lo = 0, hi = 1, flo = side(x.piece, 0), fhi = side(x.piece, 1);
  if (flo >= 0) {
    x.v = 0;
  } else if (fhi <= 0) {
    x.v = 1;
  } else {
    // Only a start: a few steps of false position are near enough as a rule.
    const int most = fine < 1e-7 ? 60 : 8;
    for (int i = 0; i < most && hi - lo > fine; ++i) {
      const double m = std::clamp(lo - flo * (hi - lo) / (fhi - flo), lo + 0.02 * (hi - lo), hi - 0.02 * (hi - lo));
      const double f = side(x.piece, m);
      (f < 0 ? lo : hi) = m;
      (f < 0 ? flo : fhi) = f;
    }
    x.v = lo - flo * (hi - lo) / (fhi - flo);
  }
  if (quadrant % 2) x.piece = type.pieces - 1 - x.piece, x.v = 1 - x.v;
  x.piece += quadrant * type.pieces;
  return x;
}

// Projected Newton inside one span and piece. True when the foot moved.
bool InnerSolver::descend(InnerPoint& x, Vec3& at, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
  const double t0 = s.begin, t1 = s.begin + s.length;
  const double from_t = x.t, from_v = x.v;
  const auto look = [&](double t, double v) {
    return model(form_->jet(profile.at(x.span, t), x.piece, v), u, z, wall_);
  };
  const auto moves_t = [&](const Model& m, double t) { return !((t <= t0 && m.e_t > 0) || (t >= t1 && m.e_t < 0)); };
  const auto moves_v = [](const Model& m, double v) {
    return m.e_vv != 0 && !((v <= 0 && m.e_v > 0) || (v >= 1 && m.e_v < 0));
  };
  const auto steep = [&](const Model& m, double t, double v) {
    return norm(Vec2{moves_t(m, t) ? m.e_t * s.length : 0, moves_v(m, v) ? m.e_v : 0});
  };
  Model m = look(x.t, x.v);
  at = m.at;
  if (m.e == kInfinity) return false;
  double before = 0;  // the last step, of span and piece, where it was Newton's and taken whole
  for (int i = 0; i < 60; ++i) {
    double dt, dv;
    const bool newton = newton_step(m, moves_t(m, x.t), moves_v(m, x.v), s.length, dt, dv);
    const double step = norm(Vec2{dt / s.length, dv});
    if (step <= 1e-15) break;
    // At rounding level the slope still improves the foot although the value no longer does.
    const bool blind = newton && -(m.e_t * dt + m.e_v * dv) <= 1e-13 * (wall_ + std::abs(m.e));
    bool better = false, whole = true;
    for (int cut = 0; cut < 30 && !better; ++cut, dt *= 0.4, dv *= 0.4) {
      const double t = std::clamp(x.t + dt, t0, t1), v = std::clamp(x.v + dv, 0.0, 1.0);
      const Model next = look(t, v);
      better = next.e < m.e || (blind && next.e < kInfinity && steep(next, t, v) < steep(m, x.t, x.v));
      if (better) x.t = t, x.v = v, m = next;
      whole = cut == 0;
      if (blind || next.e == m.e) break;
    }
    if (!better) break;
    // The next step would be about step (step / before)^2: too small to matter.
    constexpr double kSmallest = 1e-15;
    if (newton && whole && step * step * step <= kSmallest * before * before) break;
    before = newton && whole ? step : 0;
  }
  at = m.at;
  x.reach = m.e;
  return x.t != from_t || x.v != from_v;
}

// Descends across spans and pieces until no neighbour goes further down.
InnerPoint InnerSolver::settle(InnerPoint x, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const int spans = static_cast<int>(profile.spans().size()), pieces = form_->pieces();
  const bool all_round = form_->twisted();
  x.reach = kInfinity;
  // On an axis a sharp section is stationary without being nearest: start a little aside.
  constexpr double kAside = 0.01;
  const double aside = std::clamp(x.v, kAside, 1 - kAside);
  if (!regular_ && aside != x.v && entry(form_->point(x.t, x.piece, aside), u, z, wall_).e < kInfinity) x.v = aside;
  Vec3 foot, other;
  descend(x, foot, u, z);
  const auto goes_down = [&](InnerPoint& y) {
    const double before = x.reach;
    y.reach = kInfinity;
    descend(y, other, u, z);
    return y.reach < before - 1e-13 * (wall_ + std::abs(before));
  };
  for (int hop = 0; hop < 40; ++hop) {
    const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
    bool moved = false;
    const auto attempt = [&](InnerPoint y) {
      if (!moved && goes_down(y)) x = y, foot = other, moved = true;
    };
    if (x.t <= s.begin && x.span > 0) {
      InnerPoint y = x;
      --y.span;
      attempt(y);
    }
    if (x.t >= s.begin + s.length && x.span + 1 < spans) {
      InnerPoint y = x;
      ++y.span;
      y.t = profile.spans()[static_cast<std::size_t>(y.span)].begin;
      attempt(y);
    }
    // A piece may be empty here (no flat left, no radius): look past it.
    for (int step = 1; step < pieces && !moved; ++step) {
      if (x.v <= 0 && (all_round || x.piece - step >= 0)) {
        InnerPoint y = x;
        y.piece = (y.piece - step + pieces) % pieces, y.v = 1;
        attempt(y);
      }
      if (!moved && x.v >= 1 && (all_round || x.piece + step < pieces)) {
        InnerPoint y = x;
        y.piece = (y.piece + step) % pieces, y.v = 0;
        attempt(y);
      }
      if (step == 3) break;
    }
    if (!moved) break;
  }
  x.normal = (foot - Vec3{x.reach * u.x, x.reach * u.y, z}) / wall_;
  return x;
}

bool InnerSolver::meets(const InnerPoint& x, Vec2 u, double z) const {
  return entry(form_->point(x.t, x.piece, x.v), u, z, wall_).e < kInfinity;
}

InnerPoint InnerSolver::follow(const InnerPoint& guess, const InnerPoint& from, Vec2 u, double z) const {
  InnerPoint x = settle(guess, u, z);
  if (!(x.reach < kInfinity) && &guess != &from) x = settle(from, u, z);
  // Under a sheet that is almost level the balls hardly touch the ray; that of the same station in the ray's direction
  // does as a rule.
  if (!(x.reach < kInfinity)) x = settle(straight(u, guess.span, guess.t, 1e-14), u, z);
  // A start outside the balls' reach has no value to descend from: begin at the direct point then.
  return x.reach < kInfinity ? x : settle(direct(u, z), u, z);
}

double InnerSolver::sector() const { return form_->twisted() ? std::numbers::pi : std::numbers::pi / 2; }

Vec2 InnerSolver::direction(double turn, double z) const {
  if (!form_->twisted()) return quarter_direction(turn);
  if (turn >= std::numbers::pi) return -direction(turn - std::numbers::pi, z);
  const double a = turn + form_->profile().at(form_->profile().at_height(z)).twist;
  return {std::cos(a), std::sin(a)};
}

InnerPoint InnerSolver::reach(double turn, double z) const {
  if (form_->twisted()) return solve({std::cos(turn), std::sin(turn)}, z);
  const double c = std::cos(turn), s = std::sin(turn);
  InnerPoint x = solve({std::abs(c), std::abs(s)}, z);
  x.normal.x = std::copysign(x.normal.x, c);
  x.normal.y = std::copysign(x.normal.y, s);
  return x;
}

Vec2 quarter_direction(double turn) {
  if (turn <= 0) return {1, 0};
  if (turn >= std::numbers::pi / 2) return {0, 1};
  return {std::cos(turn), std::sin(turn)};
}

SurfaceJet InnerSolver::jet_near(int span, double t, const FormPlace& x) const {
  const SurfaceJet j = form_->jet_at(form_->profile().at(span, t), x);
  if (norm(j.p_v) > kEmptyPiece * wall_) return j;
  // The piece is empty at this station: its normal is the limit from inside the span.
  const ProfileSpan& s = form_->profile().spans()[static_cast<std::size_t>(span)];
  const double inner = t + 1e-6 * (s.begin + 0.5 * s.length - t);
  SurfaceJet near = form_->jet_at(form_->profile().at(span, inner), x);
  near.p = j.p;
  return near;
}

OffsetJet InnerSolver::offset(int span, double t, const FormPlace& x) const {
  const SurfaceJet j = jet_near(span, t, x);
  const Vec3 big = cross(j.p_v, j.p_t);
  const double length = norm(big);
  OffsetJet o;
  o.normal = big / length;
  const auto turn = [&](Vec3 d) { return (d - dot(d, o.normal) * o.normal) / length; };
  o.normal_t = turn(cross(j.p_tv, j.p_t) + cross(j.p_v, j.p_tt));
  o.normal_v = turn(cross(j.p_vv, j.p_t) + cross(j.p_v, j.p_tv));
  o.at = j.p - wall_ * o.normal;
  o.at_t = j.p_t - wall_ * o.normal_t;
  o.at_v = j.p_v - wall_ * o.normal_v;
  return o;
}

Vec3 InnerSolver::inner_point(int span, double t, int piece, double v) const {
  const SurfaceJet j = jet_near(span, t, form_->place(piece, v));
  return j.p - wall_ * unit(cross(j.p_v, j.p_t));
}

}  // namespace kerfkiln::urn
