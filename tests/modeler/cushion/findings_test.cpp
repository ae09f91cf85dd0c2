// Designs that cannot be made, or only in part: each finding by code and path, with a message that names value and
// range and a remedy.
#include <gtest/gtest.h>

#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;

struct Case {
  const char* name;
  const char* code;
  const char* path;
  Severity severity;
  void (*spoil)(Spec&);
};

Spec good() {
  Spec s = block(480, 460, 40, {{"f60", 50}, {"f45", 30}});
  s.top.sides["other"] = edge("round", {20});
  return s;
}

VertexSpec vertex(double x, double y, double radius = 0, const char* side = "", double bulge = 0) {
  VertexSpec v;
  v.x = x;
  v.y = y;
  v.radius = radius;
  v.side = side;
  v.bulge = bulge;
  return v;
}

void square_with(Spec& s, VertexSpec third) {
  s.outline = VerticesSpec{{vertex(0, 0), vertex(400, 0), std::move(third), vertex(0, 400)}, {}};
}

const Case kCases[] = {
    {"width", "outline.size", "outline/rectangle/width", Severity::error,
     [](Spec& s) { std::get<RectangleSpec>(s.outline).width = 20000; }},
    {"metres_typed_bare", "outline.scale", "outline/rectangle/width", Severity::warning,
     [](Spec& s) {
       std::get<RectangleSpec>(s.outline).width = 48;
       std::get<RectangleSpec>(s.outline).corner_radius = 5;
     }},
    {"edges_named_together", "edges.height", "edges/top/other", Severity::error,
     [](Spec& s) { s.top.sides["other"] = edge("round", {90}); }},
    {"no_depth", "outline.size", "outline/rectangle/depth", Severity::error,
     [](Spec& s) { std::get<RectangleSpec>(s.outline).depth = Length(); }},
    {"corner", "outline.radius", "outline/rectangle/corner_radius", Severity::error,
     [](Spec& s) { std::get<RectangleSpec>(s.outline).corner_radius = 231; }},
    {"vertex_radius", "outline.radius", "outline/vertices/2/radius", Severity::error,
     [](Spec& s) { square_with(s, vertex(400, 400, 500)); }},
    {"crossing", "outline.crossing", "outline/vertices", Severity::error,
     [](Spec& s) {
       s.outline = VerticesSpec{{vertex(0, 0), vertex(400, 0), vertex(0, 300), vertex(400, 310)}, {}};
     }},
    {"side_called_other", "outline.name", "outline/vertices/2/side", Severity::error,
     [](Spec& s) { square_with(s, vertex(400, 400, 0, "other")); }},
    {"clockwise", "outline.clockwise", "outline/vertices", Severity::note,
     [](Spec& s) {
       s.outline = VerticesSpec{{vertex(0, 0), vertex(0, 400), vertex(400, 400), vertex(400, 0)}, {}};
     }},
    {"no_layers", "layers.none", "layers", Severity::error, [](Spec& s) { s.layers.clear(); }},
    {"layer_thickness", "layers.thickness", "layers/1/thickness", Severity::error,
     [](Spec& s) { s.layers[1].thickness = -3; }},
    {"layer_thin", "layers.thin", "layers/1/thickness", Severity::warning, [](Spec& s) { s.layers[1].thickness = 2; }},
    {"foam", "material.unknown", "layers/0/foam", Severity::error, [](Spec& s) { s.layers[0].foam = "f6O"; }},
    {"adhesive", "material.unknown", "adhesive", Severity::error, [](Spec& s) { s.adhesive = "contakt"; }},
    {"cover", "material.unknown", "cover/material", Severity::error, [](Spec& s) { s.cover = "hid"; }},
    {"batting", "material.unknown", "batting", Severity::error, [](Spec& s) { s.batting = "cloud"; }},
    {"barrier", "material.unknown", "barrier", Severity::error, [](Spec& s) { s.barrier = "wovn"; }},
    {"topper_foam", "material.unknown", "topper/foam", Severity::error, [](Spec& s) { s.topper_foam = "f26"; }},
    {"topper", "skins.thickness", "topper/thickness", Severity::error, [](Spec& s) { s.topper_thickness = -5; }},
    {"given_at", "skins.given_at", "given_at", Severity::error, [](Spec& s) { s.given_at = "dresed"; }},
    {"edge_side", "edges.side", "edges/top/frnt", Severity::error,
     [](Spec& s) { s.top.sides["frnt"] = edge("round", {10}); }},
    {"edge_type", "edge.type", "edges/bottom/left", Severity::error,
     [](Spec& s) { s.bottom.sides["left"] = edge("ogee"); }},
    {"edge_lengths", "edge.lengths", "edges/bottom/left", Severity::error,
     [](Spec& s) { s.bottom.sides["left"] = edge("ellipse", {10}); }},
    {"edge_height", "edges.height", "edges/top/front", Severity::error,
     [](Spec& s) {
       s.top.sides["front"] = edge("ellipse", {40, 60});
       s.bottom.sides["front"] = edge("round", {30});
     }},
    {"ridge", "edges.ridge", "edges/top", Severity::note,
     [](Spec& s) {
       s.top.sides["other"] = edge("ellipse", {260, 40});
     }},
    {"no_core", "skins.no_core", "outline", Severity::error,
     [](Spec& s) {
       s.given_at = "dressed";
       s.outline = RectangleSpec{40, 40, 5};
       s.topper_thickness = 25;
     }},
    {"corner_consumed", "skins.corner", "outline/rectangle/corner_radius", Severity::warning,
     [](Spec& s) {
       s.given_at = "topped";
       std::get<RectangleSpec>(s.outline).corner_radius = 12;
       s.topper_thickness = 25;
     }},
    {"edge_consumed", "edges.consumed", "edges/top/other", Severity::warning,
     [](Spec& s) {
       s.given_at = "topped";
       s.topper_thickness = 25;
     }},
    {"parallel_ellipse", "edges.parallel", "edges/top/front", Severity::note,
     [](Spec& s) {
       s.given_at = "topped";
       s.topper_thickness = 15;
       s.top.sides["front"] = edge("ellipse", {80, 30});
     }},
    {"trim", "trim.range", "trim", Severity::error, [](Spec& s) { s.trim = 700; }},
};

class Broken : public testing::TestWithParam<Case> {};

TEST_P(Broken, NamesTheFinding) {
  Spec s = good();
  GetParam().spoil(s);
  const product::Product p = build(s, materials());
  const Finding* f = finding(p.findings, GetParam().code, GetParam().path);
  std::string all;
  for (const Finding& x : p.findings) all += x.code + " at " + x.path + ": " + x.message + "\n";
  ASSERT_NE(f, nullptr) << all;
  EXPECT_EQ(f->severity, GetParam().severity);
  EXPECT_FALSE(f->message.empty());
  EXPECT_FALSE(f->remedy.empty());
  const bool error = GetParam().severity == Severity::error;
  EXPECT_EQ(has_errors(p.findings), error) << all;
  EXPECT_EQ(p.shapes.empty(), error);
  EXPECT_EQ(p.parts.empty(), error);
  EXPECT_EQ(p.figure("core.volume") == nullptr, error);
}

INSTANTIATE_TEST_SUITE_P(All, Broken, testing::ValuesIn(kCases),
                         [](const auto& c) { return std::string(c.param.name); });

TEST(Findings, AllAtOnce) {
  Spec s = good();
  s.layers[0].foam = "f61";
  s.layers[1].thickness = 0;
  s.top.sides["bak"] = edge("round", {10});
  s.adhesive = "paste";
  s.cover = "hid";
  std::get<RectangleSpec>(s.outline).corner_radius = -1;
  const product::Product p = build(s, materials());
  EXPECT_NE(finding(p.findings, "material.unknown", "layers/0/foam"), nullptr);
  EXPECT_NE(finding(p.findings, "layers.thickness", "layers/1/thickness"), nullptr);
  EXPECT_NE(finding(p.findings, "material.unknown", "adhesive"), nullptr);
  EXPECT_NE(finding(p.findings, "material.unknown", "cover/material"), nullptr);
  EXPECT_NE(finding(p.findings, "outline.radius", "outline/rectangle/corner_radius"), nullptr);
}

TEST(Findings, OfferTheNearestName) {
  Spec s = good();
  s.layers[0].foam = "f6O";
  s.top.sides["frnt"] = edge("round", {10});
  const product::Product p = build(s, materials());
  EXPECT_NE(finding(p.findings, "material.unknown", "layers/0/foam")->remedy.find("\"f60\""), std::string::npos);
  s = good();
  s.top.sides["frnt"] = edge("round", {10});
  const product::Product q = build(s, materials());
  EXPECT_NE(finding(q.findings, "edges.side", "edges/top/frnt")->remedy.find("\"front\""), std::string::npos);
}

TEST(Findings, StockAndSheet) {
  Spec s = good();
  material::Library m = materials();
  for (auto& [name, f] : m.foams) {
    f.sheet.width = 450;
    f.sheet.length = 2000;
    f.sheet.thicknesses = {Length(25), Length(40)};
  }
  const product::Product p = build(s, m);
  EXPECT_FALSE(has_errors(p.findings));
  ASSERT_NE(finding(p.findings, "layers.stock", "layers/0/thickness"), nullptr);  // 50 from at most 40
  EXPECT_EQ(finding(p.findings, "layers.stock", "layers/0/thickness")->severity, Severity::warning);
  ASSERT_NE(finding(p.findings, "layers.stock", "layers/1/thickness"), nullptr);  // 30 slit from 40
  EXPECT_EQ(finding(p.findings, "layers.stock", "layers/1/thickness")->severity, Severity::note);
  EXPECT_NE(finding(p.findings, "layers.sheet", "layers/0/foam"), nullptr);  // 500 x 480 out of 450 wide
}

TEST(Findings, OutlineFiguresSurviveAnErrorElsewhere) {
  Spec s = good();
  s.layers[0].foam = "nothing like it";
  const product::Product p = build(s, materials());
  EXPECT_TRUE(has_errors(p.findings));
  EXPECT_NE(p.figure("outline.area"), nullptr);
}

}  // namespace
}  // namespace kerfkiln::cushion
