// Full-size parts: gauges against the form's profile, template areas against figures, arcs against closed forms.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/gauge.hpp"
#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/skins.hpp"
#include "modeler/cushion/stations.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;
using std::numbers::pi;

EdgeProfile profile(const char* type, std::vector<double> lengths, double height) {
  Result<EdgeProfile> p = edge_profile(type, lengths, height);
  EXPECT_TRUE(p);
  return p ? *p : EdgeProfile{};
}

double length(const plane::Loop& chain) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) sum += plane::segment(chain, i).length();
  return sum;
}

// G01: a 90 degree fillet of r 20 saves 2 r tan(45) - r pi/2 = 8.584 mm of the sharp path.
TEST(ProfileCurve, FilletSavingG01) {
  const ProfileCurve c = profile_curve(profile("round", {20}, 100));
  EXPECT_NEAR(c.run + c.drop - length(c.path), 2 * 20 - 20 * pi / 2, 1e-9);
  EXPECT_NEAR(c.run + c.drop - length(c.path), 8.584, 0.001);
}

// G02: bullnose of a height of 100 mm: arc pi T / 2 = 157.080.
TEST(ProfileCurve, BullnoseArcG02) {
  const ProfileCurve c = profile_curve(profile("bullnose", {}, 100));
  const plane::Loop side = side_curve(c, c, 100);
  EXPECT_NEAR(length(side), pi * 50, 1e-9);
  EXPECT_NEAR(length(side), 157.080, 0.001);
}

// G03: quarter ellipse 80 x 60: 110.517 (reference: integral of sqrt(a^2 sin^2 + b^2 cos^2)). The drawn curve is fitted
// by arcs within 0.02 mm, the profile's own length is exact.
TEST(ProfileCurve, WaterfallG03) {
  const EdgeProfile p = profile("ellipse", {80, 60}, 120);
  EXPECT_NEAR(p.length(), 110.517, 0.001);
  EXPECT_NEAR(length(profile_curve(p).path), 110.517, 0.01);
}

struct GaugeCase {
  const char* type;
  std::vector<double> lengths;
  bool exact;
};

// The gauge's working edge is the form's profile: exact for lines and circles, within the fit for ellipses.
TEST(Gauge, WorkingEdgeIsTheProfile) {
  const double h = 114;
  for (const GaugeCase& c : {GaugeCase{"round", {25}, true}, GaugeCase{"chamfer", {30, 18}, true},
                             GaugeCase{"bullnose", {}, true}, GaugeCase{"ellipse", {60, 40}, false}}) {
    const EdgeProfile top = profile(c.type, c.lengths, h),
                      bottom = c.type == std::string("bullnose") ? top : profile("round", {12}, h);
    GaugeRequest request;
    request.top = top;
    request.bottom = bottom;
    request.height_mm = h;
    request.id = "gauge-1";
    request.sides = {"front"};
    const product::FlatPart part = edge_gauge(request);
    const product::Stroke& cut = part.sketch.strokes.front();
    ASSERT_TRUE(cut.closed);
    ASSERT_EQ(cut.role, product::LineRole::cut);
    EXPECT_GT(plane::area(cut.path), 0);
    const double tolerance = c.exact ? 1e-9 : kCurveFitMm;
    // Every point of the profile lies on the board's edge ...
    for (int k = 0; k <= 200; ++k) {
      const double d = top.inset * k / 200;
      const Vec2 p{d, h - top.drop_at(d)}, q{bottom.inset * k / 200, bottom.drop_at(bottom.inset * k / 200)};
      EXPECT_NEAR(plane::nearest(plane::Outline{cut.path, {}, {}}, p).distance, 0, tolerance) << c.type << " " << d;
      EXPECT_NEAR(plane::nearest(plane::Outline{cut.path, {}, {}}, q).distance, 0, 1e-9) << c.type << " " << d;
    }
    // ... and the foam beyond it is not in the board, the heel and the arm are.
    const plane::Outline board{cut.path, {}, {}};
    EXPECT_FALSE(plane::contains(board, {top.inset + 5, h / 2}));
    EXPECT_TRUE(plane::contains(board, {bottom.inset + 10, -5}));
    EXPECT_TRUE(plane::contains(board, {top.inset + 10, h + 5}));
    EXPECT_TRUE(plane::contains(board, {-5, h / 2}));
  }
}

TEST(ProfileCurve, BandsBetweenHeightsJoinUp) {
  const ProfileCurve b = profile_curve(profile("round", {20}, 100)),
                     t = profile_curve(profile("ellipse", {50, 35}, 100));
  const plane::Loop side = side_curve(b, t, 100);
  double sum = 0;
  Vec2 last = side.front().at;
  for (const auto& [low, high] : {std::pair{0.0, 11.0}, {11.0, 50.0}, {50.0, 80.0}, {80.0, 100.0}}) {
    const plane::Loop band = between_heights(side, low, high);
    ASSERT_GE(band.size(), 2U);
    EXPECT_NEAR(norm(band.front().at - last), 0, 1e-9);
    EXPECT_NEAR(band.front().at.y, low, 1e-9);
    EXPECT_NEAR(band.back().at.y, high, 1e-9);
    last = band.back().at;
    sum += length(band);
  }
  EXPECT_NEAR(sum, length(side), 1e-9);
}

Spec seat() {
  Spec s = block(560, 530, 45, {{"f60", 56}, {"f45", 36}, {"f25", 22}});
  s.top.sides["front"] = edge("ellipse", {70, 50});
  s.top.sides["other"] = edge("round", {30});
  s.bottom.sides["front"] = edge("round", {18});
  return s;
}

// Steiner's formula for the level of a round edge; here the back's own profile all round.
TEST(Templates, LevelOutlineHasTheAreaOfItsJoint) {
  Spec s = seat();
  s.top.sides.erase("front");
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings));
  const product::FlatPart* line = part(p, "glue-line-2");  // at 92, the edge begins at 84
  ASSERT_NE(line, nullptr);
  const double drop = 114 - 92, d = 30 - std::sqrt(900 - (30 - drop) * (30 - drop));
  const double a = 560 * 530 - (4 - pi) * 45 * 45, l = 2 * 1090 - (8 - 2 * pi) * 45;
  EXPECT_NEAR(plane::area(line->sketch.strokes[0].path), a - l * d + pi * d * d, 1e-6);
  EXPECT_EQ(part(p, "glue-line-1"), nullptr);  // in the straight side: the plan template itself
}

TEST(Templates, PartsAreCompleteAndTheirAreasAreTheFigures) {
  const product::Product p = build(seat(), materials());
  ASSERT_FALSE(has_errors(p.findings));
  const product::FlatPart* plan = part(p, "plan");
  ASSERT_NE(plan, nullptr);
  EXPECT_NEAR(plane::area(plan->sketch.strokes[0].path), value(p, "outline.area"), 1e-6);
  int scribes = 0, stations = 0, centres = 0;
  for (const product::Stroke& s : plan->sketch.strokes) {
    scribes += s.role == product::LineRole::scribe;
    stations += s.role == product::LineRole::station;
    centres += s.role == product::LineRole::centre;
  }
  EXPECT_EQ(scribes, 1);
  EXPECT_EQ(stations, 12);
  EXPECT_EQ(centres, 2);
  double glue = 530.0 * 560 - (4 - pi) * 45 * 45;  // joint 1 lies in the straight side, above the bottom front round
  for (const product::FlatPart& x : p.parts) {
    EXPECT_FALSE(x.label.empty());
    EXPECT_FALSE(x.material.empty());
    EXPECT_FALSE(x.face_up.empty());
    EXPECT_EQ(x.count, 1);
    if (x.id.rfind("glue-line", 0) == 0) glue += plane::area(x.sketch.strokes[0].path);
  }
  // Fitted pieces are within 0.002 mm, which over their length is some 0.2 mm2.
  EXPECT_NEAR(glue * 1e-6, value(p, "glue.area"), 1e-6);
}

TEST(Templates, OneGaugeForEachDistinctProfile) {
  const product::Product p = build(seat(), materials());
  int gauges = 0;
  for (const product::FlatPart& x : p.parts) gauges += x.id.rfind("gauge", 0) == 0;
  EXPECT_EQ(gauges, 2);
  ASSERT_NE(part(p, "gauge-front"), nullptr);
  ASSERT_NE(part(p, "gauge-right"), nullptr);
  EXPECT_NE(part(p, "gauge-right")->label.find("back"), std::string::npos);
}

TEST(Stations, LieOnTheirSides) {
  const plane::Outline o = plane::rectangle(560, 130, 20);
  const std::vector<Station> stations = stations_of(o, o.sides);
  ASSERT_EQ(stations.size(), 8U);  // three on the long sides, one on the short ones
  for (const Station& s : stations) {
    EXPECT_NEAR(plane::nearest(o, s.at).distance, 0, 1e-9);
    EXPECT_TRUE(plane::contains(o, s.at + s.inward));
  }
  EXPECT_EQ(stations[0].mark, "F1");
  const plane::Outline same{o.outer, {}, {"side 1", "side 2", "side 3", "side 4"}};
  EXPECT_EQ(stations_of(same, same.sides)[0].mark, "1.1");
}

// Parallel of a chamfer: the distance between its line and the core's is the skins, measured with the point-line
// formula; the faces move by the skins too.
TEST(CoreEdge, ChamferMovesInByTheSkins) {
  for (const auto& [a, b, s] : {std::array{30.0, 18.0, 8.0}, {20.0, 20.0, 11.1}, {12.0, 40.0, 3.0}}) {
    const CoreEdge core = core_edge({"chamfer", {Length(a), Length(b)}}, s, s);
    ASSERT_EQ(core.edge.type, "chamfer");
    // In the core's axes the wanted line runs from (a - s, -s) to (-s, b - s).
    const Vec2 p{a - s, -s}, q{-s, b - s}, n = left(unit(q - p));
    for (const Vec2 on : {Vec2{core.edge.lengths[0].value, 0}, Vec2{0, core.edge.lengths[1].value}})
      EXPECT_NEAR(std::abs(dot(on - p, n)), s, 1e-9);
  }
}

TEST(CoreEdge, RoundsShrinkBySkinsAndAreConsumed) {
  EXPECT_EQ(core_edge({"round", {Length(60)}}, 35, 35).edge.lengths[0].value, 25);  // G08
  EXPECT_EQ(core_edge({"round", {Length(20)}}, 35, 35).edge.type, "square");
  EXPECT_TRUE(core_edge({"round", {Length(20)}}, 35, 35).consumed);
  EXPECT_FALSE(core_edge({"round", {Length(35)}}, 35, 35).consumed);
  EXPECT_EQ(core_edge({"bullnose", {}}, 35, 35).edge.type, "bullnose");
}

}  // namespace
}  // namespace kerfkiln::cushion
