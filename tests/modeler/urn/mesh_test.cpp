// Meshes: closed solids by the checker (CGAL inside), on the surface as near as asked by a measure of its own, volume
// tending to the quadrature's, and two thousand random urns.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/solid/solid.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "shapes.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::kPi, test::polyline, test::squared, test::wall_of;

// Distance of a point from the exact surfaces, at most: along the level ray, shortened by the surface's lean there.
double distance(const Wall& w, Vec3 p) {
  const Form& f = w.form();
  double best = std::min({std::abs(p.z - w.form().low()), std::abs(p.z - w.floor()), std::abs(p.z - w.lip())});
  const double r = std::hypot(p.x, p.y), turn = std::atan2(std::abs(p.y), std::abs(p.x));
  if (p.z >= w.floor() && p.z <= w.lip()) {
    const Vec3 n = w.inner_normal(turn, p.z);
    const double facing = std::min(1.0, n.x * std::cos(turn) + n.y * std::sin(turn));
    best = std::min(best, std::abs(r - w.inner_reach(turn, p.z)) * facing);
  }
  // The outside: bisection for the place whose direction is the point's.
  const double t = f.profile().at_height(p.z);
  const ProfileJet j = f.profile().at(t);
  const Vec2 u{std::cos(turn), std::sin(turn)};
  for (int piece = 0; piece < f.section().pieces; ++piece) {
    const auto side = [&](double v) { return cross(u, f.section().point(j.size, piece, v)); };
    double lo = 0, hi = 1;
    if (side(0) > 1e-12 || side(1) < -1e-12) continue;
    for (int i = 0; i < 50; ++i) (side(0.5 * (lo + hi)) < 0 ? lo : hi) = 0.5 * (lo + hi);
    const SurfaceJet s = f.jet(j, piece, 0.5 * (lo + hi));
    const Vec3 n = cross(s.p_v, s.p_t);
    if (!(norm(n) > 0)) continue;
    const double facing = std::abs(n.x * u.x + n.y * u.y) / norm(n);
    best = std::min(best, std::abs(r - std::hypot(s.p.x, s.p.y)) * facing);
  }
  return best;
}

// At the middles of edges and triangles; flat foot.
double deviation(const Wall& w, const solid::Mesh& m, std::size_t stride) {
  double worst = 0;
  for (std::size_t i = 0; i < m.triangles.size(); i += stride) {
    const auto [a, b, c] = m.triangles[i];
    const Vec3 p = m.points[a], q = m.points[b], r = m.points[c];
    for (const Vec3 x : {0.5 * (p + q), 0.5 * (q + r), 0.5 * (r + p), (p + q + r) / 3.0})
      worst = std::max(worst, distance(w, x));
  }
  return worst;
}

struct Example {
  const char* name;
  Spec spec;
  double wall;
};
std::vector<Example> examples() {
  return {
      {"vase", test::vase(), 7},
      {"corners", polyline({{0, 70}, {120, 95}, {190, 85}, {225, 50}, {245, 50}}), 6},
      {"squared vase", test::squared_vase(), 6},
      {"grown box", test::grown_box(), 6},
      {"mitred",
       squared("superellipse",
               {{0, 62, 62, 2}, {120, 98, 78, 5}, {190, 96, 76, 5, true}, {230, 60, 52, 4, true}, {245, 60, 52, 4}}),
       6},
      {"sharp box",
       squared("rounded rectangle", {{0, 62, 62, 3}, {120, 98, 78, 3}, {200, 80, 66, 0}, {240, 60, 60, 0}}), 6},
      {"rhombus", squared("superellipse", {{0, 62, 62, 1.4}, {120, 98, 78, 1.2}, {240, 60, 60, 1}}), 6}};
}

TEST(WareMesh, IsAClosedSolidNearTheSurface) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8, 9, 3), flat = wall_of(e.spec, e.wall, 8);
    for (double asked : {0.25, 0.05}) {
      solid::Mesh m;
      mesh_ware(flat, asked, m);
      const double off = deviation(flat, m, asked < 0.1 ? 5 : 1);
      EXPECT_LE(off, asked * 1.02) << e.name << ", " << m.triangles.size() << " triangles";
      EXPECT_GT(off, asked * 0.2) << e.name;
      mesh_ware(w, asked, m);
      const Result<solid::Solid> s = solid::Solid::checked(m);
      ASSERT_TRUE(s.has_value()) << e.name << ": " << s.findings().front().message;
      mesh_form(w.form(), asked, m);
      EXPECT_TRUE(solid::Solid::checked(m).has_value()) << e.name;
    }
  }
}

// First order in the deviation, whatever the design. Errors of inside and outside may cancel in the ware, hence the
// bound there and the rate on the outer form.
TEST(WareMesh, VolumeTendsToTheQuadratures) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8, 9, 3);
    const WareMeasure m = measure_ware(w, 0);
    const auto form_error = [&](double asked) {
      solid::Mesh mesh;
      mesh_form(w.form(), asked, mesh);
      return std::abs(solid::volume(mesh) - m.outside.volume) / m.outside_area;
    };
    for (double asked : {0.4, 0.1, 0.025}) {
      solid::Mesh mesh;
      mesh_ware(w, asked, mesh);
      EXPECT_LE(std::abs(solid::volume(mesh) - m.clay_volume) / (m.outside_area + m.inside_area), asked) << e.name;
      EXPECT_LE(form_error(asked), asked) << e.name;
    }
    EXPECT_LT(form_error(0.025), 0.25 * form_error(0.4)) << e.name;
  }
}

// GE-12 and U1-05: an inscribed N-gon keeps (N/2pi) sin(2pi/N) of a volume of revolution with straight sides.
TEST(WareMesh, NGonFactor) {
  for (double asked : {2.0, 0.5, 0.1}) {
    solid::Mesh m;
    const Form f = form_of(polyline({{0, 62}, {110, 87}, {180, 77}, {215, 42}, {235, 42}}));
    mesh_form(f, asked, m);
    const double n = static_cast<double>(m.points.size() - 2) / 5;  // five rings
    ASSERT_EQ(n, std::floor(n));
    EXPECT_NEAR(solid::volume(m) / measure_outside(f).volume / (n / (2 * kPi) * std::sin(2 * kPi / n)), 1, 1e-12);
  }
  EXPECT_NEAR(64 / (2 * kPi) * std::sin(2 * kPi / 64), 0.9983944, 5e-8);
  EXPECT_NEAR(128 / (2 * kPi) * std::sin(2 * kPi / 128), 0.9995985, 5e-8);
  EXPECT_NEAR(3927.876 * 64 / (2 * kPi) * std::sin(2 * kPi / 64), 3921.569, 5e-3);
}

TEST(WareMesh, IsTheSameEveryTime) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8);
    solid::Mesh a, b;
    mesh_ware(w, 0.2, a);
    mesh_form(w.form(), 0.5, b);
    mesh_ware(w, 0.2, b);  // into memory that held another mesh
    EXPECT_EQ(a.points, b.points) << e.name;
    EXPECT_EQ(a.triangles, b.triangles) << e.name;
  }
}

// Wider than the shared generator draws: rhombic to nearly rectangular sections, sharp radii, walls from 1 to 15 mm,
// corners anywhere.
Spec harsh(std::uint64_t seed) {
  kerfkiln::test::Random r(seed);
  Spec s;
  const int family = r.below(4), n = 2 + r.below(6);
  s.section = family == 3 ? "rounded rectangle" : "superellipse";
  double height = 0, half = r.between(30, 80);
  const double depth = r.between(0.6, 1.2);
  s.wall = std::exp(r.between(0, std::log(15)));
  for (int i = 0; i < n; ++i) {
    ProfilePoint p;
    p.height = height, p.half_width = half;
    if (family != 0) p.half_depth = half * depth;
    if (family == 2) p.squareness = r.chance(0.2) ? r.between(1, 2) : r.between(2, 16);
    if (family == 3) p.corner_radius = r.chance(0.15) ? 0.0 : r.between(0, 25);
    p.corner = r.chance(0.3);
    s.profile.push_back(p);
    height += r.between(15, 70);
    half = std::clamp(half + r.between(-35, 35), 22.0, 120.0);
  }
  if (r.chance(0.5)) s.base.foot_width = r.between(4, 12), s.base.recess = r.between(1, 5);
  if (r.chance(0.3)) s.base.thickness = r.between(2, 12);
  return s;
}

struct Tally {
  int solids = 0, refused = 0, trimmed = 0;
  double coarse = 0, fine = 0;  // sums of |volume error| / area of the outer form, mm
};
constexpr double kFiner = 0.25;

// Both the ware and the outer form stay within area times deviation at two deviations.
void check_convergence(const Wall& w, double asked, std::uint64_t seed, Tally& tally) {
  const BodyMeasure outside = measure_outside(w.form());
  for (const double deviation : {asked, kFiner * asked}) {
    solid::Mesh mesh;
    mesh_form(w.form(), deviation, mesh);
    const double miss = std::abs(solid::volume(mesh) - outside.volume) / outside.side_area;
    EXPECT_LE(miss, deviation) << seed;
    (deviation == asked ? tally.coarse : tally.fine) += miss;
  }
  if (seed % 4 != 0) return;
  const WareMeasure exact = measure_ware(w, 0);
  EXPECT_LT(exact.error, w.trimmed() ? 3e-6 : 1e-5) << seed;  // untrimmed: the sharpest squares
  for (const double deviation : {asked, kFiner * asked}) {
    solid::Mesh mesh;
    mesh_ware(w, deviation, mesh);
    EXPECT_NEAR(solid::volume(mesh), exact.clay_volume, (exact.outside_area + exact.inside_area) * deviation) << seed;
  }
}
// Of a single form errors of opposite sign may cancel at either deviation; over all of them they fall with it, but for
// the little that whole numbers of chords give a coarse mesh for nothing.
void expect_first_order(const Tally& tally) {
  EXPECT_GT(tally.coarse, 0);
  EXPECT_LE(tally.fine, 1.2 * kFiner * tally.coarse);
}

void check_random(const Spec& s, double asked, std::uint64_t seed, Tally& tally) {
  const Result<Form> form = Form::make(s);
  const auto explained = [&](const Findings& findings) {
    ++tally.refused;
    ASSERT_FALSE(findings.empty());
    for (const Finding& f : findings) {
      EXPECT_FALSE(f.path.empty()) << f.code;
      EXPECT_FALSE(f.remedy.empty()) << f.code;
    }
  };
  if (!form) return explained(form.findings());
  const Result<Wall> w = Wall::make(*form, WallSize::of(s));
  if (!w) return explained(w.findings());
  ++tally.solids;
  if (w->trimmed()) ++tally.trimmed;
  solid::Mesh m;
  mesh_ware(*w, asked, m);
  const Result<solid::Solid> solid = solid::Solid::checked(m);
  EXPECT_TRUE(solid.has_value()) << "seed " << seed << ": " << (solid ? "" : solid.findings().front().message);
  // Bounds of the exact form hold the mesh.
  const solid::Box3 box = solid::bounds(m);
  EXPECT_LE(box.high.x, form->max_width() / 2 + 1e-9) << seed;
  EXPECT_NEAR(box.high.z - box.low.z, form->height(), 1e-9) << seed;
  check_convergence(*w, asked, seed, tally);
  if (seed % 16 != 0) return;
  const double brim = measure_inside(*w, 1e5).volume;
  WallSize thinner = w->size();
  thinner.wall *= 0.8;
  const Result<Wall> less = Wall::make(*form, thinner);
  if (!less) return;
  EXPECT_GT(measure_inside(*less, 1e5).volume, brim) << seed;
}

TEST(RandomUrns, AreSolidsOrExplained) {
  Tally tally;
  for (std::uint64_t seed = 0; seed < 1150; ++seed) check_random(kerfkiln::test::random_urn(seed), 1.2, seed, tally);
  EXPECT_GT(tally.solids, 900);
  expect_first_order(tally);
}

TEST(RandomUrns, HarshOnesToo) {
  Tally tally;
  for (std::uint64_t seed = 0; seed < 900; ++seed) check_random(harsh(seed * 7919 + 1), 1, seed, tally);
  EXPECT_GT(tally.solids, 700);
  EXPECT_GT(tally.trimmed, 200);
  expect_first_order(tally);
}

}  // namespace
}  // namespace kerfkiln::urn
