#include "modeler/plane/fit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace kerfkiln::plane {
namespace {

constexpr int kSamples = 9;   // of the curve, per biarc
constexpr int kDeepest = 24;  // halvings; a curve that still misses has a corner inside
constexpr double kStraight = 1e-12;

// Bulge of the arc from a to b that leaves a along `tangent`.
double bulge_leaving(Vec2 a, Vec2 b, Vec2 tangent) {
  const Vec2 chord = b - a;
  const double half_sweep = std::atan2(cross(tangent, chord), dot(tangent, chord));
  return std::abs(half_sweep) < kStraight ? 0 : std::tan(half_sweep / 2);
}
double bulge_arriving(Vec2 a, Vec2 b, Vec2 tangent) { return -bulge_leaving(b, a, -tangent); }

struct Biarc {
  Vertex first, second;  // second starts at the joint
  Vec2 end;
};

Biarc biarc(const CurvePoint& p, const CurvePoint& q, int side) {
  const Vec2 v = q.at - p.at, t0 = unit(p.tangent), t1 = unit(q.tangent), t = t0 + t1;
  const double vv = dot(v, v), vt = dot(v, t), spread = 2 * (1 - dot(t0, t1));
  // Both control lengths equal: spread d^2 + 2 (v.t) d - v.v = 0, its positive root in the form that keeps digits.
  const double root = std::sqrt(std::max(0.0, vt * vt + spread * vv));
  const double d = vv / (vt + root);
  const Vec2 joint = 0.5 * (p.at + q.at + d * (t0 - t1));
  return {{p.at, bulge_leaving(p.at, joint, t0), side}, {joint, bulge_arriving(joint, q.at, t1), side}, q.at};
}

double distance_to(const Segment& s, Vec2 p) {
  if (s.is_line()) {
    const Vec2 d = s.b - s.a;
    const double length2 = dot(d, d);
    const double along = length2 > 0 ? std::clamp(dot(p - s.a, d) / length2, 0.0, 1.0) : 0.0;
    return norm(p - (s.a + along * d));
  }
  const Vec2 c = s.centre();
  const double turn = std::copysign(1.0, s.bulge);
  double angle = turn * std::atan2(cross(s.a - c, p - c), dot(s.a - c, p - c));
  if (angle < 0) angle += 2 * std::numbers::pi;
  if (angle <= std::abs(s.sweep())) return std::abs(norm(p - c) - s.radius());
  return std::min(norm(p - s.a), norm(p - s.b));
}

bool within(const Biarc& b, const CurveFunction& curve, double from, double to, double tolerance) {
  // An arc beyond a half turn is legal nowhere in the program and never close to a short piece of curve.
  if (!(std::abs(b.first.bulge) <= 1 && std::abs(b.second.bulge) <= 1)) return false;
  const Segment s{b.first.at, b.second.at, b.first.bulge}, r{b.second.at, b.end, b.second.bulge};
  for (int i = 1; i <= kSamples; ++i) {
    const Vec2 p = curve(from + (to - from) * i / (kSamples + 1)).at;
    if (std::min(distance_to(s, p), distance_to(r, p)) > tolerance) return false;
  }
  return true;
}

void fit(const CurveFunction& curve, double from, const CurvePoint& p, double to, const CurvePoint& q, double tolerance,
         int side, int depth, Loop& out) {
  const Biarc b = biarc(p, q, side);
  if (depth >= kDeepest || within(b, curve, from, to, tolerance)) {
    const bool straight = b.first.bulge == 0 && b.second.bulge == 0;
    out.push_back(b.first);
    if (!straight && b.second.at != b.first.at && b.second.at != b.end) out.push_back(b.second);
    return;
  }
  const double middle = 0.5 * (from + to);
  const CurvePoint m = curve(middle);
  fit(curve, from, p, middle, m, tolerance, side, depth + 1, out);
  fit(curve, middle, m, to, q, tolerance, side, depth + 1, out);
}

}  // namespace

Loop fitted(const CurveFunction& curve, double from, double to, double tolerance_mm, int side) {
  const CurvePoint p = curve(from), q = curve(to);
  Loop out;
  fit(curve, from, p, to, q, tolerance_mm, side, 0, out);
  out.push_back({q.at, 0, side});
  return out;
}

}  // namespace kerfkiln::plane
