// Three thousand random urns of every form: what can be made is closed, oriented and free of self-intersection (CGAL
// inside the checker), holds more the thinner its wall, and k^3 of it when everything that has a length is k times as
// large; what cannot be made says which field, where and what to do.
//
// In blocks of seeds, so that test programs share them out.
#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <string>

#include "modeler/material/spec.hpp"
#include "modeler/solid/solid.hpp"
#include "modeler/urn/build.hpp"
#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "tests/support/random_design.hpp"
#include "tests/support/random_formed_urn.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kBlocks = 40, kUrns = 75;
constexpr double kDeviation = 1;  // mm
constexpr double kFactors[] = {0.7, 1.1, 1.3};

std::string text(const Findings& findings) {
  std::string all;
  for (const Finding& f : findings) all += f.code + " at " + f.path + ": " + f.message + "\n";
  return all;
}

// A refusal names the field, a place or a range in numbers, and a remedy.
void expect_explained(const Findings& findings) {
  ASSERT_TRUE(has_errors(findings));
  for (const Finding& f : findings) {
    EXPECT_FALSE(f.path.empty()) << f.code;
    EXPECT_FALSE(f.remedy.empty()) << f.code;
    EXPECT_NE(f.message.find_first_of("0123456789"), std::string::npos) << f.code << ": " << f.message;
  }
}

void expect_solid(const solid::Mesh& m, const char* what) {
  const Result<solid::Solid> s = solid::Solid::checked(m);
  EXPECT_TRUE(s) << what << ": " << text(s.findings());
}

std::optional<Wall> wall_of(const Spec& s, double share = 1) {
  const Result<Form> form = Form::make(s);
  if (!form) return std::nullopt;
  WallSize size = WallSize::of(s);
  size.wall *= share;
  Result<Wall> w = Wall::make(*form, size);
  if (!w) return std::nullopt;
  return std::move(w).value();
}
Form made_form(const Spec& s, const Wall& w) {
  return s.bow.flats.known() ? w.form().crowned(s.bow.flats.value) : w.form();
}
double held(const Spec& s, const Wall& w) {
  return integrate_inside_coarsely(w, w.floor(), std::max(w.floor(), w.lip() - s.fill_below_lip.value)).volume;
}

// The floor stays where it is: a base that follows the wall is said to be as thick as the whole wall.
void expect_more_behind_thinner_walls(Spec s, double whole) {
  s.base.thickness = WallSize::of(s).base_thickness;
  double before = whole;
  for (const double share : {0.8, 0.6}) {
    const std::optional<Wall> w = wall_of(s, share);
    ASSERT_TRUE(w) << "a wall of " << share << " of one that can be made";
    const double now = held(s, *w);
    EXPECT_GT(now, before) << share;
    before = now;
  }
}

void expect_cube_law(const Spec& s, const Wall& w, double whole, double k) {
  const Spec large = kerfkiln::test::enlarged(s, k);
  const std::optional<Wall> lw = wall_of(large);
  ASSERT_TRUE(lw) << k;
  const double cube = k * k * k;
  EXPECT_NEAR(held(large, *lw) / whole / cube, 1, 1e-9) << k;
  EXPECT_NEAR(measure_outside(made_form(large, *lw)).volume / measure_outside(made_form(s, w)).volume / cube, 1, 1e-9)
      << k;
}

// The rule for steps towards an answer is no more than a thousandth from the fine one, and the fine one's estimate
// of its error is what rules differ by. Of one urn in five, as the fine rule takes its time.
void expect_coarse_to_be_near(const Wall& w, double fill, double whole, std::uint64_t seed) {
  if (seed % 5 != 0) return;
  const InnerSums fine = integrate_inside(w, w.floor(), std::max(w.floor(), w.lip() - fill));
  EXPECT_NEAR(whole / fine.volume, 1, w.trimmed() ? 1e-3 : 1e-4);
  EXPECT_LT(fine.error, (w.trimmed() ? 2e-6 : 1e-7) * fine.volume);
}

// The whole product with its lid: every solid that it offers.
void expect_product(const Spec& s) {
  const product::Product p = build(s, material::built_in());
  if (has_errors(p.findings)) {
    expect_explained(p.findings);
    return;
  }
  for (const product::Shape& shape : p.shapes) {
    const Result<solid::Mesh> m = shape.mesh(kDeviation);
    ASSERT_TRUE(m) << shape.id;
    expect_solid(*m, shape.id.c_str());
  }
}

class RandomUrns : public testing::TestWithParam<int> {};

TEST_P(RandomUrns, AreSolidsHoldAndScaleOrExplainWhyNot) {
  int made = 0;
  for (int i = 0; i < kUrns; ++i) {
    const auto seed = static_cast<std::uint64_t>(GetParam() * kUrns + i);
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Spec s = kerfkiln::test::random_formed_urn(seed);
    const Result<Form> form = Form::make(s);
    if (!form) {
      expect_explained(form.findings());
      continue;
    }
    const Result<Wall> w = Wall::make(*form, WallSize::of(s));
    if (!w) {
      expect_explained(w.findings());
      continue;
    }
    ++made;
    solid::Mesh mesh;
    mesh_ware(*w, kDeviation, mesh);
    expect_solid(mesh, "ware");
    mesh_form(made_form(s, *w), kDeviation, mesh);
    expect_solid(mesh, "form");
    const double whole = held(s, *w);
    if (!(whole > 0)) {  // the fill line lies below the floor
      expect_explained(build(s, material::built_in()).findings);
      continue;
    }
    expect_more_behind_thinner_walls(s, whole);
    kerfkiln::test::Random r(seed);
    for (const double k : {r.between(0.6, 2.5), kFactors[seed % 3]}) expect_cube_law(s, *w, whole, k);
    expect_coarse_to_be_near(*w, s.fill_below_lip.value, whole, seed);
    if (i % 25 == 0) expect_product(s);
  }
  EXPECT_GT(made, 0.85 * kUrns);
}
INSTANTIATE_TEST_SUITE_P(Seeds, RandomUrns, testing::Range(0, kBlocks));

}  // namespace
}  // namespace kerfkiln::urn
