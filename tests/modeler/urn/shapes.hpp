// Forms that several urn tests share.
#pragma once
#include <cmath>
#include <cstdio>
#include <initializer_list>
#include <numbers>
#include <vector>

#include "modeler/urn/form.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn::test {

inline constexpr double kPi = std::numbers::pi;

struct RoundPoint {
  double height, half;
};
// A polyline: every point a corner.
inline Spec polyline(std::initializer_list<RoundPoint> points) {
  Spec s;
  for (const RoundPoint& p : points) {
    ProfilePoint q;
    q.height = p.height, q.half_width = p.half, q.corner = true;
    s.profile.push_back(q);
  }
  return s;
}
struct SquarePoint {
  double height, a, b, shape;
  bool corner = false;
};
inline Spec squared(const char* section, std::initializer_list<SquarePoint> points) {
  Spec s;
  s.section = section;
  for (const SquarePoint& p : points) {
    ProfilePoint q;
    q.height = p.height, q.half_width = p.a, q.half_depth = p.b, q.corner = p.corner;
    if (s.section == "superellipse")
      q.squareness = p.shape;
    else
      q.corner_radius = p.shape;
    s.profile.push_back(q);
  }
  return s;
}
inline Spec polygon(const char* section, std::initializer_list<SquarePoint> points) {
  Spec s = squared(section, points);
  for (ProfilePoint& p : s.profile) p.half_depth = {};
  return s;
}
inline Spec twisted(Spec s, double degrees) {
  s.profile.front().twist = 0.0;
  s.profile.back().twist = degrees * kPi / 180;
  return s;
}
template <class T>
T made(Result<T> r) {
  if (!r) std::fprintf(stderr, "%s: %s\n", r.findings().front().path.c_str(), r.findings().front().message.c_str());
  return *std::move(r);
}
inline Form form_of(const Spec& s) { return made(Form::make(s)); }
inline Wall wall_of(const Spec& s, double wall, double base, double foot = 0, double recess = 0) {
  return made(Wall::make(form_of(s), WallSize{wall, base, foot, recess, BaseMade::solid}));
}

// A smooth round vase, a squared one with a neck, and a rounded rectangle that grows out of a round foot.
inline Spec vase() {
  Spec s;
  for (const RoundPoint& p : {RoundPoint{0, 55}, {60, 82}, {140, 105}, {220, 78}, {255, 48}, {280, 55}}) {
    ProfilePoint q;
    q.height = p.height, q.half_width = p.half;
    s.profile.push_back(q);
  }
  return s;
}
inline Spec squared_vase() {
  return squared("superellipse",
                 {{0, 62, 62, 2}, {120, 98, 78, 4}, {200, 80, 66, 4}, {230, 60, 52, 3, true}, {245, 58, 50, 2.5}});
}
inline Spec grown_box() {
  return squared("rounded rectangle", {{0, 62, 62, 62}, {120, 98, 78, 20}, {200, 80, 66, 12}, {240, 60, 60, 20}});
}

}  // namespace kerfkiln::urn::test
