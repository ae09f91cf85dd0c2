// Check values SH-01 ... SH-05: compounding by definition (ASTM C326: each stage on the size before it); setting
// expansion 0.19 % from a published pottery plaster data sheet (USG IG1365); volume conversions are algebra.
#include "modeler/urn/shrinkage.hpp"

#include <gtest/gtest.h>

using namespace kerfkiln;
using namespace kerfkiln::urn;

namespace {

material::Body body(double drying, double firing) {
  material::Body b;
  b.stages = {{"drying", drying, {}, {}}, {"firing", firing, {}, {}}};
  return b;
}
material::Model model(double s) {
  material::Model m;
  m.shrinkage = s;
  return m;
}
material::Plaster plaster(double e) {
  material::Plaster p;
  p.setting_expansion = e;
  return p;
}

TEST(Shrinkage, StagesCompound_SH01) {
  const auto chain = shrinkage_chain(body(0.03, 0.09), model(0), plaster(0), 1);
  EXPECT_NEAR(chain.total.girth, 0.1173, 1e-12);  // not 0.12
  EXPECT_NEAR(chain.oversize.girth, 1.1328877, 5e-8);
  EXPECT_EQ(chain.oversize.girth, chain.oversize.height);
}

TEST(Shrinkage, MultiplyingInsteadOfDividingMisses_SH02) {
  // The error of oversizing by 1 + s: the fired size comes out (1 + s)(1 - s) = 1 - s^2 of what was wanted.
  const auto chain = shrinkage_chain(body(0, 0.125), model(0), plaster(0), 1);
  EXPECT_NEAR((1.125 / chain.oversize.girth - 1) * 100, -1.5625, 1e-9);
  const auto two = shrinkage_chain(body(0.03, 0.09), model(0), plaster(0), 1);
  EXPECT_NEAR(260 * 1.12 / two.oversize.girth, 257.042, 1e-3);
}

TEST(Shrinkage, ChainOf260Millimetres_SH03) {
  const auto chain = shrinkage_chain(body(0.03, 0.09), model(0.045), plaster(0.0019), 1);
  EXPECT_NEAR(260 * chain.state("cavity").over_fired.height, 294.551, 1e-3);
  EXPECT_NEAR(260 * chain.state("model").over_fired.height, 293.992, 1e-3);
  EXPECT_NEAR(260 * chain.state("thrown").over_fired.height, 307.845, 1e-3);
}

TEST(Shrinkage, EachGenerationOfPlasterMultiplies) {
  const auto three = shrinkage_chain(body(0.03, 0.09), model(0), plaster(0.002), 3);
  EXPECT_NEAR(three.state("cavity").over_fired.girth / three.state("model").over_fired.girth, 1.002 * 1.002 * 1.002,
              1e-12);
  const auto none = shrinkage_chain(body(0.03, 0.09), model(0), plaster(0.002), 0);
  EXPECT_EQ(none.state("cavity").over_fired.girth, none.state("model").over_fired.girth);
}

TEST(Shrinkage, LinearFromVolume_SH04) {
  EXPECT_NEAR(linear_from_plastic_volume(0.30), 0.1120960, 5e-8);
  EXPECT_NEAR(linear_from_dry_volume(0.30), 0.0837397, 5e-8);
}

TEST(Shrinkage, VolumeFromLinear_SH05) {
  EXPECT_NEAR(volume_from_linear({0.1173, 0.1173}), 0.3122361, 5e-8);
  EXPECT_NEAR(1 - volume_from_linear({0.11, 0.125}), 0.6930875, 1e-12);
}

TEST(Shrinkage, HeightAndGirthApart) {
  // Worked example of an anisotropic body: 260 high x 190 wide at 12.5 % and 11.0 % (reference algebra: / (1 - s)).
  material::Body b;
  b.stages = {{"drying and firing", 0.11, 0.125, {}}};
  const auto chain = shrinkage_chain(b, model(0), plaster(0), 1);
  EXPECT_NEAR(260 * chain.oversize.height, 297.14, 5e-3);
  EXPECT_NEAR(190 * chain.oversize.girth, 213.48, 5e-3);
}

TEST(Shrinkage, OversizeTimesShrinkIsTheTarget) {
  for (int i = 0; i < 2000; ++i) {
    const double d = 0.00023 * i, f = 0.00023 * ((i * 611 + 13) % 2000);  // both below a half, in no common order
    const auto chain = shrinkage_chain(body(d, f), model(0.045), plaster(0.002), 2);
    EXPECT_NEAR(chain.oversize.girth * (1 - chain.total.girth), 1, 1e-12);
    EXPECT_NEAR(chain.oversize.girth * (1 - d) * (1 - f), 1, 1e-12);
  }
}

TEST(Shrinkage, ABodyWithoutStagesIsAnError) {
  const auto f = check_shrinkage("mystery clay", material::Body{});
  ASSERT_EQ(f.size(), 1u);
  EXPECT_EQ(f[0].code, "shrinkage.missing");
  EXPECT_NE(f[0].message.find("mystery clay"), std::string::npos);
}

}  // namespace
