// Volumes and areas of outer forms against closed forms (reference GE-06 ... GE-12, U1-01 ... U1-04) and against OCCT.
#include "modeler/urn/form.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "modeler/urn/measure.hpp"
#include "occt_peer.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::kPi, test::polyline, test::squared;

void near(double got, double want, double relative = 1e-12) {
  EXPECT_NEAR(got / want, 1, relative) << got << " " << want;
}

// GE-09: frustum and its centroid.
TEST(Form, Frustum) {
  const BodyMeasure m = measure_outside(form_of(polyline({{0, 70}, {120, 95}})));
  near(m.volume, kPi * 120 * (70 * 70 + 70 * 95 + 95 * 95) / 3.0);
  EXPECT_NEAR(m.volume, 2585530.75, 0.005);
  near(m.centroid_z, 120.0 * (70 * 70 + 2 * 70 * 95 + 3 * 95 * 95) / (4.0 * (70 * 70 + 70 * 95 + 95 * 95)));
  EXPECT_NEAR(m.centroid_z, 66.0146, 5e-5);
  near(m.side_area, kPi * (70 + 95) * std::hypot(120, 25));
}

// GE-06: the mid section makes the prismoidal rule exact.
TEST(Form, CircleMorphsToRoundedRectangle) {
  const Form f = form_of(squared("rounded rectangle", {{0, 60, 60, 60}, {100, 80, 60, 20}}));
  EXPECT_NEAR(f.section().area(f.size_at(50)), 15426.55, 0.005);
  const double a0 = kPi * 3600, am = 4 * 70 * 60 - (4 - kPi) * 1600, a1 = 4 * 80 * 60 - (4 - kPi) * 400;
  near(measure_outside(f).volume, 100 * (a0 + 4 * am + a1) / 6);
  EXPECT_NEAR(measure_outside(f).volume, 1531209.39, 0.005);
}

// GE-07: half sides 60 x 40 to 40 x 50.
TEST(Form, RectangleMorph) {
  const Form f = form_of(squared("rounded rectangle", {{0, 60, 40, 0}, {100, 40, 50, 0}}));
  near(measure_outside(f).volume, 400 * ((60 * 40 + 40 * 50) / 3.0 + (60 * 50 + 40 * 40) / 6.0));
}

// GE-08: numeric in the reference.
TEST(Form, ExponentMorph) {
  const Form f = form_of(squared("superellipse", {{0, 80, 80, 2}, {100, 80, 80, 4}}));
  EXPECT_NEAR(measure_outside(f).volume, 2239202.76, 0.005);
  double sum = 0;  // composite Simpson over the closed-form area
  const int n = 2000;
  for (int i = 0; i <= n; ++i)
    sum += (i == 0 || i == n ? 1 : i % 2 ? 4 : 2) * f.section().area({80, 80, 2 + 2.0 * i / n});
  near(measure_outside(f).volume, sum * 100 / n / 3, 1e-11);
}

// GE-11: Pappus. The ring 60 ... 68 x 12 as a difference of two cylinders of ours; the triangle (50,0)(60,0)(50,30).
TEST(Form, Pappus) {
  const double ring = measure_outside(form_of(polyline({{0, 68}, {12, 68}}))).volume -
                      measure_outside(form_of(polyline({{0, 60}, {12, 60}}))).volume;
  near(ring, 2 * kPi * 64 * 96);
  EXPECT_NEAR(ring, 38603.89, 0.01);
  const double triangle = measure_outside(form_of(polyline({{0, 60}, {30, 50}}))).volume - kPi * 2500 * 30;
  near(triangle, 2 * kPi * (160 / 3.0) * 150, 1e-11);
  EXPECT_NEAR(triangle, 50265.48, 0.01);
}

// GE-10: the spherical zone 60/80 x 30 through a spline of many points; the interpolation error is O(step^4).
TEST(Form, SphericalZone) {
  const double z0 = (80.0 * 80 - 60 * 60 - 30 * 30) / 60, radius = std::sqrt(60 * 60 + (z0 + 30) * (z0 + 30));
  const auto error = [&](int n) {
    Spec s;
    for (int i = 0; i <= n; ++i) {
      ProfilePoint p;
      p.height = 30.0 * i / n;
      const double z = z0 + 30 - 30.0 * i / n;
      p.half_width = std::sqrt(radius * radius - z * z);
      s.profile.push_back(p);
    }
    return measure_outside(form_of(s)).volume / (kPi * 30 * (3 * 60 * 60 + 3 * 80 * 80 + 30 * 30) / 6.0) - 1;
  };
  EXPECT_NEAR(kPi * 30 * (3 * 60 * 60 + 3 * 80 * 80 + 30 * 30) / 6.0, 485376.06, 0.01);
  EXPECT_LT(std::abs(error(64)), 1e-6);
  EXPECT_LT(std::abs(error(128)), std::abs(error(64)) / 6);  // natural ends: third order there
}

// OCCT revolves the same cubics as exact Bezier curves: volume, area and centroid by its Gauss-Kronrod rule.
TEST(Form, RevolvedByOcct) {
  const Form f = form_of(test::vase());
  const test::PeerMeasure peer = test::revolved(f.profile());
  const BodyMeasure ours = measure_outside(f);
  near(ours.volume, peer.volume, 1e-9);
  near(ours.centroid_z, peer.centroid_z, 1e-8);
  near(ours.side_area, peer.side_area, 1e-8);
}

TEST(Form, ScalesByThePowers) {
  const Form f = form_of(test::squared_vase()), g = f.scaled(1.12, 1.15);
  near(measure_outside(g).volume, measure_outside(f).volume * 1.12 * 1.12 * 1.15, 1e-13);
  near(g.max_width(), 1.12 * f.max_width(), 1e-14);
  near(g.height(), 1.15 * f.height(), 1e-14);
}

// Squared side area against the sum of fine flat facets, second order in the step.
TEST(Form, SquaredSideArea) {
  const Form f = form_of(test::squared_vase());
  const auto facets = [&](int n) {
    double sum = 0;
    const Profile& p = f.profile();
    for (const ProfileSpan& s : p.spans())
      for (int i = 0; i < n; ++i)
        for (int piece = 0; piece < 2; ++piece)
          for (int k = 0; k < n; ++k) {
            const auto at = [&](int a, int b) {
              const int span = static_cast<int>(&s - p.spans().data());
              const ProfileJet j = p.at(span, s.begin + s.length * (i + a) / n);
              const Vec2 q = f.section().point(j.size, piece, static_cast<double>(k + b) / n);
              return Vec3{q.x, q.y, j.z};
            };
            sum += 2 * norm(cross(at(1, 1) - at(0, 0), at(1, 0) - at(0, 1)));
          }
    return sum;
  };
  const double coarse = facets(60), fine = facets(120);
  near(measure_outside(f).side_area, fine + (fine - coarse) / 3, 1e-7);
}

}  // namespace
}  // namespace kerfkiln::urn
