// Edge profiles against their defining equations and against independent integration (tanh-sinh, Boost.Math).
#include <gtest/gtest.h>

#include <boost/math/quadrature/tanh_sinh.hpp>
#include <cmath>
#include <set>

#include "modeler/cushion/edge/edge_type.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

std::vector<EdgeProfile> curved() {
  return {edge("round", {25}), edge("ellipse", {80, 60}), edge("ellipse", {12, 45}), edge("chamfer", {30, 15}),
          edge("bullnose", {}, 90)};
}

TEST(EdgeType, TableIsConsistent) {
  std::set<std::string_view> ids;
  for (const EdgeType* t : edge_types()) {
    EXPECT_TRUE(ids.insert(t->id).second);
    EXPECT_EQ(find_edge_type(t->id), t);
    EXPECT_FALSE(t->label.empty());
    std::vector<double> lengths;
    for (const EdgeLength& l : t->lengths) {
      EXPECT_LE(l.low_mm, l.default_mm);
      EXPECT_LE(l.default_mm, l.high_mm);
      lengths.push_back(l.default_mm);
    }
    EXPECT_TRUE(edge_profile(t->id, lengths, 100));
  }
  EXPECT_EQ(ids, (std::set<std::string_view>{"square", "round", "ellipse", "chamfer", "bullnose"}));
}

TEST(EdgeType, WrongWordsCountsAndLengthsAreFindings) {
  const double two[] = {10, 10}, negative[] = {-1}, zero[] = {0};
  EXPECT_EQ(edge_profile("roundish", {}, 100).findings().at(0).code, "edge.type");
  EXPECT_EQ(edge_profile("round", two, 100).findings().at(0).code, "edge.lengths");
  EXPECT_EQ(edge_profile("round", negative, 100).findings().at(0).code, "length.range");
  EXPECT_EQ(edge_profile("round", negative, 100).findings().at(0).path, "radius");
  EXPECT_TRUE(edge_profile("round", zero, 100)->square());
}

TEST(EdgeType, EllipseDropFollowsItsEquation) {
  // design: drop b (1 - sqrt(1 - (1 - d/a)^2)).
  const EdgeProfile p = edge("ellipse", {80, 60});
  for (double d : {0.0, 0.5, 7.0, 40.0, 79.9, 80.0}) {
    const double v = 1 - d / 80;
    EXPECT_NEAR(p.drop_at(d), 60 * (1 - std::sqrt(1 - v * v)), 1e-12);
  }
  EXPECT_EQ(p.drop_at(81), 0);
  EXPECT_EQ(edge("round", {25}), edge("ellipse", {25, 25}));
  const EdgeProfile b = edge("bullnose", {}, 90);
  EXPECT_EQ(b.inset, 45);
  EXPECT_EQ(b.drop, 45);
}

TEST(EdgeType, LengthsOfTheReferenceTable) {
  // Check values G02 and G03 of the cushion reference: half of a bullnose of 100 is a quarter circle of 50;
  // waterfall quarter ellipse 80 x 60 = 110.517.
  EXPECT_NEAR(2 * edge("bullnose", {}, 100).length(), 157.080, 5e-4);
  EXPECT_NEAR(edge("ellipse", {80, 60}).length(), 110.517, 5e-4);
  EXPECT_NEAR(edge("chamfer", {30, 40}).length(), 50, 1e-12);
}

TEST(EdgeType, InverseSlopeAndParameterAgree) {
  for (const EdgeProfile& p : curved())
    for (double u : {0.01, 0.2, 0.5, 0.8, 0.99}) {
      const Vec2 at = p.curve->point(u);
      EXPECT_NEAR(p.drop_at(at.x), at.y, 1e-11);
      EXPECT_NEAR(p.inset_at(at.y), at.x, 1e-10);
      EXPECT_NEAR(p.curve->parameter(at.x), u, 1e-9);
      const double h = 1e-5;
      EXPECT_NEAR(p.slope_at(at.x), (p.drop_at(at.x + h) - p.drop_at(at.x - h)) / (2 * h),
                  1e-4 * (1 + std::abs(p.slope_at(at.x))));
      EXPECT_NEAR(p.curve->distance(at), 0, 1e-9);
    }
}

TEST(EdgeType, MomentsAgreeWithIndependentIntegration) {
  boost::math::quadrature::tanh_sinh<double> rule;
  for (const EdgeProfile& p : curved())
    for (double to : {0.03 * p.inset, 0.4 * p.inset, p.inset}) {
      const DropCurve::Moments m = p.curve->moments(to);
      const auto integral = [&](int power, int square) {
        return rule.integrate([&](double d) { return std::pow(d, power) * std::pow(p.drop_at(d), square); }, 0.0, to);
      };
      const double scale = p.drop * p.inset;
      EXPECT_NEAR(m.m0, integral(0, 1), 1e-10 * scale);
      EXPECT_NEAR(m.m1, integral(1, 1), 1e-10 * scale * p.inset);
      EXPECT_NEAR(m.m2, integral(2, 1), 1e-10 * scale * p.inset * p.inset);
      EXPECT_NEAR(m.s0, integral(0, 2), 1e-10 * scale * p.drop);
      EXPECT_NEAR(m.s1, integral(1, 2), 1e-10 * scale * p.drop * p.inset);
    }
}

TEST(EdgeType, PathStaysOnTheCurve) {
  for (const EdgeProfile& p : curved()) {
    const plane::Loop path = p.curve->path(0.01);
    EXPECT_EQ(path.front().at, (Vec2{0, p.drop}));
    EXPECT_EQ(path.back().at, (Vec2{p.inset, 0}));
    double length = 0;
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
      const plane::Segment s{path[i].at, path[i + 1].at, path[i].bulge};
      length += s.length();
      for (double t = 0; t <= 1; t += 0.1) EXPECT_LE(p.curve->distance(s.point(t)), 0.0101);
    }
    EXPECT_NEAR(length, p.length(), 0.01);
  }
}

TEST(EdgeType, ChordsOfThePiecesStayWithinTheDeviation) {
  for (const EdgeProfile& p : curved()) {
    const int n = p.curve->pieces(0.05);
    for (int i = 0; i < n; ++i) {
      const Vec2 a = p.curve->point(static_cast<double>(i) / n), b = p.curve->point((i + 1.0) / n);
      for (double t : {0.25, 0.5, 0.75}) EXPECT_LE(p.curve->distance(a + t * (b - a)), 0.05 + 1e-12);
    }
  }
}

}  // namespace
}  // namespace kerfkiln::cushion::test
