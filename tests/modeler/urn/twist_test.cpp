// Facets and twist: what twisting keeps (Cavalieri), what it changes, the wall of forms that have only the half turn.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/solid/solid.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "nearest.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::kPi, test::polygon, test::twisted, test::wall_of;

Spec hexagon() { return polygon("hexagon", {{0, 62, 0, 62}, {90, 92, 0, 14}, {180, 80, 0, 12}, {240, 50, 0, 50}}); }
Spec octagon() { return polygon("octagon", {{0, 60, 0, 6}, {110, 95, 0, 3}, {200, 70, 0, 3, true}, {240, 55, 0, 8}}); }

struct Example {
  const char* name;
  Spec spec;
  double wall;
};
std::vector<Example> examples() {
  return {{"squared 40", twisted(test::squared_vase(), 40), 6},
          {"box 60", twisted(test::grown_box(), 60), 6},
          {"hexagon", hexagon(), 6},
          {"hexagon 90", twisted(hexagon(), 90), 6},
          {"octagon", octagon(), 7},
          {"octagon -50", twisted(octagon(), -50), 7}};
}

// Cavalieri: every level section keeps its area, so volume and centroid do not move.
TEST(Twist, KeepsTheOuterVolume) {
  for (const Spec& s : {test::squared_vase(), test::grown_box(), hexagon()})
    for (double degrees : {15.0, 90.0, -200.0}) {
      const BodyMeasure a = measure_outside(form_of(s)), b = measure_outside(form_of(twisted(s, degrees)));
      EXPECT_EQ(a.volume, b.volume);
      EXPECT_EQ(a.centroid_z, b.centroid_z);
      EXPECT_GT(b.side_area, a.side_area);
    }
}

TEST(Twist, AConstantTurnChangesNothing) {
  Spec s = test::squared_vase();
  const Wall plain = wall_of(s, 6, 8, 9, 3);
  for (ProfilePoint& p : s.profile) p.twist = 0.4;
  const Wall turned = wall_of(s, 6, 8, 9, 3);
  ASSERT_TRUE(turned.form().twisted());
  const WareMeasure a = measure_ware(plain, 12), b = measure_ware(turned, 12);
  EXPECT_NEAR(b.capacity_brim / a.capacity_brim, 1, 1e-9);
  EXPECT_NEAR(b.capacity_fill / a.capacity_fill, 1, 1e-9);
  EXPECT_NEAR(b.inside_area / a.inside_area, 1, 1e-9);
  EXPECT_NEAR(b.outside_area / a.outside_area, 1, 1e-12);
  EXPECT_NEAR(b.floor_area / a.floor_area, 1, 1e-9);
  EXPECT_NEAR(b.recess_volume / a.recess_volume, 1, 1e-12);
  for (double z : {8.0, 100.0, 222.0, 245.0})
    for (double turn : {0.1, 0.9, 1.4})
      EXPECT_NEAR(turned.inner_reach(turn + 0.4, z), plain.inner_reach(turn, z), 1e-9);
  EXPECT_NEAR(turned.form().outer_reach({std::cos(0.4), std::sin(0.4)}, 100), turned.form().size_at(100).half_width,
              1e-9);
}

// The same trimmed: two different charts and rules.
TEST(Twist, AConstantTurnChangesNothingTrimmed) {
  Spec s = octagon();
  const Wall plain = wall_of(s, 7, 8, 9, 3);
  for (ProfilePoint& p : s.profile) p.twist = 0.3;
  const Wall turned = wall_of(s, 7, 8, 9, 3);
  ASSERT_TRUE(plain.trimmed());
  ASSERT_TRUE(turned.trimmed());
  const WareMeasure a = measure_ware(plain, 12), b = measure_ware(turned, 12);
  EXPECT_NEAR(b.capacity_brim / a.capacity_brim, 1, 1e-6);
  EXPECT_NEAR(b.inside_area / a.inside_area, 1, 1e-5);
}

// Side area against the sum of fine flat facets, second order in the step.
TEST(Twist, SideArea) {
  const Form f = form_of(twisted(test::squared_vase(), 70));
  const auto facets = [&](int n) {
    double sum = 0;
    const Profile& p = f.profile();
    for (int k = 0; k < static_cast<int>(p.spans().size()); ++k)
      for (int i = 0; i < n; ++i)
        for (int piece = 0; piece < f.sector_pieces(); ++piece)
          for (int q = 0; q < n; ++q) {
            const auto at = [&](int a, int b) {
              const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
              return f.point_at(p.at(k, s.begin + s.length * (i + a) / n),
                                f.place(piece, static_cast<double>(q + b) / n));
            };
            sum += norm(cross(at(1, 1) - at(0, 0), at(1, 0) - at(0, 1)));
          }
    return sum;
  };
  const double coarse = facets(60), fine = facets(120);
  EXPECT_NEAR(measure_outside(f).side_area / (fine + (fine - coarse) / 3), 1, 1e-6);
}

TEST(Twist, JetsAreTheDerivativesOfThePoint) {
  for (const Example& e : examples()) {
    const Form f = form_of(e.spec);
    const double t = 0.37 * f.profile().end(), h = 1e-4, k = 1e-4;
    for (int piece = 0; piece < f.pieces(); ++piece) {
      const double v = 0.37;
      const SurfaceJet j = f.jet(f.profile().at(t), piece, v);
      const auto at = [&](double a, double b) { return f.point(t + a, piece, v + b); };
      const auto near = [&](Vec3 a, Vec3 b, double scale) { EXPECT_LT(norm(a - b), scale) << e.name << " " << piece; };
      near(j.p, at(0, 0), 1e-11);
      near(j.p_t, (at(h, 0) - at(-h, 0)) / (2 * h), 1e-6);
      near(j.p_v, (at(0, k) - at(0, -k)) / (2 * k), 1e-3);
      near(j.p_tt, (at(h, 0) - 2 * at(0, 0) + at(-h, 0)) / (h * h), 1e-4);
      near(j.p_tv, (at(h, k) - at(h, -k) - at(-h, k) + at(-h, -k)) / (4 * h * k), 1e-3);
      const SurfaceJet s = f.slopes_at(f.profile().at(t), f.place(piece, v));
      near(s.p, j.p, 1e-11), near(s.p_t, j.p_t, 1e-11), near(s.p_v, j.p_v, 1e-10);
      if (f.twisted()) {  // the half turn
        const Vec3 p = f.point(t, (piece + f.pieces() / 2) % f.pieces(), v);
        near(p, {-j.p.x, -j.p.y, j.p.z}, 1e-10);
      }
    }
  }
}

// Every point of the inside lies a wall away from the nearest point of the outside, found by brute force.
TEST(Twist, TheInsideIsAWallAway) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, e.wall);
    const test::NearestSide nearest(w.form(), 40, 12);
    for (double share : {0.0, 0.11, 0.42, 0.63, 0.86, 1.0})
      for (double turn : {0.0, 0.52, 1.3, 2.4, 3.3, 5.1}) {
        const double z = w.floor() + share * (w.lip() - w.floor()), r = w.inner_reach(turn, z);
        EXPECT_NEAR(nearest({r * std::cos(turn), r * std::sin(turn), z}), e.wall, 1e-5)
            << e.name << (w.trimmed() ? ", trimmed" : "") << " z " << z << " turn " << turn;
      }
  }
}

TEST(Twist, UntrimmedWhereTheCurvatureAllows) {
  EXPECT_FALSE(wall_of(twisted(test::squared_vase(), 40), 6, 6).trimmed());
  EXPECT_FALSE(wall_of(twisted(hexagon(), 60), 6, 6).trimmed());
  EXPECT_TRUE(wall_of(twisted(octagon(), 60), 7, 6).trimmed());
}

TEST(Twist, MeshesAreClosedAndTendToTheExactVolume) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8, 9, 3);
    const WareMeasure exact = measure_ware(w, 12);
    EXPECT_LT(exact.error, w.trimmed() ? 2e-6 : 1e-9) << e.name;
    for (double asked : {0.4, 0.1}) {
      solid::Mesh m;
      mesh_ware(w, asked, m);
      const Result<solid::Solid> s = solid::Solid::checked(m);
      ASSERT_TRUE(s.has_value()) << e.name << ": " << s.findings().front().message;
      EXPECT_LE(std::abs(solid::volume(m) - exact.clay_volume), 0.6 * asked * (exact.outside_area + exact.inside_area))
          << e.name;
      mesh_form(w.form(), asked, m);
      ASSERT_TRUE(solid::Solid::checked(m).has_value()) << e.name;
      EXPECT_NEAR(solid::volume(m), exact.outside.volume, 0.7 * asked * exact.outside_area) << e.name;
    }
  }
}

}  // namespace
}  // namespace kerfkiln::urn
