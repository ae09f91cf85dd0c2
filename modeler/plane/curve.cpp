#include "modeler/plane/curve.hpp"

#include <algorithm>

namespace kerfkiln::plane {
namespace {

constexpr double kEndMm = 1e-8;        // a meeting may lie this far outside an end
constexpr double kSameMm = 1e-9;       // curves this close run on one another
constexpr double kTouchMm = 1e-11;     // circles this close touch; well below kSlightMm of raw_offset.cpp
constexpr double kStraightMm = 1e-10;  // an arc this flat is a line
constexpr double kParallel = 1e-9;

Vec2 turned(Vec2 v, double c, double s) { return {c * v.x - s * v.y, s * v.x + c * v.y}; }

// Vanishes on the curve's whole circle or line; near it the signed distance, positive on the right.
double height(const Curve& c, Vec2 p) {
  const Vec2 v = p - c.a;
  return c.curvature * dot(v, v) / 2 - cross(c.ta, v);
}

// Arc length from a to a point of the curve's circle or line; negative before a.
double length_to(const Curve& c, Vec2 p) {
  const Vec2 w = p - c.a;
  const double along = dot(c.ta, w);
  if (c.is_line()) return along;
  const double across = cross(c.ta, w) * (c.curvature > 0 ? 1 : -1), k = std::abs(c.curvature);
  const double chord2 = dot(w, w);
  if (k * k * chord2 < 1e-6) {  // arc from chord, without atan2
    const double chord = std::sqrt(chord2), q = k * k * chord2;
    return std::copysign(chord * (1 + q / 24 * (1 + 9 * q / 80)), along);
  }
  // Half the swept angle is the angle between tangent and chord. Points just before a come out near a full turn.
  double half = std::atan2(across, along);
  if (along < 0 && 2 * half > k * c.length + 1) half = half - 3.14159265358979323846;
  return 2 * half / k;
}

void add(Meetings& m, const Curve& p, const Curve& q, double s, double t, Vec2 at) {
  if (!(s >= -kEndMm && s <= p.length + kEndMm && t >= -kEndMm && t <= q.length + kEndMm)) return;
  if (m.count == static_cast<int>(m.list.size())) return;
  m.list[static_cast<std::size_t>(m.count++)] = {std::clamp(s, 0., p.length), std::clamp(t, 0., q.length), at};
}

void add_point(Meetings& m, const Curve& p, const Curve& q, Vec2 at) {
  add(m, p, q, length_to(p, at), length_to(q, at), at);
}

bool runs_on(const Curve& p, const Curve& q) {
  if (std::abs(height(p, q.a)) > kSameMm || std::abs(height(p, q.b)) > kSameMm) return false;
  return std::abs(height(p, at_length(q, q.length / 2))) <= kSameMm;
}

void add_shared_ends(Meetings& m, const Curve& p, const Curve& q) {
  add(m, p, q, length_to(p, q.a), 0, q.a);
  add(m, p, q, length_to(p, q.b), q.length, q.b);
  add(m, p, q, 0, length_to(q, p.a), p.a);
  add(m, p, q, p.length, length_to(q, p.b), p.b);
}

// The points of a circle on the line through `at` along the unit vector u.
void meet_on_line(Meetings& m, const Curve& p, const Curve& q, const Curve& circle, Vec2 at, Vec2 u) {
  const Vec2 v = at - circle.a;
  // height(at + t u) = k/2 t^2 + slope t + constant
  const double k = circle.curvature, slope = k * dot(v, u) - cross(circle.ta, u), constant = height(circle, at);
  const double discriminant = slope * slope - 2 * k * constant;
  if (std::abs(discriminant) <= 2 * std::abs(k) * kTouchMm) return add_point(m, p, q, at - slope / k * u);
  if (discriminant < 0) return;
  const double root = -(slope + std::copysign(std::sqrt(discriminant), slope));
  add_point(m, p, q, at + 2 * constant / root * u);
  add_point(m, p, q, at + root / k * u);
}

void meet_lines(Meetings& m, const Curve& p, const Curve& q) {
  const double turn = cross(p.ta, q.ta);
  const Vec2 d = q.a - p.a;
  if (std::abs(turn) < kParallel) {
    if (runs_on(p, q) || runs_on(q, p)) return add_shared_ends(m, p, q);
    if (turn == 0) return;
  }
  const double s = cross(d, q.ta) / turn, t = cross(d, p.ta) / turn;
  add(m, p, q, s, t, p.a + s * p.ta);
}

void meet_circles(Meetings& m, const Curve& p, const Curve& q) {
  // k_q height_p - k_p height_q is linear: the line through both meeting points. Its gradient, over the larger
  // curvature:
  const double largest = std::max(std::abs(p.curvature), std::abs(q.curvature));
  const double kp = p.curvature / largest, kq = q.curvature / largest;
  const Vec2 d = q.a - p.a;
  const Vec2 gradient = kp * left(q.ta) - kq * left(p.ta) + kp * q.curvature * d;
  const double size2 = dot(gradient, gradient);
  if (size2 < 1e-24) return;  // one centre
  const double constant = -kp * q.curvature * dot(d, d) / 2 - kp * dot(d, left(q.ta));
  const Curve& tight = std::abs(p.curvature) > std::abs(q.curvature) ? p : q;
  const Vec2 foot = p.a - constant / size2 * gradient, u = left(gradient) / std::sqrt(size2);
  // Start near the tighter circle, where its height is well conditioned.
  meet_on_line(m, p, q, tight, foot + dot(tight.a - foot, u) * u, u);
}

}  // namespace

Curve curve(const Segment& s) {
  Curve c;
  c.a = s.a;
  c.b = s.b;
  const Vec2 chord = s.b - s.a;
  const double length = norm(chord);
  const Vec2 u = chord / length;
  if (std::abs(s.bulge) * length <= 2 * kStraightMm) {
    c.ta = c.tb = u;
    c.length = length;
    return c;
  }
  const double q = s.bulge * s.bulge, cosine = (1 - q) / (1 + q), sine = 2 * s.bulge / (1 + q);  // of half the sweep
  c.bulge = s.bulge;
  c.ta = turned(u, cosine, -sine);
  c.tb = turned(u, cosine, sine);
  c.curvature = 2 * sine / length;
  c.length = length * (1 + q) * std::atan(s.bulge) / s.bulge;
  return c;
}

double distance(const Curve& c, Vec2 p) {
  const Vec2 v = p - c.a, w = p - c.b;
  const double along = dot(c.ta, v);
  if (along < 0 || dot(c.tb, w) > 0) return std::sqrt(std::min(dot(v, v), dot(w, w)));
  if (c.is_line()) return std::abs(cross(c.ta, v));
  const double h = height(c, p);
  // |p - centre| / r = sqrt(1 + 2 k height)
  return std::abs(2 * h) / (1 + std::sqrt(std::max(0., 1 + 2 * c.curvature * h)));
}

Box box(const Curve& c, double margin) {
  const double reach = margin + (c.is_line() ? 0 : std::abs(c.bulge) * norm(c.b - c.a) / 2);
  return {{std::min(c.a.x, c.b.x) - reach, std::min(c.a.y, c.b.y) - reach},
          {std::max(c.a.x, c.b.x) + reach, std::max(c.a.y, c.b.y) + reach}};
}

Vec2 at_length(const Curve& c, double s) {
  if (c.is_line()) return c.a + s * c.ta;
  const double half = c.curvature * s / 2;
  return c.a +
         (std::abs(half) < 1e-8 ? s : 2 * std::sin(half) / c.curvature) * turned(c.ta, std::cos(half), std::sin(half));
}

Vec2 tangent_at_length(const Curve& c, double s) {
  if (c.is_line()) return c.ta;
  return turned(c.ta, std::cos(c.curvature * s), std::sin(c.curvature * s));
}

Meetings meetings(const Curve& p, const Curve& q) {
  Meetings m;
  if (p.is_line() && q.is_line()) {
    meet_lines(m, p, q);
  } else if (p.is_line() != q.is_line()) {
    const Curve &line = p.is_line() ? p : q, &arc = p.is_line() ? q : p;
    meet_on_line(m, p, q, arc, line.a + dot(arc.a - line.a, line.ta) * line.ta, line.ta);
  } else if (runs_on(p, q)) {
    add_shared_ends(m, p, q);
  } else {
    meet_circles(m, p, q);
  }
  return m;
}

}  // namespace kerfkiln::plane
