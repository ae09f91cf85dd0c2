// The comfort laws against the reference's check values F01 to F21 and E01 (reference/cushion part 11; each with its
// own source there). What an independent program printed is compared, not what this one computes.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/base/units.hpp"
#include "modeler/cushion/comfort/foam_law.hpp"
#include "modeler/cushion/comfort/stack.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kLbf = 4.4482216152605, kLb = 0.45359237, kGravity = 9.80665;
constexpr double kPressure = 170 * kLb * kGravity * 0.75 / 0.11 / 1000;  // F07, kPa

StackLayer layer(double mm, double lbf, double support, double density) {
  const double s25 = uniaxial_kpa(lbf * kLbf, 1.3);
  return {mm, *FoamLaw::through(s25, support * s25), open_cell(density).densification, 0.05, 0.22, 0};
}
// The worked stack of reference 1.7, top down.
std::vector<StackLayer> worked() { return {layer(25, 24, 2.0, 40), layer(50, 35, 2.2, 45), layer(50, 60, 2.4, 60)}; }

TEST(Comfort, UnitsAndTheFootF01F02F03) {
  EXPECT_NEAR(*parse_quantity("1.8 lb/ft3", Dimension::density), 28.83, 0.01);  // definition of the pound and foot
  EXPECT_NEAR(kFootM2 * 1e4, 322.58, 1e-9);                                     // 50 in2: ASTM D3574
  EXPECT_NEAR(2 * std::sqrt(kFootM2 / M_PI) * 1000, 202.66, 0.01);
  EXPECT_NEAR(*parse_quantity("30 lbf", Dimension::force), 133.45, 0.01);
  EXPECT_NEAR(uniaxial_kpa(30 * kLbf, 1), 4.137, 0.001);
  EXPECT_DOUBLE_EQ(30 * kHardnessSpread, 3);  // joint foam standards 1994: 30 lbf is delivered within 3 lbf
}

TEST(Comfort, OpenCellsF04) {  // Gibson and Ashby, from memory
  const OpenCell c = open_cell(50);
  EXPECT_NEAR(c.modulus_kpa, 78.125, 0.078);
  EXPECT_NEAR(c.collapse_kpa, 3.906, 0.0039);
  EXPECT_NEAR(c.densification, 0.94167, 0.00094);
}

TEST(Comfort, LawThroughTwoPointsF05) {  // Rusch form, from memory
  const FoamLaw law = *FoamLaw::through(1, 2.2);
  EXPECT_NEAR(law.a_kpa(), 1.48606, 1e-5);
  EXPECT_NEAR(law.b_kpa(), 5.00878, 1e-5);
  EXPECT_NEAR(law.stress(0.4), 1.25712, 1e-5);
  EXPECT_NEAR(law.stress(0.25), 1, 1e-14);
  EXPECT_NEAR(law.stress(0.65), 2.2, 1e-14);
}

// The table of reference 1.3, all seven columns as printed there.
TEST(Comfort, LawTable) {
  const double support[] = {1.8, 2.0, 2.2, 2.4, 2.6, 2.8, 3.0};
  const double a[] = {1.4997, 1.4929, 1.4861, 1.4792, 1.4724, 1.4656, 1.4587};
  const double b[] = {2.7007, 3.8547, 5.0088, 6.1628, 7.3169, 8.4709, 9.6250};
  const double s40[] = {1.2084, 1.2328, 1.2571, 1.2815, 1.3058, 1.3302, 1.3545};
  for (int i = 0; i < 7; ++i) {
    const FoamLaw law = *FoamLaw::through(1, support[i]);
    EXPECT_NEAR(law.a_kpa(), a[i], 5.1e-5);
    EXPECT_NEAR(law.b_kpa(), b[i], 5.1e-5);
    EXPECT_NEAR(law.stress(0.4), s40[i], 5.1e-5);
  }
}

TEST(Comfort, ThirdPointBendsTheLaw) {  // reference 1.3: n = 3.1499
  const FoamLaw law = *FoamLaw::through(1, 1.30, 2.2);
  EXPECT_NEAR(law.high_power(), 3.1499, 1e-4);
  for (const auto& [e, s] : {std::pair{0.25, 1.0}, {0.40, 1.30}, {0.65, 2.2}}) EXPECT_NEAR(law.stress(e), s, 1e-12);
}

TEST(Comfort, LawsThatFitNoFoamAreFindings) {
  for (const double support : {1.2, 60.0}) {
    const Result<FoamLaw> law = FoamLaw::through(4, 4 * support);
    ASSERT_FALSE(law);
    EXPECT_EQ(law.findings()[0].code, "comfort.fit");
    EXPECT_NE(law.findings()[0].message.find("1.33 to 45.7"), std::string::npos) << law.findings()[0].message;
  }
  for (const double middle : {1.05, 2.1}) {
    const Result<FoamLaw> law = FoamLaw::through(1, middle, 2.2);
    ASSERT_FALSE(law);
    EXPECT_EQ(law.findings()[0].code, "comfort.fit");
  }
}

TEST(Comfort, SecondLawF06) {  // modified Gibson form, from memory
  const PlateauLaw law(1, 2.2, 50);
  EXPECT_NEAR(law.power(), 0.91310, 1e-5);
  EXPECT_NEAR(law.stress(0.4), 1.25008, 1e-5);
  for (double e = 0.01; e < 0.9; e += 0.01) EXPECT_NEAR(law.strain(law.stress(e)), e, 1e-12);
}

TEST(Comfort, LawsRiseAndInvert) {
  for (double support = 1.4; support < 6; support += 0.2) {
    const FoamLaw law = *FoamLaw::through(3, 3 * support);
    double before = 0;
    for (double e = 0.002; e < 1; e += 0.002) {
      const double s = law.stress(e);
      EXPECT_GT(s, before);
      EXPECT_NEAR(law.strain(s), e, 1e-12);
      before = s;
      if (std::abs(e - kStraightStrain) > 0.002) {
        EXPECT_NEAR((law.stress(e + 1e-6) - law.stress(e - 1e-6)) / 2e-6, law.slope(e), 1e-4 * law.slope(e));
      }
    }
    EXPECT_EQ(law.strain(law.stress(1) * 2), 1);
    EXPECT_EQ(law.strain(0), 0);
  }
}

TEST(Comfort, SeatedLoadF07F08) {
  EXPECT_NEAR(170 * kLb * kGravity * 0.75, 567.15, 0.01);  // 170 lb: certification dummy
  EXPECT_NEAR(kPressure, 5.156, 0.001);
  EXPECT_NEAR(uniaxial_kpa(35 * kLbf, 1.3), 3.7126, 1e-4);
}

TEST(Comfort, WorkedStackF09F10) {
  const StackState s = pressed(worked(), kPressure);
  EXPECT_NEAR(s.strains[0], 0.6552, 5.1e-5);
  EXPECT_NEAR(s.strains[1], 0.4553, 5.1e-5);
  EXPECT_NEAR(s.strains[2], 0.1333, 5.1e-5);
  EXPECT_NEAR(s.sag_mm, 45.81, 0.0051);
  EXPECT_NEAR(s.left_mm(), 79.19, 0.0051);
  EXPECT_NEAR(s.overall(), 0.3665, 5.1e-5);
  EXPECT_EQ(s.bottoming(), Bottoming::none);
  EXPECT_EQ(layer_bottoming(worked()[0], s.strains[0]), Bottoming::near);
}

TEST(Comfort, SecondLawOfTheWorkedStackF11) {
  double sag = 0;
  for (const auto& [mm, lbf, support, density] :
       {std::tuple{25.0, 24.0, 2.0, 40.0}, {50.0, 35.0, 2.2, 45.0}, {50.0, 60.0, 2.4, 60.0}})
    sag += mm * PlateauLaw(uniaxial_kpa(lbf * kLbf, 1.3), support, density).strain(kPressure);
  EXPECT_NEAR(sag, 43.70, 0.0051);
}

TEST(Comfort, OrderAndSplitDoNotMatterF12F13) {  // law of series
  std::vector<StackLayer> turned = worked();
  std::reverse(turned.begin(), turned.end());
  EXPECT_NEAR(pressed(turned, kPressure).sag_mm, pressed(worked(), kPressure).sag_mm, 1e-9);
  const std::vector<StackLayer> one{layer(125, 35, 2.2, 45)}, five(5, layer(25, 35, 2.2, 45));
  EXPECT_NEAR(pressed(one, kPressure).sag_mm, 56.91, 0.0051);
  EXPECT_NEAR(pressed(five, kPressure).sag_mm, pressed(one, kPressure).sag_mm, 1e-9);
}

TEST(Comfort, PressureForOverallStrainF14) {
  EXPECT_NEAR(pressure_at(worked(), 0.65), 9.592, 5.1e-4);
  const Grade g = effective_grade(worked(), 1.3);
  EXPECT_NEAR(g.indentation_25_n / kLbf, 37.6, 0.051);  // reference 1.7
  EXPECT_NEAR(g.support_factor, 2.41, 0.0051);
  EXPECT_NEAR(pressure_at(worked(), 0.25), 3.9863, 5.1e-5);
}

TEST(Comfort, MarginsF15) {
  EXPECT_NEAR(margin(worked()[0], kPressure), 0.988, 5.1e-4);
  EXPECT_NEAR(margin(worked()[1], kPressure), 1.584, 5.1e-4);
  EXPECT_NEAR(margin(worked()[2], kPressure), 2.963, 5.1e-4);
}

TEST(Comfort, SpringsInSeriesF16) {  // textbook
  const double springs[] = {4, 8, 16};
  EXPECT_NEAR(series_stiffness(springs), 2.2857, 5.1e-5);
  EXPECT_NEAR(stiffness_kpa_mm(worked(), kPressure), 0.0890, 5.1e-5);  // reference 1.7
}

TEST(Comfort, ThicknessUnderAFixedForceF17) {  // the idea of ASTM D3574 B2
  const FoamLaw law = *FoamLaw::through(uniaxial_kpa(35 * kLbf, 1), 2.2 * uniaxial_kpa(35 * kLbf, 1));
  EXPECT_NEAR(100 * (1 - law.strain(uniaxial_kpa(25 * kLbf, 1))), 91.31, 0.0051);
  EXPECT_NEAR(100 * (1 - law.strain(uniaxial_kpa(50 * kLbf, 1))), 53.02, 0.0051);
}

TEST(Comfort, HysteresisAndSetF18) {  // definitions of ASTM D3574 D and ISO 2439 E
  EXPECT_NEAR(hysteresis(12.0, 8.4), 0.30, 1e-15);
  const CompressionSet set = compression_set(50, 25, 47.5);
  EXPECT_DOUBLE_EQ(set.of_thickness, 0.05);
  EXPECT_DOUBLE_EQ(set.of_deflection, 0.10);
}

// Rear and front zone of a measured seat (BioMedical Engineering OnLine 2018, table 2): mean pressures times areas
// close with the load, and a uniform mean over both is what a stack is pressed with.
TEST(Comfort, PublishedSeatLoadClosesF19) {
  const double rear_m2 = 527.13e-4, front_m2 = 342.13e-4;
  const double force = rear_m2 * 8110 + front_m2 * 3470, mean_kpa = force / (rear_m2 + front_m2) / 1000;
  EXPECT_NEAR(force, 546.2, 0.1);
  EXPECT_NEAR((rear_m2 + front_m2) * 1e4, 869.3, 0.1);
  EXPECT_NEAR(mean_kpa, 6.284, 0.001);
  // At each zone's own pressure and at the mean: the mean lies between, as pressure spreads over a soft seat.
  EXPECT_GT(pressed(worked(), mean_kpa).sag_mm, pressed(worked(), 3.47).sag_mm);
  EXPECT_LT(pressed(worked(), mean_kpa).sag_mm, pressed(worked(), 8.11).sag_mm);
}

TEST(Comfort, AgedStackF20) {
  const std::vector<StackLayer> old = aged(worked());
  const StackState s = pressed(old, kPressure);
  double lost = 0;
  for (const StackLayer& l : old) lost += l.thickness_lost;
  EXPECT_NEAR(lost, 6.25, 1e-12);
  EXPECT_NEAR(s.sag_mm, 57.91, 0.0051);
  EXPECT_NEAR(s.sag_mm + lost, 64.16, 0.0051);
  EXPECT_NEAR(s.left_mm(), 60.84, 0.0051);
  EXPECT_NEAR(s.strains[0], 0.751, 5.1e-4);
  EXPECT_NEAR(s.strains[1], 0.569, 5.1e-4);
  EXPECT_NEAR(s.strains[2], 0.274, 5.1e-4);
  EXPECT_EQ(layer_bottoming(old[0], s.strains[0]), Bottoming::bottomed);
}

TEST(Comfort, BandOfTheGradeF21) {
  EXPECT_NEAR(pressed(harder(worked(), 0.9), kPressure).sag_mm, 52.07, 0.0051);
  EXPECT_NEAR(pressed(harder(worked(), 1.1), kPressure).sag_mm, 40.38, 0.0051);
}

// Reference 1.7: the ratio is the largest unknown, and at 10 kPa the stack is through.
TEST(Comfort, RatioAndBottoming) {
  EXPECT_NEAR(pressed(harder(worked(), 1.3), kPressure).sag_mm, 30.96, 0.0051);  // ratio 1.0
  const StackState s = pressed(worked(), 10);
  EXPECT_NEAR(s.sag_mm, 83.20, 0.0051);
  EXPECT_NEAR(s.strains[0], 0.896, 5.1e-4);
  EXPECT_EQ(s.bottoming(), Bottoming::bottomed);
}

TEST(Comfort, LoadedHeightE01) {
  EXPECT_NEAR(460 - pressed(worked(), kPressure).sag_mm, 414.2, 0.1);
  EXPECT_NEAR(450 * std::sin(6 * M_PI / 180), 47.04, 0.01);  // rise of a cushion tilted by 6 degrees
}

}  // namespace
}  // namespace kerfkiln::cushion
