// Where a point lies with respect to an outline.
#include <algorithm>
#include <limits>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kOnBoundaryMm = 1e-9;

// Crossings of the ray from p towards +x with a piece of a curve that is monotone in y. Each end is compared by y alone
// and half-open, so that pieces that share an end never count it twice, whatever the rounding of the rest.
int crossing(Vec2 a, Vec2 b, Vec2 p, bool right_of_p) {
  if ((a.y <= p.y) == (b.y <= p.y)) return 0;
  if (!right_of_p) return 0;
  return a.y < b.y ? 1 : -1;
}

int line_crossing(Vec2 a, Vec2 b, Vec2 p) {
  if ((a.y <= p.y) == (b.y <= p.y)) return 0;
  const double turn = cross(b - a, p - a);
  return crossing(a, b, p, a.y < b.y ? turn > 0 : turn < 0);
}

// The arc from a to b, monotone in y, sense +1 counter-clockwise.
int monotone_arc_crossing(Vec2 a, Vec2 b, Vec2 centre, double radius, double sense, Vec2 p) {
  if ((a.y <= p.y) == (b.y <= p.y)) return 0;
  const bool up = a.y < b.y;
  const bool right_half = up == (sense > 0);  // counter-clockwise arcs climb on the right of their centre
  const bool within = norm(p - centre) < radius;
  const bool right_of_p = right_half ? p.x < centre.x || within : p.x < centre.x && !within;
  return crossing(a, b, p, right_of_p);
}

int arc_crossing(const Segment& s, Vec2 p) {
  // Clear of a box about it the arc counts as its chord does: to the left of it all that it crosses, else nothing.
  const double reach = 0.51 * norm(s.b - s.a);  // the sagitta of a half circle, and a little more
  if (p.y < std::min(s.a.y, s.b.y) - reach || p.y > std::max(s.a.y, s.b.y) + reach ||
      p.x > std::max(s.a.x, s.b.x) + reach)
    return 0;
  if (p.x < std::min(s.a.x, s.b.x) - reach) return crossing(s.a, s.b, p, true);
  const Vec2 centre = s.centre();
  const double radius = s.radius(), sense = s.bulge > 0 ? 1 : -1;
  const Vec2 start = s.tangent(0), end = s.tangent(1);
  Vec2 from = s.a;
  int sum = 0;
  // At most two horizontal tangents, met in the order in which the arc turns: the one whose tangent leaves upwards
  // crossing comes where the tangent passes +x or -x.
  const double first = sense * start.y < 0 ? 1 : -1;  // x of the horizontal tangent met first
  for (const double x : {first, -first}) {
    const Vec2 along{x, 0};
    if (!(sense * cross(start, along) > 0 && sense * cross(along, end) > 0)) continue;
    const Vec2 turn = centre + radius * (sense * right(along));
    sum += monotone_arc_crossing(from, turn, centre, radius, sense, p);
    from = turn;
  }
  return sum + monotone_arc_crossing(from, s.b, centre, radius, sense, p);
}

bool near_box(const Segment& s, Vec2 p, double margin) {
  const double reach = margin + (s.is_line() ? 0 : norm(s.b - s.a) / 2);  // sagitta of a half circle at most
  return p.x >= std::min(s.a.x, s.b.x) - reach && p.x <= std::max(s.a.x, s.b.x) + reach &&
         p.y >= std::min(s.a.y, s.b.y) - reach && p.y <= std::max(s.a.y, s.b.y) + reach;
}

bool on_loop(const Loop& loop, Vec2 p) {
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    if (near_box(s, p, kOnBoundaryMm) && nearest(s, p).distance <= kOnBoundaryMm) return true;
  }
  return false;
}

Foot nearest_on_line(const Segment& s, Vec2 p) {
  const Vec2 d = s.b - s.a;
  const double length2 = dot(d, d);
  const double t = length2 > 0 ? std::clamp(dot(p - s.a, d) / length2, 0., 1.) : 0;
  const Vec2 foot = s.point(t);
  if (t <= 0 || t >= 1) return {foot, norm(p - foot), t};
  return {foot, std::abs(cross(d, p - s.a)) / std::sqrt(length2), t};
}

}  // namespace

Foot nearest(const Segment& s, Vec2 p) {
  if (s.is_line()) return nearest_on_line(s, p);
  const Vec2 start = s.tangent(0), end = s.tangent(1), v = p - s.a;
  // The normals at both ends bound the wedge of points whose foot is inside the arc (sweep <= pi).
  if (dot(start, v) < 0 || dot(end, p - s.b) > 0) {
    const double to_a = norm(v), to_b = norm(p - s.b);
    return to_a <= to_b ? Foot{s.a, to_a, 0} : Foot{s.b, to_b, 1};
  }
  const double sense = s.bulge > 0 ? 1 : -1, curvature = 1 / s.radius();
  const Vec2 to_centre = sense * left(start);
  // |p - c| - r written without the centre, which lies far away when the arc is flat.
  const Vec2 radial = curvature * v - to_centre;  // (p - c) / r
  const double reach = norm(radial);
  if (reach == 0) return {s.a, s.radius(), 0};
  const double height = (curvature * dot(v, v) - 2 * dot(v, to_centre)) / (reach + 1);
  const Vec2 foot = p - height / reach * radial;
  const Vec2 w = foot - s.a;
  const double sweep = std::abs(s.sweep());
  const double t =
      sweep < 1e-6 ? norm(w) / norm(s.b - s.a) : 2 * std::atan2(sense * cross(start, w), dot(start, w)) / sweep;
  return {foot, std::abs(height), std::clamp(t, 0., 1.)};
}

int winding(const Loop& loop, Vec2 p) {
  int sum = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    sum += s.is_line() ? line_crossing(s.a, s.b, p) : arc_crossing(s, p);
  }
  return sum;
}

bool contains(const Outline& outline, Vec2 p) {
  int sum = winding(outline.outer, p);
  for (const Loop& hole : outline.holes) sum += winding(hole, p);
  if (sum != 0) return true;
  if (on_loop(outline.outer, p)) return true;
  return std::any_of(outline.holes.begin(), outline.holes.end(), [&](const Loop& hole) { return on_loop(hole, p); });
}

Nearest nearest(const Outline& outline, Vec2 p) {
  Nearest best;
  best.distance = std::numeric_limits<double>::infinity();
  const auto visit = [&](const Loop& loop, int index) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const Segment s = segment(loop, i);
      if (!near_box(s, p, best.distance)) continue;
      const Foot foot = nearest(s, p);
      if (foot.distance < best.distance) best = {foot.point, foot.distance, index, static_cast<int>(i), foot.t};
    }
  };
  visit(outline.outer, 0);
  for (std::size_t h = 0; h < outline.holes.size(); ++h) visit(outline.holes[h], static_cast<int>(h) + 1);
  return best;
}

}  // namespace kerfkiln::plane
