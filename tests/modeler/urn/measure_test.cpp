// Measures of the reference urn U1 (reference section 2.5; its inner polyline is a solid of its own), of shells and of
// levels.
#include "modeler/urn/measure.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::kPi, test::polyline, test::wall_of;
constexpr double kCubicInch = 16387.064;

Form outer() { return form_of(polyline({{0, 70}, {120, 95}, {190, 85}, {225, 50}, {245, 50}})); }
// The cavity below a level, as a solid whose foot is the inner floor at z = 10.
Form cavity(double level) {
  Spec s = polyline({{0, 62}, {110, 87}});
  const double r = level <= 190 ? 87 - 10 * (level - 120) / 70 : level <= 225 ? 77 - (level - 190) : 42;
  const auto add = [&](double z, double half) {
    ProfilePoint p;
    p.height = z - 10, p.half_width = half, p.corner = true;
    s.profile.push_back(p);
  };
  if (level > 190) add(190, 77);
  if (level > 225) add(225, 42);
  add(level, r);
  return form_of(s);
}

// U1-01, U1-02, areas of section 2.5.
TEST(ReferenceUrn, VolumesAndAreas) {
  const BodyMeasure out = measure_outside(outer()), in = measure_outside(cavity(245));
  EXPECT_NEAR(out.volume / 1000, 5037.937, 5e-4);
  EXPECT_NEAR(in.volume / 1000, 3927.876, 5e-4);
  EXPECT_NEAR((out.volume - in.volume) / 1000, 1110.061, 1e-3);
  EXPECT_NEAR(out.side_area, 130800.9, 0.05);
  EXPECT_NEAR(in.side_area, 113017.9, 0.05);
  EXPECT_NEAR(out.centroid_z, 116.40, 5e-3);
  EXPECT_NEAR(in.centroid_z + 10, 120.38, 5e-3);
  for (auto [z, cm3] :
       {std::pair{190.0, 3416.54}, {200.0, 3579.667}, {210.0, 3700.69}, {220.0, 3785.90}, {230.0, 3844.75}})
    EXPECT_NEAR(measure_outside(cavity(z)).volume / 1000, cm3, 6e-3) << z;
  EXPECT_NEAR(measure_outside(cavity(182.632)).volume / kCubicInch, 200, 1e-3);
}

// U1-03, U1-04: empty and with 2430 g at 0.969 g/cm3.
TEST(ReferenceUrn, Stands) {
  const BodyMeasure out = measure_outside(outer()), in = measure_outside(cavity(245));
  const double clay = (out.volume * out.centroid_z - in.volume * (in.centroid_z + 10)) / (out.volume - in.volume);
  EXPECT_NEAR(clay, 102.343, 5e-4);
  EXPECT_NEAR(std::atan(70 / clay) * 180 / kPi, 34.371, 5e-4);
  const Standing s = standing(70, 2424, clay, 2430, 85.06);
  EXPECT_NEAR(s.centroid_z, 93.691, 6e-3);
  EXPECT_NEAR(s.tip_angle * 180 / kPi, 36.765, 5e-3);
}

// The same outside with our own wall: the clay is what lies between, and every cut of the capacity adds up.
TEST(Measure, LevelsAddUp) {
  for (const Spec& s :
       {polyline({{0, 70}, {120, 95}, {190, 85}, {225, 50}, {245, 50}}), test::squared_vase(), test::grown_box()}) {
    const Wall w = wall_of(s, 6, 8, 9, 3);
    const WareMeasure m = measure_ware(w, 12);
    EXPECT_NEAR(m.fill_level, w.lip() - 12, 1e-12);
    EXPECT_NEAR(measure_inside(w, m.fill_level).volume / m.capacity_fill, 1, 2e-8);
    EXPECT_NEAR(m.clay_volume, m.outside.volume - m.capacity_brim - m.recess_volume, 1e-6);
    const double z = level_of(w, 0.6 * m.capacity_brim);
    EXPECT_NEAR(measure_inside(w, z).volume / (0.6 * m.capacity_brim), 1, 1e-7);
    EXPECT_TRUE(std::isnan(level_of(w, 1.01 * m.capacity_brim)));
    EXPECT_LT(m.error, 1e-6);
    // The area of the level is the rate of the volume.
    const double rate = (measure_inside(w, z + 0.01).volume - measure_inside(w, z - 0.01).volume) / 0.02;
    EXPECT_NEAR(rate / (4 * w.inner_reach(0, z) * w.inner_reach(kPi / 2, z)), 0.85, 0.15);
  }
}

// A cylinder with wall, base, ring and recess: everything in closed form.
TEST(Measure, Cylinder) {
  const Wall w = wall_of(polyline({{0, 80}, {200, 80}}), 6, 9, 10, 4);
  const WareMeasure m = measure_ware(w, 20);
  EXPECT_NEAR(m.capacity_brim / (kPi * 74 * 74 * 187), 1, 1e-13);
  EXPECT_NEAR(m.capacity_fill / (kPi * 74 * 74 * 167), 1, 1e-13);
  EXPECT_NEAR(m.recess_volume / (kPi * 70 * 70 * 4), 1, 1e-13);
  EXPECT_NEAR(m.clay_volume / (kPi * (80 * 80 * 200.0 - 74 * 74 * 187.0 - 70 * 70 * 4.0)), 1, 1e-12);
  const double moment = 80 * 80 * 200.0 * 100 - 74 * 74 * 187.0 * (13 + 93.5) - 70 * 70 * 4.0 * 2;
  EXPECT_NEAR(m.clay_centroid_z / (moment * kPi / m.clay_volume), 1, 1e-12);
  EXPECT_NEAR(m.inside_area / (2 * kPi * 74 * 187 + kPi * 74 * 74), 1, 1e-12);
  EXPECT_NEAR(m.lip_area / (kPi * (80 * 80 - 74 * 74)), 1, 1e-12);
  EXPECT_NEAR(m.tip_angle, std::atan(80 / m.clay_centroid_z), 1e-15);
}

// GE-10, torus 70/6: round about a reentrant corner. Between the two normals (45 degrees up and down) the inside is a
// zone of that torus: V = pi * Int (70 - sqrt(36 - x^2))^2 dx, in closed form.
TEST(Measure, RoundAboutACorner) {
  const Wall w = wall_of(polyline({{0, 170}, {100, 70}, {200, 170}}), 6, 90);
  const double x = 6 * std::sqrt(0.5);
  const double zone = 2 * kPi * ((70 * 70 + 36) * x - x * x * x / 3 - 70 * (x * x + 36 * kPi / 4));
  const auto below = [&](double z) { return measure_inside(w, z).volume; };
  EXPECT_NEAR((below(100 + x) - below(100 - x)) / zone, 1, 1e-11);
  EXPECT_NEAR(2 * kPi * kPi * 70 * 36, 49742.81, 0.01);  // the whole torus of the reference
}

// GE-11: the shell of a sphere of radius 100, wall 8, between the heights where both meet level planes: the inside of a
// sphere is a sphere, V = pi * Int (92^2 - z^2) dz.
TEST(Measure, ShellOfASphere) {
  Spec s;
  constexpr int kPoints = 160;
  for (int i = 0; i <= kPoints; ++i) {
    const double a = -1.2 + 2.4 * i / kPoints;
    ProfilePoint p;
    p.height = i == 0 ? 0 : 100 * (std::sin(a) + std::sin(1.2)), p.half_width = 100 * std::cos(a);
    s.profile.push_back(p);
  }
  const Wall w = wall_of(s, 8, 20);
  const double low = w.floor() - 100 * std::sin(1.2), high = 60;
  const double inside = kPi * (92 * 92 * (high - low) - (high * high * high - low * low * low) / 3);
  // The spline misses the circle by O(step^4), and by O(step^2) beside its free ends only.
  EXPECT_NEAR(measure_inside(w, high + 100 * std::sin(1.2)).volume / inside, 1, 1e-7);
  EXPECT_NEAR(4 * kPi / 3 * (1e6 - 92.0 * 92 * 92), 927029.54, 0.01);
}

TEST(Measure, MoreWallHoldsLess) {
  for (const Spec& s : {test::vase(), test::squared_vase(), test::grown_box()}) {
    double last = INFINITY;
    for (double wall : {2.0, 4.0, 6.0, 8.0, 11.0}) {
      const double holds = measure_inside(wall_of(s, wall, 8), 1e4).volume;
      EXPECT_LT(holds, last);
      last = holds;
    }
  }
}

TEST(Measure, CubeLaw) {
  for (const Spec& s : {test::vase(), test::squared_vase()}) {
    const Form f = form_of(s);
    const Wall a = *Wall::make(f, {6, 7, 9, 3, BaseMade::solid});
    const Wall b = *Wall::make(f.scaled(1.2, 1.2), {7.2, 8.4, 10.8, 3.6, BaseMade::solid});
    EXPECT_NEAR(measure_ware(b, 12).clay_volume / measure_ware(a, 10).clay_volume, 1.728, 1e-9);
    EXPECT_NEAR(measure_ware(b, 12).capacity_fill / measure_ware(a, 10).capacity_fill, 1.728, 1e-9);
  }
}

}  // namespace
}  // namespace kerfkiln::urn
