// Names for the sides of a drawn outline, so that edges can be given by them.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "modeler/base/tolerance.hpp"
#include "modeler/plane/drawing_pieces.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kDegree = std::numbers::pi / 180;
constexpr double kSmoothTurn = 1 * kDegree, kCornerTurn = 10 * kDegree;
constexpr double kLeastArc = 20 * kDegree, kMostArc = 120 * kDegree;
constexpr double kArcShare = 1.0 / 3;  // of the neighbours' radius

// A line, or the consecutive arcs of one drawn arc, ellipse or spline.
struct Element {
  std::size_t first = 0, count = 1;
  bool curved = false, fitted = false;
  double sweep = 0, radius = kLargestSizeMm * 1000;
  Vec2 start, end;  // unit tangents
  bool corner = false;
  bool breaks_after = false;  // a side ends where this element does
};

double turn_between(Vec2 a, Vec2 b) { return std::abs(std::atan2(cross(a, b), dot(a, b))); }

// Turned so that no drawn curve runs over the loop's end.
std::vector<Element> elements_of(TracedLoop& t) {
  const std::size_t n = t.loop.size();
  const auto goes_on = [&](std::size_t i) {  // from the segment before i into i
    const std::size_t before = (i + n - 1) % n;
    return t.loop[before].bulge != 0 && t.loop[i].bulge != 0 && t.sources[before].entity == t.sources[i].entity;
  };
  std::size_t begin = 0;
  while (begin < n && goes_on(begin)) ++begin;
  if (begin < n) {
    std::rotate(t.loop.begin(), t.loop.begin() + static_cast<std::ptrdiff_t>(begin), t.loop.end());
    std::rotate(t.sources.begin(), t.sources.begin() + static_cast<std::ptrdiff_t>(begin), t.sources.end());
  }
  std::vector<Element> list;
  for (std::size_t i = 0; i < n; ++i) {
    const Segment s = segment(t.loop, i);
    if (i > 0 && goes_on(i)) {
      ++list.back().count;
      list.back().sweep += s.sweep();
      list.back().end = s.tangent(1);
      continue;
    }
    Element e;
    e.first = i;
    e.curved = s.bulge != 0;
    e.fitted = e.curved && t.sources[i].fitted;
    if (e.curved && !e.fitted) e.radius = s.radius();
    e.sweep = s.sweep();
    e.start = s.tangent(0);
    e.end = s.tangent(1);
    list.push_back(e);
  }
  return list;
}

void find_corners(std::vector<Element>& list) {
  const std::size_t n = list.size();
  if (n < 3) return;
  for (std::size_t i = 0; i < n; ++i) {
    const Element &before = list[(i + n - 1) % n], &after = list[(i + 1) % n];
    Element& e = list[i];
    const double sweep = std::abs(e.sweep);
    e.corner = e.curved && !e.fitted && sweep >= kLeastArc - 1e-6 && sweep <= kMostArc + 1e-6 &&
               e.radius <= kArcShare * std::min(before.radius, after.radius) &&
               turn_between(before.end, e.start) <= kSmoothTurn && turn_between(e.end, after.start) <= kSmoothTurn;
  }
}

bool side_ends(const Element& e, const Element& next) {
  return e.corner || next.corner || e.curved != next.curved || turn_between(e.end, next.start) > kCornerTurn;
}

struct Run {
  std::vector<std::size_t> segments;  // in order
  Vec2 start, end;                    // tangents
  bool straight = true;
};

// The runs of segments between the places where sides end, corner arcs left out.
std::vector<Run> runs_of(const TracedLoop& t, const std::vector<Element>& list) {
  const std::size_t n = list.size();
  std::size_t begin = 0;  // an element that starts a side, if any does
  for (std::size_t i = 0; i < n; ++i)
    if (list[(i + n - 1) % n].breaks_after) {
      begin = i;
      break;
    }
  std::vector<Run> runs;
  bool open = false;
  for (std::size_t k = 0; k < n; ++k) {
    const Element& e = list[(begin + k) % n];
    if (!e.corner) {
      if (!open) runs.push_back({{}, e.start, e.end, true});
      for (std::size_t s = e.first; s < e.first + e.count; ++s) runs.back().segments.push_back(s % t.loop.size());
      runs.back().end = e.end;
      runs.back().straight = runs.back().straight && !e.curved;
    }
    open = !e.corner && !e.breaks_after;
  }
  return runs;
}

double low_of(const TracedLoop& t, const Run& run, double Vec2::*axis) {
  // The middle of the run by its ends and middle segment is enough to tell which side lies in front.
  const Segment s = segment(t.loop, run.segments[run.segments.size() / 2]);
  return s.point(0.5).*axis;
}

// Which side of a rectangle a straight run is, or -1: 0 front, 1 right, 2 back, 3 left.
int rectangle_side(const TracedLoop& t, const Run& run) {
  if (!run.straight) return -1;
  const std::size_t n = t.loop.size();
  const Vec2 a = t.loop[run.segments.front()].at, b = t.loop[(run.segments.back() + 1) % n].at;
  for (const std::size_t s : run.segments) {
    const Vec2 p = t.loop[(s + 1) % n].at;
    if (std::abs(cross(b - a, p - a)) > kSmallestFeatureMm * norm(b - a)) return -1;
  }
  const Vec2 d = b - a;
  if (std::abs(d.y) <= kSmallestFeatureMm) return d.x > 0 ? 0 : 2;
  if (std::abs(d.x) <= kSmallestFeatureMm) return d.y > 0 ? 1 : 3;
  return -1;
}

bool name_rectangle(TracedLoop& t, const std::vector<Run>& runs, Outline& outline) {
  if (runs.size() != 4) return false;
  std::array<const Run*, 4> sides{};
  for (const Run& r : runs) {
    const int side = rectangle_side(t, r);
    if (side < 0 || sides[static_cast<std::size_t>(side)]) return false;
    sides[static_cast<std::size_t>(side)] = &r;
  }
  outline.sides = {"front", "right", "back", "left"};
  for (std::size_t k = 0; k < 4; ++k)
    for (const std::size_t s : sides[k]->segments) t.loop[s].side = static_cast<int>(k);
  return true;
}

}  // namespace

void name_sides(TracedLoop& t, Outline& outline) {
  std::vector<Element> list = elements_of(t);
  find_corners(list);
  for (std::size_t i = 0; i < list.size(); ++i) list[i].breaks_after = side_ends(list[i], list[(i + 1) % list.size()]);
  std::vector<Run> runs = runs_of(t, list);
  for (Vertex& v : t.loop) v.side = -1;
  std::size_t first = 0;
  if (name_rectangle(t, runs, outline)) {
    for (std::size_t r = 0; r < runs.size(); ++r)
      if (t.loop[runs[r].segments[0]].side == 0) first = r;
  } else {
    for (std::size_t r = 1; r < runs.size(); ++r) {
      const double dy = low_of(t, runs[r], &Vec2::y) - low_of(t, runs[first], &Vec2::y);
      const double dx = low_of(t, runs[r], &Vec2::x) - low_of(t, runs[first], &Vec2::x);
      if (dy < -kSmallestFeatureMm || (dy < kSmallestFeatureMm && dx < 0)) first = r;
    }
    for (std::size_t k = 0; k < runs.size(); ++k) {
      outline.sides.push_back("side " + std::to_string(k + 1));
      for (const std::size_t s : runs[(first + k) % runs.size()].segments) t.loop[s].side = static_cast<int>(k);
    }
  }
  if (runs.empty()) return;
  const auto begin = static_cast<std::ptrdiff_t>(runs[first].segments[0]);
  std::rotate(t.loop.begin(), t.loop.begin() + begin, t.loop.end());
  std::rotate(t.sources.begin(), t.sources.begin() + begin, t.sources.end());
}

}  // namespace kerfkiln::plane
