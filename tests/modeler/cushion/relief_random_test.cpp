// Properties over seeded random forms: every solid closed and valid, layers fill the core, the mesh within the
// deviation asked.
#include <gtest/gtest.h>

#include <cstdlib>

#include "modeler/cushion/relief.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

constexpr double kDeviation = 2.0;  // coarse: the properties hold at any

void expect_solid(const solid::Mesh& mesh, int parts, bool crossings, const std::string& what) {
  const Result<solid::Solid> s = solid::Solid::checked(mesh, {parts, crossings});
  if (s) return;
  for (const Finding& f : s.findings()) ADD_FAILURE() << what << ": " << f.code << ": " << f.message;
}

TEST(ReliefRandom, SolidsAreValidAndLayersFillTheCore) {
  // KERFKILN_SEED starts elsewhere, KERFKILN_COUNT takes another number of forms.
  const char* from = std::getenv("KERFKILN_SEED");
  const char* many = std::getenv("KERFKILN_COUNT");
  std::uint64_t seed = from ? std::strtoull(from, nullptr, 10) : 1;
  const int count = many ? std::atoi(many) : 2000;
  for (int forms = 0; forms < count && !testing::Test::HasFailure(); ++seed) {
    const RandomForm f = random_form(seed);
    const Result<Form> form = Form::make(f.outline, f.height, f.top, f.bottom);
    if (!form) continue;  // bullnoses and large drops of neighbours do not always fit
    ++forms;
    const std::string what = "seed " + std::to_string(seed);
    const Result<Relief> r = relief(*form, f.levels, kDeviation);
    ASSERT_TRUE(r) << what << ": " << r.findings()[0].message;
    const solid::Mesh whole = core(*r);
    expect_solid(whole, 1, true, what + " core");
    if (seed % 8 == 0) {
      EXPECT_LE(measured_deviation(*form, *r), kDeviation) << what;
    }
    const double volume = solid::volume(whole);
    double sum = 0;
    for (std::size_t i = 0; i + 1 < f.levels.size(); ++i) {
      const std::size_t parts = components(*r, i);
      if (parts == 0) continue;
      const solid::Mesh mesh = layer(*r, i);
      expect_solid(mesh, static_cast<int>(parts), seed % 8 == 0, what + " layer " + std::to_string(i));
      sum += solid::volume(mesh);
    }
    EXPECT_NEAR(sum, volume, 1e-12 * volume) << what;
  }
}

}  // namespace
}  // namespace kerfkiln::cushion::test
