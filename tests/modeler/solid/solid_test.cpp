// Mesh measures against closed forms and CGAL; each fault of a mesh under its own code.
#include "modeler/solid/solid.hpp"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Surface_mesh.h>
#include <gtest/gtest.h>

#include "modeler/solid/check.hpp"
#include "tests/modeler/solid/shapes.hpp"

namespace kerfkiln::solid {
namespace {

using std::numbers::pi;

std::string code_of(const Mesh& m, CheckOptions options = {}) {
  const auto result = Solid::checked(m, options);
  if (result) return "";
  EXPECT_NE(result.findings()[0].message, "");
  return result.findings()[0].code;
}

TEST(Mesh, BoxMeasures) {
  const Mesh box = box_mesh({10, 20, 30}, {110, 70, 55});
  EXPECT_DOUBLE_EQ(volume(box), 100. * 50 * 25);
  EXPECT_DOUBLE_EQ(area(box), 2 * (100. * 50 + 50 * 25 + 100 * 25));
  const Vec3 c = centroid(box);
  EXPECT_NEAR(norm(c - Vec3{60, 45, 42.5}), 0, 1e-12);
  EXPECT_EQ(bounds(box).high, (Vec3{110, 70, 55}));
  EXPECT_EQ(volume(reversed(box)), -volume(box));
}

// Pappus: a torus holds 2 pi^2 R r^2 within 4 pi^2 R r; the inscribed mesh tends to it with the square of the step.
TEST(Mesh, TorusTendsToPappus) {
  const double want = 2 * pi * pi * 80 * 900;
  double last = 0;
  for (const std::uint32_t n : {32u, 64u, 128u, 256u}) {
    const double error = 1 - volume(torus_mesh(80, 30, n, n)) / want;
    EXPECT_GT(error, 0);
    if (last > 0) {
      EXPECT_NEAR(last / error, 4, 0.1);
    }
    last = error;
  }
  EXPECT_NEAR(area(torus_mesh(80, 30, 512, 512)) / (4 * pi * pi * 80 * 30), 1, 1e-4);
}

TEST(Mesh, CgalMeasuresTheSame) {
  const Mesh m = torus_mesh(80, 30, 60, 40);
  using P = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
  CGAL::Surface_mesh<P> s;
  std::vector<CGAL::Surface_mesh<P>::Vertex_index> v;
  for (const Vec3 p : m.points) v.push_back(s.add_vertex(P(p.x, p.y, p.z)));
  for (const Triangle& t : m.triangles) s.add_face(v[t[0]], v[t[1]], v[t[2]]);
  EXPECT_NEAR(volume(m) / CGAL::Polygon_mesh_processing::volume(s), 1, 1e-12);
  EXPECT_NEAR(area(m) / CGAL::Polygon_mesh_processing::area(s), 1, 1e-12);
}

TEST(Solid, AcceptsSoundBodies) {
  EXPECT_EQ(code_of(box_mesh({0, 0, 0}, {100, 50, 25})), "");
  const auto torus = Solid::checked(torus_mesh(80, 30, 60, 40));
  ASSERT_TRUE(torus);
  EXPECT_NEAR(torus->volume() / volume(torus_mesh(80, 30, 60, 40)), 1, 1e-6);
  for (const Vec3 p : torus->mesh().points) EXPECT_EQ(p.x, static_cast<float>(p.x));
}

TEST(Solid, CavitiesAndSeparateBodies) {
  const Mesh outer = box_mesh({0, 0, 0}, {100, 100, 100}), inner = box_mesh({30, 30, 30}, {60, 60, 60});
  const Mesh apart = box_mesh({200, 0, 0}, {300, 100, 100}), kernel = box_mesh({40, 40, 40}, {50, 50, 50});
  const auto hollow = Solid::checked(together(outer, reversed(inner)), {.components = 2});
  ASSERT_TRUE(hollow);
  EXPECT_NEAR(hollow->volume(), 1e6 - 27000, 1e-6);
  EXPECT_EQ(code_of(together(outer, inner), {.components = 2}), "solid.inward");
  EXPECT_EQ(code_of(together(outer, apart), {.components = 2}), "");
  EXPECT_EQ(code_of(together(outer, reversed(apart)), {.components = 2}), "solid.inward");
  EXPECT_EQ(code_of(together(together(outer, reversed(inner)), kernel), {.components = 3}), "");
  EXPECT_EQ(code_of(together(outer, apart)), "solid.components");
}

TEST(Solid, NamesEachFault) {
  Mesh open = box_mesh({0, 0, 0}, {100, 50, 25});
  open.triangles.pop_back();
  EXPECT_EQ(code_of(open), "solid.open");
  EXPECT_EQ(code_of(Mesh{}), "solid.open");

  EXPECT_EQ(code_of(reversed(box_mesh({0, 0, 0}, {100, 50, 25}))), "solid.inward");

  Mesh flipped = box_mesh({0, 0, 0}, {100, 50, 25});
  std::swap(flipped.triangles[3][0], flipped.triangles[3][1]);
  EXPECT_EQ(code_of(flipped), "solid.nonmanifold");

  Mesh doubled = box_mesh({0, 0, 0}, {100, 50, 25});
  doubled.triangles.push_back(doubled.triangles[0]);
  EXPECT_EQ(code_of(doubled), "solid.nonmanifold");

  // Two boxes that share one point, and two that share one edge.
  Mesh point = together(box_mesh({0, 0, 0}, {10, 10, 10}), box_mesh({10, 10, 10}, {20, 20, 20}));
  for (Triangle& t : point.triangles)
    for (std::uint32_t& i : t) i = i == 8 ? 7 : i;
  EXPECT_EQ(code_of(point), "solid.nonmanifold");
  Mesh edge = together(box_mesh({0, 0, 0}, {10, 10, 10}), box_mesh({10, 10, 0}, {20, 20, 10}));
  for (Triangle& t : edge.triangles)
    for (std::uint32_t& i : t) i = i == 8 ? 3 : i == 12 ? 7 : i;
  EXPECT_EQ(code_of(edge), "solid.nonmanifold");

  Mesh flat = box_mesh({0, 0, 0}, {100, 50, 25});
  flat.triangles.push_back({0, 0, 1});
  EXPECT_EQ(code_of(flat), "solid.degenerate");
  // Distinct in double, one in float: what the file would hold has no area.
  Mesh thin = box_mesh({0, 0, 100}, {100, 50, 100.000001});
  EXPECT_NE(code_of(thin), "");

  Mesh wild = box_mesh({0, 0, 0}, {100, 50, 25});
  wild.triangles[0][0] = 99;
  EXPECT_EQ(code_of(wild), "solid.index");
  wild = box_mesh({0, 0, 0}, {100, 50, 25});
  wild.points[3].y = std::nan("");
  EXPECT_EQ(code_of(wild), "solid.index");

  // A horn torus runs through itself; two boxes that overlap cross.
  EXPECT_EQ(code_of(torus_mesh(20, 30, 40, 40)), "solid.crossing");
  EXPECT_EQ(code_of(together(box_mesh({0, 0, 0}, {10, 10, 10}), box_mesh({5, 5, 5}, {20, 20, 20})), {.components = 2}),
            "solid.crossing");
  EXPECT_EQ(code_of(torus_mesh(20, 30, 40, 40), {.self_intersection = false}), "");
}

TEST(Solid, FindingsNameThePlace) {
  Mesh open = box_mesh({0, 0, 0}, {100, 50, 25});
  open.triangles.erase(open.triangles.begin());  // 0 3 1, the floor
  const auto result = Solid::checked(open);
  ASSERT_FALSE(result);
  ASSERT_EQ(result.findings().size(), 3u);
  std::string all;
  for (const Finding& f : result.findings()) all += f.message;
  EXPECT_NE(all.find("(50, 25, 0) mm"), std::string::npos) << all;
  EXPECT_NE(all.find("(50, 0, 0) mm"), std::string::npos) << all;
}

TEST(CheckClosed, CountsFurtherPlaces) {
  Mesh m = torus_mesh(80, 30, 60, 40);
  for (std::size_t i = 0; i < 40; ++i) m.triangles.erase(m.triangles.begin() + static_cast<long>(20 * i));
  const Findings f = check_closed(m);
  ASSERT_EQ(f.size(), 4u);
  EXPECT_NE(f[3].message.find("117 further"), std::string::npos) << f[3].message;
}

TEST(Winding, InsideAndOutside) {
  const Mesh t = torus_mesh(80, 30, 60, 40);
  EXPECT_EQ(winding(t, {80, 0, 5}), 1);
  EXPECT_EQ(winding(t, {0, 0, 0}), 0);
  EXPECT_EQ(winding(reversed(t), {80, 0, 5}), -1);
}

}  // namespace
}  // namespace kerfkiln::solid
