// The round behind a squared section. GE-05: closed forms of squares and rectangles of equal perimeter (a circle of
// radius 95 pushed square keeps pi / 4 of its area).
#include "modeler/urn/squaring.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/material/spec.hpp"
#include "modeler/urn/build.hpp"
#include "modeler/urn/measure.hpp"
#include "shapes.hpp"

using namespace kerfkiln;
using namespace kerfkiln::urn;
using test::kPi;

namespace {

TEST(Squaring, EqualPerimeter_GE05) {
  const double round = 95, p = 2 * kPi * round;
  struct Case {
    double k, r, ratio;
  };
  for (const Case& c : {Case{1, 0, 0.785398}, Case{1, 20, 0.866245}, Case{1.5, 25, 0.847389}}) {
    const double b = (p + (8 - 2 * kPi) * c.r) / (4 * (1 + c.k)), a = c.k * b;
    const Form f = test::form_of(test::squared("rounded rectangle", {{0, a, b, c.r}, {100, a, b, c.r}}));
    const SectionMeasure m = measure_section(f, 50);
    EXPECT_NEAR(round_diameter(m.perimeter, 1), 2 * round, 1e-9);
    EXPECT_NEAR(m.area / (kPi * round * round), c.ratio, 1e-6);
    EXPECT_NEAR(RoundProfile(f, 1).radius_at(37), round, 1e-9);
    EXPECT_NEAR(RoundProfile(f, 1.03).radius_at(37), round / 1.03, 1e-9);
  }
}

TEST(Squaring, InterpolatedRadiusIsThePerimetersAlongTheWholeForm) {
  for (const Spec& s : {test::squared_vase(), test::grown_box(), test::vase()}) {
    const Form f = test::form_of(s);
    const RoundProfile round(f, 1.02);
    for (int i = 0; i <= 500; ++i) {
      const double z = f.height() * i / 500;
      EXPECT_NEAR(round.radius_at(z), measure_section(f, z).perimeter / (2 * kPi * 1.02), 2e-4) << z;
    }
  }
}

TEST(Squaring, PerimeterByChordsOfTheDrawnSection) {
  const Form f = test::form_of(test::squared_vase());
  for (const ThrownStation& s : thrown_stations(f, {1.2, 1.25}, 1, 20)) {
    std::vector<Vec2> loop = f.section_loop(s.fired_height, 1e-4);
    double around = 0;
    for (std::size_t i = 0; i < loop.size(); ++i) around += norm(loop[(i + 1) % loop.size()] - loop[i]);
    EXPECT_NEAR(s.perimeter, 1.2 * around, 0.02);
    EXPECT_NEAR(s.diameter, s.perimeter / kPi, 1e-9);
    EXPECT_NEAR(s.height, 1.25 * s.fired_height, 1e-9);
  }
}

TEST(Squaring, StationsStandEverySoOftenAndAtCornersAndLip) {
  const Form f = test::form_of(test::squared_vase());  // a corner at 230 of 245
  const auto all = thrown_stations(f, {1.2, 1.2}, 1, 20);
  for (std::size_t i = 0; i + 3 < all.size(); ++i) EXPECT_NEAR(all[i].height, 20.0 * static_cast<double>(i), 1e-9);
  EXPECT_NEAR(all.back().height, 245 * 1.2, 1e-9);
  EXPECT_EQ(std::count_if(all.begin(), all.end(), [](const ThrownStation& s) { return s.corner; }), 1);
}

TEST(Squaring, AnUprightPrismKeepsItsHeight) {
  const Form f = test::form_of(test::squared("superellipse", {{0, 80, 70, 4}, {200, 80, 70, 4}}));
  EXPECT_NEAR(mean_meridian(f, {1, 1.1}), 220, 1e-9);
  EXPECT_NEAR(RoundProfile(f, 1).meridian({1, 1.1}), 220, 1e-9);
  const Form vase = test::form_of(test::vase());
  EXPECT_NEAR(mean_meridian(vase, {1, 1}), RoundProfile(vase, 1).meridian({1, 1}), 1e-4) << "round already";
}

TEST(Squaring, ChainFollowsTheRadius) {
  for (const Spec& s : {test::squared_vase(), test::grown_box()}) {
    const Form f = test::form_of(s);
    const RoundProfile round(f, 1);
    const plane::Loop chain = round.chain({1, 1}, 0.02);
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
      const plane::Segment segment = plane::segment(chain, i);
      for (const double t : {0.0, 0.31, 0.77}) {
        const Vec2 p = segment.point(t);
        EXPECT_NEAR(p.x, round.radius_at(p.y), 0.05) << p.y;
      }
    }
  }
}

TEST(Throwing, GuideAndRibAreDrawnAtTheWetSize) {
  Spec s = test::squared_vase();
  s.name = "vase";
  s.wall = 6;
  s.fill_below_lip = 10;
  s.throwing.stretch = 1.05;
  const product::Product p = build(s, material::built_in());
  ASSERT_FALSE(has_errors(p.findings));
  const auto part = [&](const std::string& id) {
    return std::find_if(p.parts.begin(), p.parts.end(), [&](const product::FlatPart& x) { return x.id == id; });
  };
  ASSERT_NE(part("throwing-guide"), p.parts.end());
  ASSERT_NE(part("rib"), p.parts.end());
  const double wet = p.figure("thrown.height")->value / p.figure("fired.height")->value;
  const Form f = test::form_of(s);
  // A station line of the guide is as long as its diameter.
  int lines = 0;
  for (const product::Stroke& stroke : part("throwing-guide")->sketch.strokes) {
    if (stroke.role != product::LineRole::station) continue;
    const double z = stroke.path[0].at.y / wet;
    EXPECT_NEAR(stroke.path[1].at.x - stroke.path[0].at.x, wet * measure_section(f, z).perimeter / (kPi * 1.05), 1e-6);
    ++lines;
  }
  EXPECT_GE(lines, 15);
  EXPECT_GT(plane::area(part("rib")->sketch.strokes.front().path), 0);
}

TEST(Throwing, TooManyStationsAreRefusedWithTheLeastDistance) {
  Spec s = test::vase();
  s.name = "vase";
  s.wall = 6;
  s.fill_below_lip = 0;
  s.throwing.every = 1;
  const product::Product p = build(s, material::built_in());
  ASSERT_TRUE(std::any_of(p.findings.begin(), p.findings.end(), [](const Finding& f) {
    return f.code == "throwing.every" && f.remedy.find("mm or more") != std::string::npos;
  }));
}

}  // namespace
