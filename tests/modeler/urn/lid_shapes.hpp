// Urns with a neck, and lids for them.
#pragma once
#include "modeler/urn/lid.hpp"
#include "shapes.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::urn::test {

// A straight round collar of half width `neck`, `collar` high, on a round belly.
inline Spec collared(double neck, double collar, double wall = 6) {
  Spec s = polyline({{0, 60}, {120, 95}, {190, neck + 25}, {200, neck}, {200 + collar, neck}});
  s.wall = wall;
  s.base.thickness = 7;
  s.lid.style = "cap";
  return s;
}
// A squared neck: rounded rectangle or superellipse, straight over `collar`.
inline Spec squared_collar(const char* section, double a, double b, double shape, double collar, double wall = 6) {
  const double foot = section[0] == 's' ? 3 : 25, side = section[0] == 's' ? 4 : 25;
  Spec s = squared(section, {{0, 62, 60, foot},
                             {120, 98, 80, side},
                             {195, a + 14, b + 14, side},
                             {205, a, b, shape, true},
                             {205 + collar, a, b, shape, true}});
  s.wall = wall;
  s.base.thickness = 7;
  s.lid.style = "cap";
  return s;
}
inline Wall wall_for(const Spec& s) { return *Wall::make(form_of(s), WallSize::of(s)); }

// A random urn with a collar, and a random lid for it. Not every one can be made.
inline Spec random_lidded_urn(std::uint64_t seed) {
  Spec s = kerfkiln::test::random_urn(seed);
  kerfkiln::test::Random r(seed * 7919 + 5);
  ProfilePoint lip = s.profile.back();
  s.profile.back().corner = true;
  lip.corner = true;
  const double taper = r.between(0.96, 1.02);
  lip.height = lip.height.value + r.between(18, 34);
  lip.half_width = lip.half_width.value * taper;
  if (lip.half_depth.known()) lip.half_depth = lip.half_depth.value * taper;
  if (lip.squareness.known()) lip.squareness = r.between(2, 3.5);
  if (lip.corner_radius.known()) lip.corner_radius = r.between(18, 30);
  s.profile.push_back(lip);
  LidSpec& l = s.lid;
  l.style = r.chance(0.5) ? "cap" : "inset";
  l.clearance = r.between(0.8, 2.5);
  l.flange = r.between(5, 16);
  l.wall = r.between(3, 7);
  if (r.chance(0.5)) l.formed = "drained";
  if (r.chance(0.5)) l.height = l.wall.value + r.between(0, 25);
  if (r.chance(0.8)) {
    l.knob.diameter = r.between(16, 34);
    if (r.chance(0.5)) l.knob.height = r.between(10, 30);
    if (r.chance(0.5)) l.knob.neck = l.knob.diameter.value * r.between(0.4, 1);
  }
  if (l.style == "inset" && r.chance(0.5)) {
    l.gallery.width = l.clearance.value + r.between(2.6, 6);
    l.gallery.depth = r.between(2, 8);
    l.gallery.height = r.between(4, 10);
  }
  return s;
}

}  // namespace kerfkiln::urn::test
