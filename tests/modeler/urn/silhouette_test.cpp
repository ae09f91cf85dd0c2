// Outlines as drawn against the form's own mesh, cut at each height: a mesh knows neither supports nor envelopes.
#include "modeler/urn/silhouette.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/urn/ware_mesh.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kMesh = 0.02, kChain = 0.02;

Spec twisted(Spec s, double degrees) {
  s.profile.front().twist = 0.0;
  s.profile.back().twist = degrees * test::kPi / 180;
  return s;
}
Spec hexagon() {
  Spec s = test::squared("hexagon", {{0, 62, 0, 20}, {90, 92, 0, 14}, {180, 80, 0, 12}, {240, 50, 0, 30}});
  for (ProfilePoint& p : s.profile) p.half_depth = {};
  return s;
}

// Where the level plane cuts the edges of the mesh: f of each point.
template <class F>
void each_cut(const solid::Mesh& m, double z, F&& f) {
  for (const solid::Triangle& t : m.triangles)
    for (int k = 0; k < 3; ++k) {
      const Vec3 a = m.points[t[static_cast<std::size_t>(k)]], b = m.points[t[static_cast<std::size_t>((k + 1) % 3)]];
      if ((a.z - z) * (b.z - z) < 0) f(a + (z - a.z) / (b.z - a.z) * (b - a));
    }
}
double farthest(const solid::Mesh& m, double z, bool depth) {
  double most = 0;
  each_cut(m, z, [&](Vec3 p) { most = std::max(most, depth ? p.y : p.x); });
  return most;
}
// Distance of the chain from the axis at a height, arcs by points along them.
double drawn(const plane::Loop& chain, double z) {
  double best = INFINITY, reach = 0;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const plane::Segment s = plane::segment(chain, i);
    if (std::min(s.a.y, s.b.y) > z + 1 || std::max(s.a.y, s.b.y) < z - 1) continue;
    for (int q = 0; q <= 2000; ++q) {
      const Vec2 p = s.point(q / 2000.0);
      if (std::abs(p.y - z) < best) best = std::abs(p.y - z), reach = p.x;
    }
  }
  return reach;
}

struct Example {
  const char* name;
  Form form;
};
std::vector<Example> examples() {
  return {{"vase", test::form_of(test::squared_vase())},
          {"vase, crowned", test::form_of(test::squared_vase()).crowned(3)},
          {"box, crowned", test::form_of(test::grown_box()).crowned(2)},
          {"hexagon, crowned", test::form_of(hexagon()).crowned(2)},
          {"vase 75", test::form_of(twisted(test::squared_vase(), 75))},
          {"vase 40, crowned", test::form_of(twisted(test::squared_vase(), 40)).crowned(3)},
          {"box 60", test::form_of(twisted(test::grown_box(), 60))},
          {"hexagon 90", test::form_of(twisted(hexagon(), 90))}};
}

TEST(Silhouette, IsTheFarthestReachOfTheMeshAtEachHeight) {
  for (const Example& e : examples()) {
    solid::Mesh m;
    mesh_form(e.form, kMesh, m);
    for (bool depth : {false, true}) {
      const plane::Loop chain = silhouette_chain(e.form, depth, {1, 1}, kChain);
      for (double share : {0.07, 0.21, 0.33, 0.48, 0.62, 0.71, 0.86, 0.97}) {
        const double z = e.form.low() + share * e.form.height();
        // A slope of the outline turns deviation along the normal into more of it on the level.
        EXPECT_NEAR(drawn(chain, z), farthest(m, z, depth), 3 * (kMesh + kChain)) << e.name << " " << depth << " " << z;
      }
    }
  }
}

// Of a turning square the outline is farther out than the section through the axis nearly everywhere.
TEST(Silhouette, TheCutOfATwistedFormRunsInside) {
  const Form f = test::form_of(twisted(test::squared_vase(), 75));
  solid::Mesh m;
  mesh_form(f, kMesh, m);
  const plane::Loop cut = cut_chain(f, false, {1, 1}, kChain), outline = silhouette_chain(f, false, {1, 1}, kChain);
  double most = 0;
  for (double z : {20.0, 60.0, 100.0, 140.0, 190.0, 220.0}) {
    double on_plane = 0, nearest = INFINITY;
    each_cut(m, z, [&](Vec3 p) {
      if (p.x > 0 && std::abs(p.y) < nearest) nearest = std::abs(p.y), on_plane = p.x;
    });
    EXPECT_NEAR(drawn(cut, z), on_plane, 3 * (kMesh + kChain) + nearest) << z;
    EXPECT_LE(drawn(cut, z), drawn(outline, z) + 2 * kChain);
    most = std::max(most, drawn(outline, z) - drawn(cut, z));
  }
  EXPECT_GT(most, 5);
}

TEST(Silhouette, GirthAndHeightScaleApart) {
  const Form f = test::form_of(twisted(test::squared_vase(), 75));
  const plane::Loop plain = silhouette_chain(f, false, {1, 1}, 0.001),
                    big = silhouette_chain(f, false, {1.2, 1.1}, 0.001);
  for (double z : {33.0, 111.0, 187.0}) EXPECT_NEAR(1.2 * drawn(plain, z), drawn(big, 1.1 * z), 0.01);
}

}  // namespace
}  // namespace kerfkiln::urn
