// Random cushions with creases and pockets: every solid closed and valid, meshes hold what the exact volumes say,
// layers and cuts together are the uncut core.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

#include "modeler/cushion/build.hpp"
#include "modeler/cushion/cells.hpp"
#include "modeler/cushion/cuts.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/support/random_cut.hpp"

namespace kerfkiln::cushion {
namespace {

// Two programs share the seeds, so that they run side by side; KERFKILN_SEED picks one.
struct Seeds {
  std::uint64_t first, last;
  bool all = true;
};
Seeds seeds(std::uint64_t count) {
  if (const char* s = std::getenv("KERFKILN_SEED")) {
    const std::uint64_t seed = std::strtoull(s, nullptr, 10);
    return {seed, seed, false};
  }
  return {KERFKILN_FIRST_SEED, KERFKILN_FIRST_SEED + count - 1};
}

void expect_valid(const solid::Mesh& mesh, int parts) {
  const Result<solid::Solid> solid = solid::Solid::checked(mesh, {parts, true});
  if (solid) return;
  for (const Finding& f : solid.findings()) ADD_FAILURE() << f.code << ": " << f.message;
}

TEST(RandomCuts, AreClosedAndValid) {
  constexpr double kDeviation = 1.5;
  int with = 0;
  const Seeds range = seeds(KERFKILN_FORMS);
  for (std::uint64_t seed = range.first; seed <= range.last; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const test::CutForm c = test::random_cut_form(seed);
    if (c.cuts.none()) continue;
    ++with;
    const Result<Cells> cut = cells(c.form, c.levels, c.cuts.regions, c.cuts.cuts, kDeviation);
    ASSERT_TRUE(cut) << cut.findings()[0].message;
    const solid::Mesh whole = piece(*cut, {});
    expect_valid(whole, shells(whole));
    EXPECT_EQ(parts(*cut, {}), shells(whole));
    double sum = 0;
    for (std::size_t i = 0; i + 1 < c.levels.size(); ++i) {
      SCOPED_TRACE("layer " + std::to_string(i));
      const solid::Mesh layer = piece(*cut, {i, {}, false});
      if (layer.triangles.empty()) continue;
      expect_valid(layer, shells(layer));
      EXPECT_EQ(parts(*cut, {i, {}, false}), shells(layer));
      sum += solid::volume(layer);
    }
    const double uncut = solid::volume(core(cut->relief));
    EXPECT_NEAR(sum, solid::volume(whole), 1e-9 * uncut);
    // What the mesh lost against what the cuts are: their walls may be off by the deviation in plan, their faces up.
    double sides = 0, from_sides = 0;
    for (const plane::Outline& o : c.cuts.regions) sides += plane::perimeter(o) * c.form.height() + 2 * plane::area(o);
    for (const Pocket& p : c.cuts.pockets)
      if (p.from == Pocket::From::side) from_sides += p.volume_mm3;
    EXPECT_NEAR(uncut - sum, c.cuts.volume_mm3() - from_sides, kDeviation * sides + 1);
  }
  if (range.all) {
    EXPECT_GT(with, 0.93 * KERFKILN_FORMS);
  }
}

double sum_of(const product::Product& p, const std::string& before, const std::string& after) {
  double sum = 0;
  for (int i = 1; const product::Figure* f = p.figure(before + std::to_string(i) + after); ++i) sum += f->value;
  return sum;
}

// Of what faces up at a height.
double face_area(const solid::Mesh& m, double z) {
  double sum = 0;
  for (const auto& t : m.triangles) {
    const Vec3 a = m.points[t[0]], b = m.points[t[1]], c = m.points[t[2]];
    if (std::abs(a.z - z) > 1e-4 || std::abs(b.z - z) > 1e-4 || std::abs(c.z - z) > 1e-4) continue;
    sum += std::max(0.0, cross(Vec2{b.x - a.x, b.y - a.y}, Vec2{c.x - a.x, c.y - a.y}) / 2);
  }
  return sum;
}

// Side pockets too, as the product hands them out; slots, pockets and what is left are the uncut core.
TEST(RandomCuts, WholeProducts) {
  constexpr double kDeviation = 0.5;
  const Seeds range = seeds(50);
  for (std::uint64_t seed = range.first; seed <= range.last; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Spec spec = test::random_cut_cushion(seed);
    const product::Product p = build(spec, material::built_in());
    for (const Finding& f : p.findings)
      ASSERT_NE(f.severity, Severity::error) << f.code << " " << f.path << " " << f.message;
    double surface = 0, faces = 0, around = 0, z = 0;
    bool zoned = !spec.layers.back().zones.empty();
    std::size_t layer = 0;
    for (const product::Shape& s : p.shapes) {
      SCOPED_TRACE(s.id);
      const Result<solid::Mesh> mesh = s.mesh(kDeviation);
      ASSERT_TRUE(mesh) << mesh.findings()[0].message;
      if (s.whole) surface = solid::area(*mesh);
      expect_valid(*mesh, s.components);
      EXPECT_NEAR(solid::volume(*mesh), s.volume_mm3, kDeviation * surface);
      if (s.whole || s.id.find("zone") != std::string::npos || ++layer == spec.layers.size()) continue;
      z += spec.layers[layer - 1].thickness.value;
      faces += face_area(*mesh, z);
      zoned = zoned || !spec.layers[layer - 1].zones.empty();
      around += surface / z;
    }
    // Where no zone has upright glue faces and shapes of its own: glue faces as the meshes have them: chords cut off
    // the deviation along their boundary.
    for (std::size_t i = 0; i < spec.pockets.size(); ++i)
      if (const product::Figure* lid = p.figure("pocket." + std::to_string(i + 1) + ".lid.volume"))
        faces += lid->value * 1e6 / spec.pockets[i].lid.foam_thickness.value;
    if (!zoned) {
      EXPECT_NEAR(p.figure("glue.area")->value * 1e6, faces, 0.02 * kDeviation * around + 1);
    }
    spec.creases.clear();
    spec.pockets.clear();
    const double whole = build(spec, material::built_in()).figure("core.volume")->value;
    const double removed = sum_of(p, "crease.", ".volume") + sum_of(p, "pocket.", ".volume");
    EXPECT_NEAR(p.figure("core.volume")->value + removed, whole, 1e-9 * whole);
    EXPECT_NEAR(sum_of(p, "layer.", ".volume"), p.figure("core.volume")->value, 1e-9 * whole);
  }
}

}  // namespace
}  // namespace kerfkiln::cushion
