// Meshes of twisted forms and of forms with level places: everywhere as near to the exact surfaces as asked, by CGAL's
// distances, and their volume tends to the quadrature's.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "distance_peer.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::polygon, test::squared, test::twisted, test::wall_of;

struct Example {
  const char* name;
  Spec spec;
  double wall;
};
std::vector<Example> examples() {
  const Spec hexagon = polygon("hexagon", {{0, 62, 0, 62}, {90, 92, 0, 14}, {180, 80, 0, 12}, {240, 50, 0, 50}});
  const Spec octagon = polygon("octagon", {{0, 60, 0, 6}, {110, 95, 0, 3}, {200, 70, 0, 3, true}, {240, 55, 0, 8}});
  const Spec stepped =
      squared("rounded rectangle",
              {{0, 62, 62, 12}, {190, 90, 80, 12, true}, {190, 45, 40, 10, true}, {220, 45, 40, 10, true}});
  // A flare almost level, and arrises sharpened to nothing on a form that turns.
  const Spec flared = squared(
      "rounded rectangle",
      {{0, 70, 64, 30}, {150, 63, 58, 13}, {210, 104, 96, 38, true}, {212.5, 144, 132, 62, true}, {270, 190, 175, 78}});
  const Spec sharp = squared("rounded rectangle", {{0, 42, 50, 19}, {55, 80, 94, 0}, {115, 117, 137, 39}});
  Spec shoulder = test::squared_vase();
  shoulder.profile[2].tangent = "level";
  return {{"squared 40", twisted(test::squared_vase(), 40), 6},
          {"box 60", twisted(test::grown_box(), 60), 6},
          {"hexagon 90", twisted(hexagon, 90), 6},
          {"octagon", octagon, 7},
          {"octagon -50", twisted(octagon, -50), 7},
          {"stepped", stepped, 6},
          {"stepped 30", twisted(stepped, 30), 6},
          {"level shoulder", shoulder, 6},
          {"flared", flared, 7},
          {"sharp 20", twisted(sharp, 20), 13}};
}

// How far middles of edges and triangles lie off the surface that their corners lie on, over all triangles. The
// outside's own picture stands for it, ten times as fine: by distances of CGAL.
struct Off {
  double corner = 0, outside = 0, thin = 0, thick = 0;
  int outer = 0, inner = 0, beyond = 0;
};
Off deviations(const Wall& w, double asked, double fine) {
  solid::Mesh side, ware;
  mesh_form(w.form(), fine, side);
  mesh_ware(w, asked, ware);
  const auto level = [](const solid::Mesh& m, const solid::Triangle& t) {
    return m.points[t[0]].z == m.points[t[1]].z && m.points[t[1]].z == m.points[t[2]].z;
  };
  // Foot and lip are no wall, and closed by planes; a level place of the outside is.
  std::erase_if(side.triangles, [&](const solid::Triangle& t) {
    const double z = side.points[t[0]].z;
    return level(side, t) && (z == w.form().low() || z == w.lip());
  });
  const std::vector<double> corners = test::distances(ware.points, side);
  std::vector<Vec3> looks;
  std::vector<bool> outer;
  Off off;
  for (const solid::Triangle& t : ware.triangles) {
    if (level(ware, t)) continue;
    const auto [a, b, c] = t;
    const Vec3 p = ware.points[a], q = ware.points[b], r = ware.points[c];
    const bool out = corners[a] < 0.5 * w.size().wall;
    ++(out ? off.outer : off.inner);
    for (const std::uint32_t id : t)
      off.corner = std::max(off.corner, std::abs(out ? corners[id] : corners[id] - w.size().wall));
    for (const Vec3 x : {0.5 * (p + q), 0.5 * (q + r), 0.5 * (r + p), (p + q + r) / 3.0})
      looks.push_back(x), outer.push_back(out);
  }
  const std::vector<double> away = test::distances(looks, side);
  for (std::size_t i = 0; i < away.size(); ++i) {
    if (outer[i]) {
      off.outside = std::max(off.outside, away[i]);
    } else {
      off.thin = std::max(off.thin, w.size().wall - away[i]);
      off.thick = std::max(off.thick, away[i] - w.size().wall);
      if (away[i] > w.size().wall + asked + fine) ++off.beyond;
    }
  }
  return off;
}

TEST(Deviation, IsNowhereMoreThanAsked) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8);
    for (const double asked : {0.25, 0.05}) {
      const double fine = 0.1 * asked;
      const Off off = deviations(w, asked, fine);
      const std::string which = std::string(e.name) + " at " + std::to_string(asked);
      EXPECT_GT(off.outer, 100) << which;
      EXPECT_GT(off.inner, 100) << which;
      EXPECT_LT(off.corner, fine) << which;
      EXPECT_LE(off.outside, asked + fine) << which;
      EXPECT_LE(off.thin, asked + fine) << which;
      EXPECT_LE(off.thick, asked + fine) << which << ": " << off.beyond << " looks of " << 4 * off.inner;
    }
  }
}

TEST(Deviation, VolumesTendToTheExactOnes) {
  double coarse = 0, fine = 0;
  for (const Example& e : examples()) {
    const Wall w = wall_of(e.spec, e.wall, 8, 9, 3);
    const WareMeasure exact = measure_ware(w, 12);
    EXPECT_LT(exact.error, w.trimmed() ? 2e-6 : 1e-9) << e.name;
    for (const double asked : {0.4, 0.1, 0.025}) {
      solid::Mesh m;
      mesh_ware(w, asked, m);
      const double clay = std::abs(solid::volume(m) - exact.clay_volume) / (exact.outside_area + exact.inside_area);
      EXPECT_LT(clay, 0.1 * asked) << e.name;
      mesh_form(w.form(), asked, m);
      const double form = std::abs(solid::volume(m) - exact.outside.volume) / exact.outside_area;
      EXPECT_LT(form, 0.35 * asked) << e.name;
      if (asked == 0.4) coarse += clay + form;
      if (asked == 0.025) fine += clay + form;
    }
  }
  // First order over all of them.
  EXPECT_LT(fine, 1.2 / 16 * coarse);
}

}  // namespace
}  // namespace kerfkiln::urn
