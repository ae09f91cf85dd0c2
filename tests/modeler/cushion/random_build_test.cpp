// Random designs through the whole product: none is refused, layers sum to the core, blanks hold their layers.
#include <gtest/gtest.h>

#include <cmath>

#include "modeler/cushion/build.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::cushion {
namespace {

TEST(RandomBuild, NoValidDesignIsRefusedAndLayersSumToTheCore) {
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    const Spec spec = test::random_cushion(seed);
    const product::Product p = build(spec, material::built_in());
    ASSERT_FALSE(has_errors(p.findings)) << "seed " << seed;
    const double core = p.figure("core.volume")->value;
    double sum = 0;
    for (std::size_t i = 1; i <= spec.layers.size(); ++i) {
      const std::string layer = "layer." + std::to_string(i);
      const double volume = p.figure(layer + ".volume")->value;
      sum += volume;
      const double blank = p.figure(layer + ".blank.width")->value * p.figure(layer + ".blank.depth")->value *
                           p.figure(layer + ".blank.thickness")->value;
      EXPECT_LE(volume * 1e6, blank) << "seed " << seed << " " << layer;
    }
    EXPECT_NEAR(sum, core, 1e-12 * core) << "seed " << seed;
    EXPECT_GT(core, 0) << "seed " << seed;
  }
}

}  // namespace
}  // namespace kerfkiln::cushion
