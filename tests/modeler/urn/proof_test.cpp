// Squared and faceted forms against OCCT's ruled lofts, untrimmed insides against Steiner's formula, insides trimmed or
// not, twisted or not, against distances by CGAL.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "distance_peer.hpp"
#include "loft_peer.hpp"
#include "modeler/numeric/gauss.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::form_of, test::polygon, test::squared, test::twisted;

// The ring of lines and arcs that a section is at a height, one edge a piece, all round.
std::vector<test::RingEdge> ring_of(const Form& f, double z) {
  const SectionType& type = f.section();
  const SectionSize size = f.size_at(z);
  std::vector<test::RingEdge> ring;
  for (int quadrant = 0; quadrant < 4; ++quadrant)
    for (int k = 0; k < type.pieces; ++k) {
      const bool back = quadrant % 2 == 1;
      const auto at = [&](double v) {
        Vec2 p = type.point(size, back ? type.pieces - 1 - k : k, back ? 1 - v : v);
        if (quadrant == 1 || quadrant == 2) p.x = -p.x;
        if (quadrant >= 2) p.y = -p.y;
        return Vec3{p.x, p.y, z};
      };
      const test::RingEdge e{at(0), at(0.5), at(1)};
      if (norm(e.b - e.a) > 1e-9) ring.push_back(e);
    }
  return ring;
}

// Straight between corners, sizes and radii are linear in the height: exactly the ruled surface between two rings.
TEST(Proof, RuledLoftsOfOcct) {
  struct Case {
    const char* name;
    Spec spec;
  };
  for (const Case& c :
       {Case{"box", squared("rounded rectangle", {{0, 60, 50, 20}, {100, 80, 60, 8}})},
        Case{"stepped box",
             squared("rounded rectangle",
                     {{0, 60, 50, 30}, {90, 95, 78, 12, true}, {160, 88, 60, 25, true}, {200, 50, 44, 40}})},
        Case{"hexagon", polygon("hexagon", {{0, 60, 0, 20}, {80, 90, 0, 10, true}, {170, 55, 0, 30}})},
        Case{"octagon", polygon("octagon", {{0, 60, 0, 12}, {110, 95, 0, 6, true}, {150, 50, 0, 20}})}}) {
    const Form f = form_of(c.spec);
    std::vector<std::vector<test::RingEdge>> rings;
    for (const ProfilePoint& p : c.spec.profile) rings.push_back(ring_of(f, p.height.value));
    const test::LoftMeasure peer = test::ruled_loft(rings);
    const BodyMeasure ours = measure_outside(f);
    EXPECT_NEAR(ours.volume / peer.volume, 1, 1e-8) << c.name;
    EXPECT_NEAR(ours.side_area / peer.side_area, 1, 1e-7) << c.name;
    EXPECT_NEAR(ours.centroid_z, peer.centroid_z, 1e-6) << c.name;
  }
}

// A body upright at foot and lip: its normals there lie level, so that the shell between the side and its parallel is
// swept by them without rest, and Steiner's formula holds for the strip: t A - t^2 Int H + t^3/3 Int K, with H the mean
// curvature and K Gauss's, both positive where convex.
Form upright_body(double shape) {
  struct Ring {
    double z, a, b, n;
  };
  const Ring rings[] = {{0, 60, 52, shape}, {12, 60, 52, shape}, {120, 100, 84, 3}, {230, 58, 55, shape}};
  std::vector<ProfileSpan> spans;
  double begin = 0;
  for (int i = 0; i < 3; ++i) {
    const Ring &p = rings[i], &q = rings[i + 1];
    const double h = q.z - p.z;
    const auto ease = [h](double from, double to) {
      return Cubic{from, 0, 3 * (to - from) / (h * h), -2 * (to - from) / (h * h * h)};
    };
    ProfileSpan s;
    s.begin = begin, s.length = h;
    s.half_width = ease(p.a, q.a), s.half_depth = ease(p.b, q.b), s.shape = ease(p.n, q.n);
    s.height = {p.z, 1, 0, 0};
    begin += h;
    spans.push_back(s);
  }
  return Form(*find_section("superellipse"), *Profile::of_spans(std::move(spans)));
}

TEST(Proof, SteinersFormulaForTheInside) {
  for (double shape : {2.0, 2.6, 4.0}) {
    const Form f = upright_body(shape);
    double area = 0, mean = 0, gauss = 0;
    for (const ProfileSpan& s : f.profile().spans())
      for (const GaussNode& g : gauss_rule(30)) {
        const ProfileJet at =
            f.profile().at(static_cast<int>(&s - f.profile().spans().data()), s.begin + s.length * g.at);
        f.each_node(30, [&](int piece, double v, double weight) {
          const SurfaceJet j = f.jet(at, piece, v);
          const Vec3 n = cross(j.p_v, j.p_t);
          const double size = norm(n), w = 4 * weight * g.weight * s.length * size;
          const double e = dot(j.p_t, j.p_t), m = dot(j.p_t, j.p_v), q = dot(j.p_v, j.p_v);
          const double l = -dot(j.p_tt, n) / size, o = -dot(j.p_tv, n) / size, r = -dot(j.p_vv, n) / size;
          area += w;
          mean += w * 0.5 * (e * r + q * l - 2 * m * o) / (e * q - m * m);
          gauss += w * (l * r - o * o) / (e * q - m * m);
        });
      }
    for (double t : {1.0, 4.0, 8.0}) {
      const Wall w = test::made(Wall::make(f, {t, 5, 0, 0, BaseMade::solid}));
      ASSERT_FALSE(w.trimmed());
      const WareMeasure m = measure_ware(w, 12);
      // The foot's prism below the floor is inside of the same section all the way down.
      const double shell = m.outside.volume - m.inside.volume - m.floor_area * w.floor();
      const double steiner = t * area - t * t * mean + t * t * t / 3 * gauss;
      EXPECT_NEAR(shell / steiner, 1, 1e-8) << shape << " " << t;
    }
  }
}

// Vertices of the inside lie a wall from the outside; between them no point is nearer than that, but for the meshes'
// deviations.
TEST(Proof, DistancesByCgal) {
  struct Case {
    const char* name;
    Spec spec;
    double wall;
    bool trimmed;
  };
  const Spec boxed =
      squared("rounded rectangle", {{0, 62, 62, 50}, {90, 104, 90, 20}, {180, 110, 92, 4}, {240, 60, 56, 10}});
  const Spec hexagon = polygon("hexagon", {{0, 62, 0, 30}, {90, 92, 0, 4}, {180, 80, 0, 6}, {240, 50, 0, 30}});
  const Spec shouldered = squared(
      "superellipse",
      {{0, 62, 60, 3}, {120, 98, 78, 5, true}, {150, 92, 74, 5, true}, {200, 60, 52, 3, true}, {230, 58, 50, 2.5}});
  for (const Case& c :
       {Case{"vase", test::squared_vase(), 6, false}, Case{"vase 40", twisted(test::squared_vase(), 40), 6, false},
        Case{"box", boxed, 7, true}, Case{"box 60", twisted(boxed, 60), 7, true}, Case{"hexagon", hexagon, 8, true},
        Case{"hexagon 60", twisted(hexagon, 60), 8, true}, Case{"shouldered", shouldered, 7, true}}) {
    constexpr double kFine = 0.01, kCoarse = 0.1;
    const Wall w = test::wall_of(c.spec, c.wall, 9);
    EXPECT_EQ(w.trimmed(), c.trimmed) << c.name;
    solid::Mesh side, ware;
    mesh_form(w.form(), kFine, side);
    mesh_ware(w, kCoarse, ware);
    // The outside alone: foot and lip are not walls.
    std::erase_if(side.triangles, [&](const solid::Triangle& t) {
      const double a = side.points[t[0]].z, b = side.points[t[1]].z, d = side.points[t[2]].z;
      return a == b && b == d && (a == w.form().low() || a == w.lip());
    });
    const std::vector<double> off = test::distances(ware.points, side);
    double nearest = INFINITY, farthest = 0;
    std::vector<bool> inside(ware.points.size());
    int count = 0;
    for (std::size_t i = 0; i < off.size(); ++i) {
      const Vec3 p = ware.points[i];
      // Not of the outside, the foot or the floor's middle.
      inside[i] = off[i] > 0.5 * c.wall && p.z > w.floor() + 1e-9;
      if (!inside[i]) continue;
      ++count;
      nearest = std::min(nearest, off[i]), farthest = std::max(farthest, off[i]);
    }
    EXPECT_GT(count, 1000) << c.name;
    EXPECT_GT(nearest, c.wall - kFine - 1e-4) << c.name;
    EXPECT_LT(farthest, c.wall + kFine + 1e-4) << c.name;
    std::vector<Vec3> middles;
    for (const auto& [p, q, r] : ware.triangles)
      if (inside[p] && inside[q] && inside[r])
        middles.push_back((ware.points[p] + ware.points[q] + ware.points[r]) / 3.0);
    const std::vector<double> between = test::distances(middles, side);
    EXPECT_GT(*std::min_element(between.begin(), between.end()), c.wall - kCoarse - kFine) << c.name;
    EXPECT_LT(*std::max_element(between.begin(), between.end()), c.wall + kCoarse + kFine) << c.name;
  }
}

}  // namespace
}  // namespace kerfkiln::urn
