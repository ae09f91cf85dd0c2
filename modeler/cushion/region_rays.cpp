#include "modeler/cushion/region_rays.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {
namespace {

// Whether a point of the circle lies on the arc.
bool on_arc(const plane::Segment& s, Vec2 p) {
  // The chord divides the circle; arcs are at most half turns. Counter-clockwise arcs bulge to the right of the chord.
  const double away = cross(s.b - s.a, p - s.a);
  return s.bulge > 0 ? away <= 0 : away >= 0;
}

constexpr double kSameMm = 1e-7;

struct Crossing {
  double d;
  std::uint64_t segment;
};

}  // namespace

RegionRays::RegionRays(std::span<const plane::Outline> region) : region_(region) {
  const auto add = [this](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      segments_.push_back(plane::segment(loop, i));
      boxes_.push_back(plane::bounds(plane::Loop{loop[i], {loop[(i + 1) % loop.size()].at, 0, -1}}));
    }
  };
  for (const plane::Outline& o : region) {
    add(o.outer);
    for (const plane::Loop& hole : o.holes) add(hole);
  }
}

bool RegionRays::inside(Vec2 p) const {
  for (const plane::Outline& o : region_) {
    int winding = plane::winding(o.outer, p);
    for (const plane::Loop& hole : o.holes) winding += plane::winding(hole, p);
    if (winding > 0) return true;
  }
  return false;
}

void RegionRays::along(Vec2 q, Vec2 n, double end, std::vector<Part>& parts, std::uint64_t& label) const {
  parts.clear();
  std::vector<Crossing> met;
  const Vec2 last = q + end * n;
  const Vec2 low{std::min(q.x, last.x), std::min(q.y, last.y)}, high{std::max(q.x, last.x), std::max(q.y, last.y)};
  // A region often ends where the ray starts or where it is cut off: there rounding decides, and nothing depends on it.
  const auto add = [&](double d, std::size_t segment) {
    if (d > kSameMm && d < end - kSameMm) met.push_back({d, segment + 1});
  };
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    const plane::Box& box = boxes_[i];
    if (box.low.x > high.x || box.high.x < low.x || box.low.y > high.y || box.high.y < low.y) continue;
    const plane::Segment& s = segments_[i];
    if (s.is_line()) {
      const double a = cross(n, s.a - q), b = cross(n, s.b - q);
      if ((a <= 0) == (b <= 0)) continue;
      const double t = a / (a - b);
      add(dot(n, s.a - q + t * (s.b - s.a)), i);
      continue;
    }
    const Vec2 c = s.centre() - q;
    const double r = s.radius(), off = cross(n, c), square = (r - off) * (r + off);
    if (!(square > 0)) continue;
    const double mid = dot(n, c), half = std::sqrt(square);
    for (const double d : {mid - half, mid + half})
      if (on_arc(s, q + d * n)) add(d, i);
  }
  std::sort(met.begin(), met.end(), [](const Crossing& a, const Crossing& b) { return a.d < b.d; });
  Crossing from{0, 0};
  for (std::size_t i = 0; i <= met.size(); ++i) {
    const Crossing to = i < met.size() ? met[i] : Crossing{end, 0};
    if (to.d > from.d && inside(q + (from.d + to.d) / 2 * n)) {
      if (!parts.empty() && parts.back().to == from.d)
        parts.back().to = to.d;
      else
        parts.push_back({from.d, to.d});
      label = (label ^ (from.segment << 20U) ^ (to.segment + 1)) * 1099511628211u;
    }
    from = to;
  }
}

std::vector<Vec2> RegionRays::turns_parallel(Vec2 n) const {
  std::vector<Vec2> turns;
  for (const plane::Segment& s : segments_) {
    turns.push_back(s.a);
    if (s.is_line()) continue;
    for (const double side : {-1.0, 1.0})
      if (const Vec2 p = s.centre() + side * s.radius() * left(n); on_arc(s, p)) turns.push_back(p);
  }
  return turns;
}

std::vector<Vec2> RegionRays::turns_through(Vec2 centre) const {
  std::vector<Vec2> turns;
  for (const plane::Segment& s : segments_) {
    turns.push_back(s.a);
    if (s.is_line()) continue;
    // Tangents from the centre touch the circle at the angle acos(r / distance) off the line between the centres.
    const Vec2 back = centre - s.centre();
    const double r = s.radius(), distance = norm(back);
    if (!(distance > r)) continue;
    const double c = r / distance, h = std::sqrt(1 - c * c);
    const Vec2 u = back / distance;
    for (const double side : {-1.0, 1.0})
      if (const Vec2 p = s.centre() + r * (c * u + side * h * left(u)); on_arc(s, p)) turns.push_back(p);
  }
  return turns;
}

}  // namespace kerfkiln::cushion
