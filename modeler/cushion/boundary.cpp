#include "modeler/cushion/boundary.hpp"

#include <cmath>
#include <numbers>

#include "modeler/cushion/range_tree.hpp"

namespace kerfkiln::cushion {
namespace {

// Below this turn two elements count as tangent, mm and rad being of like size at the scale of a cushion.
constexpr double kTangent = 1e-9;

Element element_of(const plane::Loop& loop, std::size_t i) {
  const plane::Segment s = plane::segment(loop, i);
  Element e;
  e.a = s.a;
  e.b = s.b;
  e.length = s.length();
  e.side = loop[i].side;
  e.arc = !s.is_line();
  if (e.arc) {
    e.ccw = s.bulge > 0;
    e.centre = s.centre();
    e.radius = s.radius();
    e.sweep = s.sweep();
    e.start = (e.a - e.centre) / e.radius;
    e.end = (e.b - e.centre) / e.radius;
  } else {
    e.dir = (e.b - e.a) / e.length;
  }
  return e;
}

double point_contact(Vec2 from_q, Vec2 n) {
  const double along = dot(n, from_q), size2 = dot(from_q, from_q);
  // The near end of a tangent neighbour: rounding would decide.
  if (size2 < 1e-6 && along * along < 1e-8 * size2) return INFINITY;
  return along > 0 ? size2 / (2 * along) : INFINITY;
}

// First contact of the growing ball with the interior of a line; ends are seen to apart.
double line_contact(const Element& e, Vec2 q, Vec2 n) {
  const Vec2 m = left(e.dir);
  double height = dot(q - e.a, m), rise = dot(n, m);
  if (height < 0) {
    height = -height;
    rise = -rise;
  }
  if (1 - rise < 1e-14) return INFINITY;
  const double d = height / (1 - rise);
  const double along = dot(q + d * n - e.a, e.dir);
  return along >= 0 && along <= e.length ? d : INFINITY;
}

double arc_contact(const Element& e, Vec2 q, Vec2 n) {
  const Vec2 w = q - e.centre;
  const double excess = dot(w, w) - e.radius * e.radius, nw = dot(n, w);
  double best = INFINITY;
  // A ray from another arc of the same circle: the ball touches when it fills the circle.
  const double same = 1e-9 * e.radius;
  if (std::abs(excess) < same * e.radius && e.radius + nw < same) return e.radius;
  // From outside the circle, and from inside.
  const double outside = excess / (2 * (e.radius - nw));
  if (excess > 0 && e.radius - nw > 0 && e.in_sector(w + outside * n)) best = outside;
  const double inside = -excess / (2 * (e.radius + nw));
  if (excess < 0 && e.radius + nw > 0) {
    // The centre of the ball may have passed the circle's: then it touches on the far side.
    if (e.in_sector(w + inside * n) && inside <= e.radius) best = std::min(best, inside);
  }
  return best;
}

}  // namespace

Vec2 Element::point(double u) const {
  if (u <= 0) return a;
  if (u >= 1) return b;
  if (!arc) return a + u * length * dir;
  const double w = u * sweep, c = std::cos(w), s = std::sin(w);
  return centre + radius * Vec2{c * start.x - s * start.y, s * start.x + c * start.y};
}

Vec2 Element::inward(double u) const {
  if (!arc) return left(dir);
  const double w = u * sweep, c = std::cos(w), s = std::sin(w);
  const Vec2 out{c * start.x - s * start.y, s * start.x + c * start.y};
  return ccw ? -out : out;
}

bool Element::in_sector(Vec2 v) const {
  return ccw ? cross(start, v) >= 0 && cross(v, end) >= 0 : cross(start, v) <= 0 && cross(v, end) <= 0;
}

double Element::distance2(Vec2 p) const {
  if (!arc) {
    const Vec2 v = p - a;
    const double t = dot(v, dir);
    if (t <= 0) return dot(v, v);
    if (t >= length) return dot(p - b, p - b);
    const double h = cross(dir, v);
    return h * h;
  }
  const Vec2 v = p - centre;
  if (in_sector(v)) {
    const double h = norm(v) - radius;
    return h * h;
  }
  return std::min(dot(p - a, p - a), dot(p - b, p - b));
}

double Element::foot(Vec2 p) const {
  if (!arc) return std::clamp(dot(p - a, dir) / length, 0.0, 1.0);
  const Vec2 v = p - centre;
  if (!in_sector(v)) return dot(p - a, p - a) <= dot(p - b, p - b) ? 0.0 : 1.0;
  return std::clamp(std::atan2(cross(start, v), dot(start, v)) / sweep, 0.0, 1.0);
}

Vec2 Element::from_foot(Vec2 p) const {
  if (!arc) {
    const double t = dot(p - a, dir);
    if (t > 0 && t < length) return left(dir);
  } else if (in_sector(p - centre)) {
    return p == centre ? start : unit(p - centre);
  }
  const Vec2 from = dot(p - a, p - a) <= dot(p - b, p - b) ? a : b;
  return p == from ? inward(from == a ? 0 : 1) : unit(p - from);
}

plane::Box box_of(const Element& e) {
  plane::Box box{{std::min(e.a.x, e.b.x), std::min(e.a.y, e.b.y)}, {std::max(e.a.x, e.b.x), std::max(e.a.y, e.b.y)}};
  if (e.arc) {
    for (Vec2 v : {Vec2{1, 0}, Vec2{0, 1}, Vec2{-1, 0}, Vec2{0, -1}}) {
      if (!e.in_sector(v)) continue;
      const Vec2 p = e.centre + e.radius * v;
      box = joined(box, {p, p});
    }
  }
  return box;
}

Boundary::Boundary(const plane::Outline& outline) {
  std::vector<const plane::Loop*> loops{&outline.outer};
  for (const plane::Loop& h : outline.holes) loops.push_back(&h);
  for (std::size_t l = 0; l < loops.size(); ++l) {
    const int first = static_cast<int>(elements_.size()), n = static_cast<int>(loops[l]->size());
    for (int i = 0; i < n; ++i) {
      Element e = element_of(*loops[l], static_cast<std::size_t>(i));
      e.loop = static_cast<int>(l);
      e.segment = i;
      e.next = first + (i + 1) % n;
      e.previous = first + (i + n - 1) % n;
      elements_.push_back(e);
    }
  }
  for (std::size_t i = 0; i < elements_.size(); ++i) {
    const Element& e = elements_[i];
    const Element& f = elements_[static_cast<std::size_t>(e.next)];
    const Vec2 m = e.inward(1), n = f.inward(0);
    const double turn = std::atan2(cross(m, n), dot(m, n));
    if (turn < -kTangent) fans_.push_back({f.a, m, n, -turn, static_cast<int>(i), e.next});
  }
  convex_ = fans_.empty() && loops.size() == 1 &&
            std::none_of(elements_.begin(), elements_.end(), [](const Element& e) { return e.arc && !e.ccw; });
  tree_ = tree_of(elements_.size(), [&](std::size_t i) { return box_of(elements_[i]); });
  box_ = tree_[0];
}

Boundary::Near Boundary::nearest(Vec2 p) const {
  double best = INFINITY;
  int element = -1;
  walk_tree(
      tree_, 0, 0, elements_.size(), p, [&](const plane::Box& box) { return distance2(box, p) < best; },
      [&](std::size_t i) {
        const double d2 = elements_[i].distance2(p);
        if (d2 >= best) return;
        best = d2;
        element = static_cast<int>(i);
      });
  return {std::sqrt(best), element};
}

Boundary::Contact Boundary::contact(Vec2 q, Vec2 n, double limit, int except, int except2) const {
  Contact best{limit, -1};
  const auto keep = [&](const plane::Box& box) { return distance2(box, q + best.d * n) < best.d * best.d; };
  walk_tree(tree_, 0, 0, elements_.size(), q, keep, [&](std::size_t i) {
    const int id = static_cast<int>(i);
    const Element& e = elements_[i];
    if (id == except || id == except2) {
      // All normals of an arc meet at its centre.
      if (id == except && except2 < 0 && e.arc && e.ccw && e.radius < best.d) best = {e.radius, id};
      return;
    }
    // A neighbour that starts at q itself is tangent there or lies behind the ray; both are beyond rounding.
    constexpr double kSelf = 1e-18;
    if (e.distance2(q) < kSelf) return;
    double d = e.arc ? arc_contact(e, q, n) : line_contact(e, q, n);
    d = std::min({d, point_contact(e.a - q, n), point_contact(e.b - q, n)});
    if (d < best.d) best = {d, id};
  });
  return best;
}

}  // namespace kerfkiln::cushion
