// Shrinkage from test bars: check values SH-06 ... SH-11 (ten bars, worked by hand from the definitions; prediction
// interval of the normal distribution), Student quantiles against a published table, coverage by Monte Carlo.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "modeler/numeric/student.hpp"
#include "modeler/urn/shrinkage.hpp"

using namespace kerfkiln;
using namespace kerfkiln::urn;

namespace {

const std::vector<double> kDry{96.9, 97.0, 97.1, 97.0, 96.8, 97.0, 97.2, 97.0, 96.9, 97.1};
const std::vector<double> kFired{88.1, 88.3, 88.4, 88.2, 87.9, 88.3, 88.6, 88.3, 88.0, 88.4};

material::ShrinkageStage stage(const char* name, const std::vector<double>& before, const std::vector<double>& after) {
  material::ShrinkageStage s;
  s.name = name;
  for (std::size_t i = 0; i < before.size(); ++i) s.bars.push_back({before[i], after[i]});
  return s;
}
material::Body followed() {
  material::Body b;
  b.stages = {stage("drying", std::vector<double>(10, 100), kDry), stage("firing", kDry, kFired)};
  return b;
}
ShrinkageChain chain_of(const material::Body& b) {
  material::Model m;
  m.shrinkage = 0;
  material::Plaster p;
  p.setting_expansion = 0;
  return shrinkage_chain(b, m, p, 1);
}
const Finding* finding(const Findings& all, const std::string& code) {
  for (const Finding& f : all)
    if (f.code == code) return &f;
  return nullptr;
}

// NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2 (from memory), three decimals.
TEST(Student, QuantilesOfThePublishedTable) {
  struct Row {
    double freedom, p90, p975, p995;
  };
  for (const Row& r : {Row{1, 3.078, 12.706, 63.657}, Row{2, 1.886, 4.303, 9.925}, Row{3, 1.638, 3.182, 5.841},
                       Row{5, 1.476, 2.571, 4.032}, Row{10, 1.372, 2.228, 3.169}, Row{20, 1.325, 2.086, 2.845},
                       Row{30, 1.310, 2.042, 2.750}, Row{100, 1.290, 1.984, 2.626}}) {
    EXPECT_NEAR(student_quantile(0.90, r.freedom), r.p90, 6e-4) << r.freedom;
    EXPECT_NEAR(student_quantile(0.975, r.freedom), r.p975, 6e-4) << r.freedom;
    EXPECT_NEAR(student_quantile(0.995, r.freedom), r.p995, 6e-4) << r.freedom;
  }
  EXPECT_NEAR(normal_quantile(0.975), 1.959964, 1e-6);
  EXPECT_NEAR(normal_share(1), 0.841345, 1e-6);
}

TEST(Student, CheckValues_SH07) {
  EXPECT_NEAR(student_quantile(0.975, 9), 2.262157, 1e-6);
  EXPECT_NEAR(student_quantile(1 - 0.025 / 12, 9), 3.807878, 1e-6);
}

TEST(Bars, MeanAndDeviationOfTheSameBarsThroughAllStages_SH06) {
  const ShrinkageChain c = chain_of(followed());
  EXPECT_TRUE(c.body.girth.same_bars);
  EXPECT_TRUE(c.body.girth.whole);
  EXPECT_NEAR(c.total.girth * 100, 11.7500, 1e-9);
  EXPECT_NEAR(c.body.girth.deviation * 100, 0.206828, 1e-6);
  EXPECT_NEAR(c.oversize.girth, 1.133144, 1e-6);
  EXPECT_EQ(c.oversize.girth, c.oversize.height);
  EXPECT_TRUE(check_shrinkage("b", followed()).empty());
}

TEST(Bars, PredictionIntervals_SH08_SH09) {
  const ShrinkageChain c = chain_of(followed());
  const double base = 1 - c.total.girth;
  EXPECT_NEAR(c.body.girth.half_width(1) * base * 100, 0.490714, 1e-6);
  EXPECT_NEAR(c.body.girth.half_width(12) * base * 100, 0.826017, 1e-6);
  EXPECT_NEAR(260 * c.body.girth.half_width(1), 1.4457, 1e-4);
  EXPECT_NEAR(260 * c.body.girth.half_width(12), 2.4336, 1e-4);
  // Capacity: three times the relative size, 1.67 % (reference section 1.6).
  EXPECT_NEAR(3 * c.body.girth.half_width(1) * 100, 1.67, 5e-3);
}

// u(g)^2 = u_g^2 + u_l^2 - 2 rho u_g u_l of gallery 104 and flange 101.
TEST(Bars, GapOfALid_SH10_SH11) {
  const Spread s = chain_of(followed()).body.girth;
  const double one = s.relative / std::sqrt(1 + 1.0 / s.bars), g = 104 * one, l = 101 * one;
  const auto u = [&](double rho) { return std::sqrt(g * g + l * l - 2 * rho * g * l); };
  EXPECT_NEAR(u(0), 0.33977, 1e-5);
  EXPECT_NEAR(u(0.5), 0.24030, 1e-5);
  EXPECT_NEAR(u(0.9), 0.10765, 1e-5);
  EXPECT_NEAR(3 - student_quantile(0.975, s.freedom) * std::sqrt(1 + 1.0 / s.bars) * u(0.5), 2.430, 1e-3);
}

TEST(Bars, AddingTheVariancesOfStagesWouldBeWrong) {
  // Drying and firing of one bar go against each other or together; the total of the same bars knows, a sum does not.
  material::Body other = followed();
  std::reverse(other.stages[1].bars.begin(), other.stages[1].bars.end());
  const Spread same = chain_of(followed()).body.girth, apart = chain_of(other).body.girth;
  EXPECT_FALSE(apart.same_bars);
  EXPECT_GT(std::abs(apart.deviation / same.deviation - 1), 0.1);
  const double d = 0.00115470 / 0.97, f = 0.0010990 / (1 - 0.090207);
  EXPECT_NEAR(apart.relative / std::sqrt(1.1), std::hypot(d, f), 2e-6);
  // Nearly equal parts of nine degrees each: nearly eighteen (Welch and Satterthwaite).
  EXPECT_NEAR(apart.freedom, 18, 0.1);
  const Findings notes = check_shrinkage("b", other);
  ASSERT_TRUE(finding(notes, "shrinkage.bars_differ"));
  EXPECT_FALSE(has_errors(notes));
}

TEST(Bars, HeightBarsCountForTheHeightAlone) {
  material::Body b = followed();
  b.stages[1].height_bars = {{100, 90}, {100, 90.2}, {100, 89.8}};
  const ShrinkageChain c = chain_of(b);
  EXPECT_NEAR(c.total.girth, 0.1175, 1e-9);
  EXPECT_NEAR(c.total.height, 1 - 0.97 * 0.9, 1e-9);
  EXPECT_GT(c.body.height.half_width(1), c.body.girth.half_width(1));
}

TEST(Bars, TheModelsOwnScatterWidensTheFiredBand) {
  material::Model m;
  m.bars = {{200, 191}, {200, 191.4}, {200, 190.6}, {200, 191.1}, {200, 190.9}};
  material::Plaster p;
  p.setting_expansion = 0.002;
  const ShrinkageChain c = shrinkage_chain(followed(), m, p, 1);
  EXPECT_NEAR(c.model.girth, 0.045, 1e-12);
  EXPECT_GT(c.with_model.girth.relative, c.body.girth.relative);
  EXPECT_NEAR(c.state("thrown").over_fired.girth, c.oversize.girth / 1.002 / 0.955, 1e-12);
}

// 95 of 100 future pieces lie in the interval for one, and 95 of 100 batches wholly in that for the batch or better.
TEST(Bars, CoverageByMonteCarlo) {
  std::mt19937_64 random(7);
  std::normal_distribution<double> drying(0.03, 0.0012), firing(0.09, 0.0016);
  constexpr int kTrials = 20000, kPieces = 12;
  int one = 0, all = 0, combined = 0;
  for (int trial = 0; trial < kTrials; ++trial) {
    material::Body same, apart;
    std::vector<double> start(6, 100), dry, fired, dry2, fired2, hundred(8, 100);
    for (int i = 0; i < 6; ++i) {
      dry.push_back(100 * (1 - drying(random)));
      fired.push_back(dry.back() * (1 - firing(random)));
      dry2.push_back(100 * (1 - drying(random)));
    }
    for (int i = 0; i < 8; ++i) fired2.push_back(100 * (1 - firing(random)));
    same.stages = {stage("d", start, dry), stage("f", dry, fired)};
    apart.stages = {stage("d", start, dry2), stage("f", hundred, fired2)};
    const ShrinkageChain s = chain_of(same), a = chain_of(apart);
    bool every = true;
    for (int i = 0; i < kPieces; ++i) {
      const double size = (1 - drying(random)) * (1 - firing(random));
      const double off = std::abs(size * s.oversize.girth - 1);
      if (i == 0) {
        one += off <= s.body.girth.half_width(1);
        combined += std::abs(size * a.oversize.girth - 1) <= a.body.girth.half_width(1);
      }
      every = every && off <= s.body.girth.half_width(kPieces);
    }
    all += every;
  }
  const double sure = 3.3 * std::sqrt(0.95 * 0.05 / kTrials);
  EXPECT_NEAR(static_cast<double>(one) / kTrials, 0.95, sure);
  EXPECT_NEAR(static_cast<double>(combined) / kTrials, 0.95, sure + 0.005);  // effective degrees are an approximation
  EXPECT_GT(static_cast<double>(all) / kTrials, 0.95 - sure);
}

TEST(Bars, TwoBarsAreTooFewAndTheCountIsNamed) {
  material::Body b;
  b.stages = {stage("drying", {100, 100}, {97, 97.1})};
  const Findings f = check_shrinkage("grey", b);
  ASSERT_TRUE(finding(f, "shrinkage.bars_few"));
  EXPECT_NE(finding(f, "shrinkage.bars_few")->message.find("has 2 test bars"), std::string::npos);
}

TEST(Bars, ABarThatGrowsIsNamed) {
  material::Body b;
  b.stages = {stage("drying", {100, 100, 100}, {97, 101, 97})};
  const Findings f = check_shrinkage("grey", b);
  ASSERT_TRUE(finding(f, "shrinkage.bars_grow"));
  EXPECT_NE(finding(f, "shrinkage.bars_grow")->message.find("bar 2"), std::string::npos);
}

TEST(Bars, NoShrinkageAndHalfOfItAreRefused) {
  for (const double s : {0.0, 0.5, 0.9}) {
    material::Body b;
    b.stages = {{"drying", s, {}, {}}};
    EXPECT_TRUE(finding(check_shrinkage("grey", b), "shrinkage.range")) << s;
  }
  material::Model printed;
  printed.shrinkage = 0;
  EXPECT_TRUE(check_shrinkage("printed", printed).empty());
}

TEST(Bars, AFigureThatTheBarsContradictIsSaid) {
  material::Body b = followed();
  b.stages[0].shrinkage = 0.03;
  EXPECT_TRUE(check_shrinkage("grey", b).empty());
  b.stages[0].shrinkage = 0.035;
  const Findings f = check_shrinkage("grey", b);
  ASSERT_TRUE(finding(f, "shrinkage.two_values"));
  EXPECT_FALSE(has_errors(f));
  EXPECT_NEAR(stage_shrinkage(b.stages[0]).girth, 0.03, 1e-12);
}

TEST(Bars, AVolumeFigureSaysItsBasis_SH04) {
  material::ShrinkageStage s;
  s.volume_shrinkage = 0.30;
  EXPECT_NEAR(stage_shrinkage(s).girth, 0.1120960, 5e-8);
  s.volume_of = "after";
  EXPECT_NEAR(stage_shrinkage(s).girth, 0.0837397, 5e-8);
}

}  // namespace
