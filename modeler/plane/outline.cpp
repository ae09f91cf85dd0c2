#include "modeler/plane/outline.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

#include "modeler/base/tolerance.hpp"

namespace kerfkiln::plane {
namespace {

Vec2 turned(Vec2 v, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {c * v.x - s * v.y, s * v.x + c * v.y};
}

// Area between a chord of length 1 and its arc, divided by the bulge, less its limit 1/3 at flat arcs: a function
// without cancellation there. Closed form ((1 + b^2)^2 atan b - b (1 - b^2)) / (8 b^3) - 1/3; its power series has the
// terms (-1)^k b^(2k - 2) / ((2k + 1)(2k - 1)(2k - 3)), k = 2, 3, ...
double cap_excess(double b) {
  const double q = b * b;
  if (std::abs(b) >= 0.1) return ((1 + q) * (1 + q) * std::atan(b) - b * (1 - q)) / (8 * q * b) - 1. / 3;
  double sum = 0, power = q;
  for (int k = 2; k <= 9; ++k) {
    sum += power / ((2. * k + 1) * (2. * k - 1) * (2. * k - 3));
    power *= -q;
  }
  return sum;
}

struct Moments {
  double area = 0;
  Vec2 first;  // area times centroid, about the origin it was asked for
};

Moments moments(const Loop& loop, Vec2 origin) {
  Moments m;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    const Vec2 a = s.a - origin, b = s.b - origin;
    const double triangle = cross(a, b) / 2;
    m.area += triangle;
    m.first = m.first + triangle / 3 * (a + b);
    if (s.is_line()) continue;
    const Vec2 chord = b - a;
    const double c2 = dot(chord, chord), q = s.bulge * s.bulge, excess = cap_excess(s.bulge);
    const double cap = s.bulge * (1. / 3 + excess) * c2;
    // First moment of the cap: cap times centre plus c^3 / 12 away from it; both diverge for flat arcs, their sum does
    // not, hence the moment about the middle of the chord.
    const double away = c2 * (q / 3 - excess * (1 - q)) / 4;
    m.area += cap;
    m.first = m.first + cap * 0.5 * (a + b) + away * right(chord);
  }
  return m;
}

void widen(Box& box, Vec2 p) {
  box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y)};
  box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y)};
}

Box nothing() {
  constexpr double inf = std::numeric_limits<double>::infinity();
  return {{inf, inf}, {-inf, -inf}};
}

}  // namespace

Vec2 Segment::centre() const { return 0.5 * (a + b) + (1 - bulge * bulge) / (4 * bulge) * left(b - a); }

double Segment::radius() const { return norm(b - a) * (1 + bulge * bulge) / (4 * std::abs(bulge)); }

double Segment::length() const {
  const double chord = norm(b - a);
  return is_line() ? chord : chord * (1 + bulge * bulge) * (std::atan(bulge) / bulge);
}

Vec2 Segment::point(double t) const {
  if (t == 1) return b;
  if (is_line()) return a + t * (b - a);
  // The chord from a to the point, which needs no centre and so stays exact for flat arcs.
  const double half = sweep() / 2;
  return a + std::sin(t * half) / std::sin(half) * turned(b - a, half * (t - 1));
}

Vec2 Segment::tangent(double t) const {
  const Vec2 u = unit(b - a);
  return is_line() ? u : turned(u, sweep() * (t - 0.5));
}

Segment segment(const Loop& loop, std::size_t i) {
  return {loop[i].at, loop[i + 1 == loop.size() ? 0 : i + 1].at, loop[i].bulge};
}

Segment part(const Segment& s, double t0, double t1) {
  return {s.point(t0), s.point(t1), s.is_line() ? 0 : std::tan((t1 - t0) * std::atan(s.bulge))};
}

double area(const Loop& loop) { return loop.empty() ? 0 : moments(loop, loop[0].at).area; }

double area(const Outline& outline) {
  double sum = area(outline.outer);
  for (const Loop& hole : outline.holes) sum += area(hole);
  return sum;
}

double perimeter(const Loop& loop) {
  double sum = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) sum += segment(loop, i).length();
  return sum;
}

double perimeter(const Outline& outline) {
  double sum = perimeter(outline.outer);
  for (const Loop& hole : outline.holes) sum += perimeter(hole);
  return sum;
}

Vec2 centroid(const Outline& outline) {
  if (outline.outer.empty()) return {};
  const Vec2 origin = outline.outer[0].at;
  Moments sum = moments(outline.outer, origin);
  for (const Loop& hole : outline.holes) {
    const Moments m = moments(hole, origin);
    sum.area += m.area;
    sum.first = sum.first + m.first;
  }
  return origin + sum.first / sum.area;
}

Box bounds(const Loop& loop) {
  Box box = nothing();
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    widen(box, s.a);
    if (s.is_line()) continue;
    const Vec2 centre = s.centre(), start = s.tangent(0), end = s.tangent(1);
    const double r = s.radius(), sense = s.bulge > 0 ? 1 : -1;
    for (const Vec2 d : {Vec2{1, 0}, Vec2{0, 1}, Vec2{-1, 0}, Vec2{0, -1}}) {
      // The extreme in direction d has the tangent sense * left(d); it counts if the arc passes through it.
      const Vec2 along = sense * left(d);
      if (sense * cross(start, along) > 0 && sense * cross(along, end) > 0) widen(box, centre + r * d);
    }
  }
  return box;
}

Box bounds(const Outline& outline) { return bounds(outline.outer); }

Loop reversed(const Loop& loop) {
  Loop out;
  out.reserve(loop.size());
  const std::size_t n = loop.size();
  for (std::size_t k = 0; k < n; ++k) {
    const Vertex& from = loop[n - 1 - k];  // segment n - 1 - k run backwards starts at the next vertex
    out.push_back({loop[(n - k) % n].at, -from.bulge, from.side});
  }
  return out;
}

Loop moved(const Loop& loop, Vec2 by) {
  Loop out = loop;
  for (Vertex& v : out) v.at = v.at + by;
  return out;
}

Loop mirrored_x(const Loop& loop) {
  Loop out = reversed(loop);
  for (Vertex& v : out) {
    v.at.x = -v.at.x;
    v.bulge = -v.bulge;
  }
  return out;
}

Outline moved(const Outline& outline, Vec2 by) {
  Outline out = outline;
  out.outer = moved(outline.outer, by);
  for (Loop& hole : out.holes) hole = moved(hole, by);
  return out;
}

Outline mirrored(const Outline& outline) {
  const Box box = bounds(outline);
  const Vec2 back{box.low.x + box.high.x, 0};
  Outline out = outline;
  out.outer = moved(mirrored_x(outline.outer), back);
  for (Loop& hole : out.holes) hole = moved(mirrored_x(hole), back);
  return out;
}

Outline snapped(Outline outline) {
  const auto snap = [](Loop& loop) {
    for (Vertex& v : loop) v.at = {snap_to_plan_grid(v.at.x), snap_to_plan_grid(v.at.y)};
  };
  snap(outline.outer);
  for (Loop& hole : outline.holes) snap(hole);
  return outline;
}

std::vector<Vec2> flattened(const Loop& loop, double deviation_mm) {
  std::vector<Vec2> out;
  out.reserve(loop.size());
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    out.push_back(s.a);
    if (s.is_line()) continue;
    // Chord deviation r (1 - cos(h / 2)) = 2 r sin^2(h / 4) for a step h.
    const double root = std::sqrt(deviation_mm / (2 * s.radius()));
    const double step = root >= 1 ? 2 * std::numbers::pi : 4 * std::asin(root);
    const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(s.sweep()) / step - 1e-9)));
    for (int k = 1; k < steps; ++k) out.push_back(s.point(static_cast<double>(k) / steps));
  }
  return out;
}

}  // namespace kerfkiln::plane
