// The profile curve: defining properties of the natural cubic, the monotone cubic against Boost.Math's pchip, straight
// lines between corners, maxima of the curve, and what it refuses.
#include "modeler/urn/profile.hpp"

#include <gtest/gtest.h>

#include <math.h>  // pchip.hpp of Boost 1.74 wants ::isnan
#include <algorithm>

#include <boost/math/interpolators/pchip.hpp>
#include <cmath>

#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

std::vector<ProfileNode> nodes() {
  return {{0, 60, 60, 2}, {50, 88, 80, 3}, {130, 104, 90, 6}, {190, 80, 70, 5}, {240, 62, 58, 4}};
}

TEST(Profile, PassesItsPointsWithContinuousCurvatureAndFreeEnds) {
  const Profile p = *Profile::through(nodes());
  const auto& s = p.spans();
  ASSERT_EQ(s.size(), 4u);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_DOUBLE_EQ(s[i].half_width[0], nodes()[i].half_width);
    const ProfileJet end = p.at(static_cast<int>(i), s[i].begin + s[i].length);
    EXPECT_NEAR(end.size.half_width, nodes()[i + 1].half_width, 1e-11);
    EXPECT_NEAR(end.z, nodes()[i + 1].height, 1e-11);
    if (i == 3) break;
    const ProfileJet next = p.at(static_cast<int>(i) + 1, s[i + 1].begin);
    EXPECT_NEAR(end.rate.half_width, next.rate.half_width, 1e-12);
    EXPECT_NEAR(end.rate2.half_depth, next.rate2.half_depth, 1e-13);
    EXPECT_NEAR(end.z_tt, next.z_tt, 1e-13);
  }
  EXPECT_EQ(p.at(0, 0).rate2.half_width, 0);  // natural: no bending at the ends
  EXPECT_NEAR(p.at(3, p.end()).rate2.half_width, 0, 1e-14);
}

TEST(Profile, ParameterIsTheChordInThreeSizes) {
  const Profile p = *Profile::through(nodes());
  EXPECT_NEAR(p.spans()[0].length, std::sqrt(28.0 * 28 + 20 * 20 + 50 * 50), 1e-12);
}

// Boost.Math interpolators, pchip (Fritsch and Butland 1984); the end intervals depend on a choice of end slopes.
TEST(Profile, ShapeIsTheMonotoneCubicOfBoost) {
  const auto n = nodes();
  const Profile p = *Profile::through(n);
  std::vector<double> x, y;
  for (const ProfileSpan& s : p.spans()) x.push_back(s.begin), y.push_back(s.shape[0]);
  x.push_back(p.end()), y.push_back(n.back().shape);
  const std::vector<double> known_x = x;
  boost::math::interpolators::pchip<std::vector<double>> peer(std::move(x), std::move(y));
  for (double t = known_x[1]; t <= known_x[3]; t += 3.7) EXPECT_NEAR(p.at(t).size.shape, peer(t), 1e-10) << t;
  for (double t = 0; t < p.end(); t += 1) EXPECT_LE(p.at(t).size.shape, 6 + 1e-12);
}

TEST(Profile, BetweenTwoCornersItIsStraight) {
  auto n = nodes();
  n[2].corner = n[3].corner = true;
  const Profile p = *Profile::through(n);
  ASSERT_EQ(p.segments(), (std::vector<int>{0, 2, 3, 4}));
  const ProfileSpan& s = p.spans()[2];
  EXPECT_EQ(s.half_width[2], 0);
  EXPECT_EQ(s.half_width[3], 0);
  EXPECT_NEAR(value(s.half_width, 0.25 * s.length), 104 - 0.25 * 24, 1e-12);
}

TEST(Profile, MaximumIsOfTheCurveNotOfThePoints) {
  const Profile p = *Profile::through(nodes());
  double sampled = 0;
  for (int i = 0; i <= 200000; ++i) sampled = std::max(sampled, p.at(p.end() * i / 200000).size.half_width);
  EXPECT_GT(p.max_half_width(), 104.1);
  EXPECT_NEAR(p.max_half_width(), sampled, 1e-8);
}

TEST(Profile, FindsHeights) {
  const Profile p = *Profile::through(nodes());
  for (double z = 0.5; z < 240; z += 7.3) EXPECT_NEAR(p.at(p.at_height(z)).z, z, 1e-11);
}

const Finding& only(const Result<Form>& r) {
  static const Finding none;
  return r.has_value() || r.findings().empty() ? none : r.findings().front();
}

TEST(Form, SaysWhatIsWrongAndWhere) {
  using test::polyline;
  EXPECT_EQ(only(Form::make(polyline({{0, 50}}))).code, "profile.points");
  const Result<Form> falling = Form::make(polyline({{0, 50}, {80, 60}, {70, 60}}));
  EXPECT_EQ(only(falling).code, "profile.heights");
  EXPECT_EQ(only(falling).path, "profile/2/height");
  EXPECT_EQ(only(Form::make(polyline({{0, 50}, {80, 0}}))).path, "profile/1/half_width");
  EXPECT_EQ(only(Form::make(polyline({{0, 50}, {80, NAN}}))).code, "profile.half_width");
  EXPECT_EQ(only(Form::make(polyline({{5, 50}, {80, 60}}))).code, "profile.foot");
  const Result<Form> loose = Form::make(test::squared("superellipse", {{0, 50, 50, 2}, {80, 50, 50, 0.8}}));
  EXPECT_EQ(only(loose).path, "profile/1/squareness");
  const Result<Form> wide = Form::make(test::squared("rounded rectangle", {{0, 50, 40, 41}, {80, 50, 50, 8}}));
  EXPECT_EQ(only(wide).path, "profile/0/corner_radius");
  Spec unknown = test::vase();
  unknown.section = "heptagon";
  EXPECT_EQ(only(Form::make(unknown)).code, "section.unknown");
}

TEST(Form, ReportsAllFaultsAtOnce) {
  Spec s = test::polyline({{0, -1}, {80, 20000}, {160, 50}});
  const Result<Form> r = Form::make(s);
  ASSERT_FALSE(r.has_value());
  EXPECT_EQ(r.findings().size(), 2u);
  for (const Finding& f : r.findings()) EXPECT_FALSE(f.remedy.empty());
}

TEST(Form, RefusesACurveThatFoldsOrCrossesTheAxis) {
  Spec folding;
  for (auto [h, a] : {std::pair{0.0, 40.0}, {4.0, 140.0}, {8.0, 40.0}, {90.0, 42.0}}) {
    ProfilePoint p;
    p.height = h, p.half_width = a;
    folding.profile.push_back(p);
  }
  const Result<Form> r = Form::make(folding);
  ASSERT_FALSE(r.has_value());
  EXPECT_TRUE(std::any_of(r.findings().begin(), r.findings().end(),
                          [](const Finding& f) { return f.code == "profile.folds"; }));
  Spec thin;
  for (auto [h, a] : {std::pair{0.0, 100.0}, {60.0, 4.0}, {140.0, 4.0}, {200.0, 100.0}}) {
    ProfilePoint p;
    p.height = h, p.half_width = a;
    thin.profile.push_back(p);
  }
  const Result<Form> t = Form::make(thin);
  ASSERT_FALSE(t.has_value());
  EXPECT_TRUE(
      std::any_of(t.findings().begin(), t.findings().end(), [](const Finding& f) { return f.code == "profile.axis"; }));
}

}  // namespace
}  // namespace kerfkiln::urn
