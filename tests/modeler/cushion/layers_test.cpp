// Divided layers and loads through the whole product: masses, joints, solids, blanks, slitting, comfort figures.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/build.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/sample.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;

constexpr double kLbf = 4.4482216152605;

ZoneSpec strip(const std::string& foam, const std::string& side, double width) {
  ZoneSpec z;
  z.foam = foam;
  z.strip = {side, width};
  return z;
}
ZoneSpec placed(const std::string& foam, RectangleSpec shape, double x, double y) {
  ZoneSpec z;
  z.foam = foam;
  z.outline = {shape, x, y};
  return z;
}
std::string words(const Findings& f) {
  std::string all;
  for (const Finding& x : f) all += x.code + " " + x.path + ": " + x.message + "\n";
  return all;
}

// A box: everything by hand. Strip 90 of 500 x 400 x 40, block 100 x 80 in the rest.
TEST(Layers, ZonesOfABox) {
  Spec s = block(500, 400, 0, {{"f60", 50}, {"f45", 40}});
  s.layers[1].zones = {strip("f25", "front", 90), placed("f60", {100, 80, 0}, 250, 250)};
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NEAR(value(p, "layer.2.zone.1.volume"), 5 * 0.9 * 0.4, 1e-9);
  EXPECT_NEAR(value(p, "layer.2.zone.2.volume"), 1 * 0.8 * 0.4, 1e-9);
  EXPECT_NEAR(value(p, "layer.2.volume"), 5 * 4 * 0.4, 1e-9);
  EXPECT_NEAR(value(p, "layer.2.mass"), 0.001 * (1.8 * 25 + 0.32 * 60 + (8 - 1.8 - 0.32) * 45), 1e-9);
  EXPECT_NEAR(value(p, "core.mass"), 0.001 * (1.8 * 25 + 0.32 * 60 + 5.88 * 45 + 10 * 60), 1e-9);
  // Upright joints: length x thickness. One lying joint of the whole face.
  EXPECT_NEAR(value(p, "glue.area"), 0.5 * 0.4 + 0.040 * (0.5 + 2 * (0.1 + 0.08)), 1e-9);
  EXPECT_DOUBLE_EQ(value(p, "layer.2.blank.depth"), 310 + 20);
  ASSERT_EQ(p.blanks.size(), 4U);
  EXPECT_EQ(p.blanks[2].name, "layer 2, zone 1");
  EXPECT_DOUBLE_EQ(p.blanks[2].depth_mm, 110);
  EXPECT_DOUBLE_EQ(p.blanks[3].width_mm, 120);
  double finished = 0;
  for (const product::Blank& b : p.blanks) finished += b.finished_mm3;
  EXPECT_NEAR(finished, 500 * 400 * 90, 1e-3);
  const product::FlatPart* part = sample::part(p, "layer-2-zones");
  ASSERT_NE(part, nullptr);
  // Zones that touch share one joint: counted once.
  s.layers[1].zones = {strip("f25", "front", 90), placed("f60", {500, 80, 0}, 250, 130)};
  const product::Product q = build(s, materials());
  ASSERT_FALSE(has_errors(q.findings)) << words(q.findings);
  EXPECT_NEAR(value(q, "glue.area"), 0.5 * 0.4 + 0.040 * (0.5 + 0.5), 1e-9);
}

// A rest in two parts has two blanks.
TEST(Layers, ARestInTwoPartsHasTwoBlanks) {
  Spec s = block(500, 400, 0, {{"f60", 50}});
  s.layers[0].zones = {placed("f25", {100, 500, 0}, 200, 200)};
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  ASSERT_EQ(p.blanks.size(), 3U);
  EXPECT_EQ(p.blanks[0].name, "layer 1, part 1");
  EXPECT_NEAR(p.blanks[0].width_mm + p.blanks[1].width_mm, 150 + 250 + 40, 1e-9);
  EXPECT_EQ(p.shapes[1].components, 2);
}

TEST(Layers, FindingsOfZonesNameTheirPath) {
  Spec s = block(500, 400, 0, {{"f60", 50}, {"f45", 40}});
  s.layers[1].zones = {strip("f26", "frnt", 90)};
  const product::Product p = build(s, materials());
  EXPECT_NE(finding(p.findings, "material.unknown", "layers/1/zones/0/foam"), nullptr) << words(p.findings);
  EXPECT_NE(finding(p.findings, "zones.side", "layers/1/zones/0/strip/side"), nullptr) << words(p.findings);
  EXPECT_TRUE(p.shapes.empty());
}

// L02: three sheets, 1/16 in each: worst 4.763, root of the squares 2.750 (joint foam standards 1994).
TEST(Layers, ToleranceOfTheStackL02) {
  const product::Product p = build(block(500, 400, 0, {{"f60", 50}, {"f45", 40}, {"f25", 25}}), materials());
  EXPECT_NEAR(value(p, "stack.tolerance"), 2.750, 0.0005);
  EXPECT_NEAR(3 * kSheetToleranceMm, 4.763, 0.001);
}

// L03: block of 1000, trim 30: 19 slabs of 50 at kerf 1, 37 of 25 at kerf 0.8 (derived in the reference by division).
TEST(Layers, SheetsFromABlockL03) {
  EXPECT_EQ(slices_of(1000, 30, 50, 1), 19);
  EXPECT_EQ(slices_of(1000, 30, 25, 0.8), 37);
  EXPECT_EQ(slices_of(100, 0, 50, 0), 2);
  material::FoamSheet sheet;
  sheet.thicknesses = {25, 56, 80};
  const Slitting exact = slitting(sheet, 56, 0.5), two = slitting(sheet, 39.75, 0.5), none = slitting(sheet, 90, 0.5);
  EXPECT_EQ(exact.cuts, 0);
  EXPECT_EQ(exact.slices, 1);
  EXPECT_EQ(two.stock_mm, 56);
  EXPECT_NEAR(two.offcut_mm, 56 - 39.75 - 0.5, 1e-12);
  EXPECT_EQ(slitting(sheet, 27.75, 0.5).slices, 2);
  EXPECT_EQ(slitting(sheet, 27.75, 0.5).cuts, 1);
  EXPECT_EQ(none.stock_mm, 0);
}

// Reference 1.7 through the whole product: 170 lb, 75 %, 0.11 m2 on 25, 50 and 50 mm (F09, F10, F15, F20, F21, E01).
material::Library tested() {
  material::Library m = materials();
  const auto set = [&](const char* name, double lbf, double support) {
    for (auto& [key, foam] : m.foams)
      if (key == name) {
        foam.hardness.indentation_25 = lbf * kLbf;
        foam.hardness.support_factor = support;
        foam.hardness.indentation_ratio = 1.3;
        foam.set = 0.05;
        foam.hardness_loss = 0.22;
      }
  };
  set("f40", 24, 2.0);
  set("f45", 35, 2.2);
  set("f60", 60, 2.4);
  return m;
}
Spec seat() {
  Spec s = block(508, 420, 40, {{"f60", 50}, {"f45", 50}, {"f40", 25}});
  s.load.person = 170 * 0.45359237;
  s.load.heavy_person = 115;
  s.load.share = 0.75;
  s.load.contact_area = 110000;
  s.load.height = 460;
  return s;
}

TEST(Layers, WorkedExampleOfASeat) {
  const product::Product p = build(seat(), tested());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NEAR(value(p, "load.force"), 567.15, 0.01);
  EXPECT_NEAR(value(p, "load.pressure"), 5.156, 0.001);
  EXPECT_NEAR(value(p, "sag"), 45.81, 0.01);
  EXPECT_NEAR(*p.figure("sag")->low, 40.38, 0.01);
  EXPECT_NEAR(*p.figure("sag")->high, 52.07, 0.01);
  EXPECT_NEAR(value(p, "sag.aged"), 64.16, 0.01);
  EXPECT_NEAR(value(p, "layer.3.strain"), 65.52, 0.01);
  EXPECT_NEAR(value(p, "layer.2.strain"), 45.53, 0.01);
  EXPECT_NEAR(value(p, "layer.1.strain"), 13.33, 0.01);
  EXPECT_NEAR(value(p, "layer.3.margin"), 0.988, 0.001);
  EXPECT_NEAR(value(p, "layer.1.margin"), 2.963, 0.001);
  EXPECT_NEAR(value(p, "seat.loaded_height"), 414.2, 0.1);
  EXPECT_NEAR(value(p, "stack.hardness") / kLbf, 37.6, 0.05);
  // The topper-like layer is near bottoming new: a warning at its foam.
  const Finding* near = finding(p.findings, "comfort.layer", "layers/2/foam");
  ASSERT_NE(near, nullptr) << words(p.findings);
  EXPECT_EQ(near->severity, Severity::warning);
  const product::Table* table = sample::table(p, "comfort");
  ASSERT_NE(table, nullptr);
  EXPECT_EQ(table->rows.size(), 5U);
  // The ratio of a foot's stress to that of the whole face moves sag more than the grade's spread does.
  const product::Figure* ratio = p.figure("sag.indentation_ratio");
  EXPECT_LT(*ratio->low, value(p, "sag"));
  EXPECT_GT(*ratio->high, *p.figure("sag")->high);
}

// E02: wide hips 440 + 25 = 465 against 457 (18 in): published tables of body sizes and SS 514, BIFMA in summaries.
TEST(Layers, BodySizesAreNotesE02) {
  Spec s = seat();
  EXPECT_EQ(finding(build(s, tested()).findings, "seat.width", "outline"), nullptr);
  s.outline = RectangleSpec{440 + 25 - 1, 450, 40};
  s.load.height = 400;
  const product::Product p = build(s, tested());
  for (const auto& [code, path] :
       {std::pair{"seat.width", "outline"}, {"seat.depth", "outline"}, {"seat.height", "load/height"}}) {
    const Finding* f = finding(p.findings, code, path);
    ASSERT_NE(f, nullptr) << code;
    EXPECT_EQ(f->severity, Severity::note);
  }
}

TEST(Layers, LoadsThatCannotBeReckonedSayWhy) {
  Spec s = seat();
  s.layers[1].foam = "f50";
  product::Product p = build(s, tested());
  EXPECT_NE(finding(p.findings, "comfort.hardness", "layers/1/foam"), nullptr) << words(p.findings);
  EXPECT_EQ(p.figure("sag"), nullptr);
  EXPECT_FALSE(p.parts.empty());
  s = seat();
  s.load.x = 900;
  s.load.y = 200;
  EXPECT_NE(finding(build(s, tested()).findings, "comfort.place", "load/at"), nullptr);
  s = seat();
  s.load.contact_area = 400000;
  EXPECT_NE(finding(build(s, tested()).findings, "comfort.area", "load/contact_area"), nullptr);
  // Ten times the load: the stack is through, and no sag is promised.
  s = seat();
  s.load.person = 700;
  p = build(s, tested());
  EXPECT_EQ(p.figure("sag"), nullptr);
  EXPECT_NE(finding(p.findings, "comfort.stack", "load"), nullptr);
  material::Library wrong = tested();
  for (auto& [key, foam] : wrong.foams)
    if (key == "f45") foam.hardness.support_factor = 1.1;
  EXPECT_NE(finding(build(seat(), wrong).findings, "comfort.fit", "layers/1/foam"), nullptr);
}

TEST(Layers, ZonesUnderTheLoadAreTold) {
  Spec s = seat();
  s.layers[1].zones = {placed("f60", {400, 300, 20}, 254, 210)};
  const product::Product p = build(s, tested());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NE(finding(p.findings, "comfort.under", "load"), nullptr);
  // The zone carries most of the load: its foam is the stack's.
  EXPECT_LT(value(p, "layer.2.strain"), 20);
}

TEST(Layers, CostIsBlanksAndAdhesive) {
  material::Library m = materials();
  for (auto& [key, foam] : m.foams) foam.price = 400;
  m.adhesives[0].second.price = 10;
  Spec s = block(480, 480, 0, {{"f60", 50}, {"f45", 50}});
  const product::Product p = build(s, m);
  const double glue = 0.48 * 0.48 * 0.08 * 2 * 1.1;
  EXPECT_NEAR(value(p, "total.cost"), 2 * 0.5 * 0.5 * 0.05 * 400 + glue * 10, 1e-9);
  m.foams[2].second.price = Money{};  // f45: a cost without it would pass for the whole
  EXPECT_EQ(build(s, m).figure("total.cost"), nullptr);
}

// A wedge that falls below the glue line: prism and wedge in closed form; the dip of a contour leaves two parts.
TEST(Layers, AContourBelowAGlueLineBaresTheLayerBeneath) {
  Spec s = block(500, 400, 0, {{"f60", 50}, {"f45", 30}});
  s.contour.wedge.back = -50;
  product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  const Finding* bared = finding(p.findings, "contour.joint", "contour");
  ASSERT_NE(bared, nullptr) << words(p.findings);
  EXPECT_EQ(bared->severity, Severity::warning);
  EXPECT_NE(bared->message.find("30 mm"), std::string::npos) << bared->message;  // how low the top comes
  EXPECT_NE(bared->message.find("50 mm"), std::string::npos) << bared->message;  // where the glue line is
  EXPECT_NE(bared->message.find("layer 2"), std::string::npos) << bared->message;
  EXPECT_FALSE(bared->remedy.empty());
  EXPECT_NEAR(value(p, "glue.area") * 1e6, 500 * 240, 1e-2);
  EXPECT_NEAR(value(p, "layer.2.volume") * 1e6, 500 * 240 * 30 / 2.0, 1);
  EXPECT_NEAR(value(p, "layer.1.volume") * 1e6, 500 * (400 * 50 - 160 * 20 / 2.0), 1);
  s.contour.wedge.back = -29;
  EXPECT_EQ(finding(build(s, materials()).findings, "contour.joint", "contour"), nullptr);
  s.contour = {};
  s.contour.along_depth = {{0, 0}, {200, -35}, {400, 0}};
  p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NE(finding(p.findings, "contour.joint", "contour"), nullptr);
  const Result<solid::Mesh> upper = p.shapes[2].mesh(0.2);
  ASSERT_TRUE(upper);
  EXPECT_EQ(p.shapes[2].components, 2);
  EXPECT_TRUE(solid::Solid::checked(*upper, {2, true}));
  EXPECT_NEAR(solid::volume(*upper), value(p, "layer.2.volume") * 1e6, 0.2 * 500 * 400);
}

// Zones on random shaped cushions: solids closed and apart, their volumes near the exact ones, sums exact.
TEST(Layers, RandomZonedCushionsAreClosed) {
  constexpr double kDeviation = 1;
  int zoned = 0;
  for (std::uint64_t seed = 1; seed <= 160; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Spec s = test::random_cushion(seed);
    s.given_at = "core";
    s.cover.clear();
    s.batting.clear();
    test::Random r(seed + 77);
    for (LayerSpec& l : s.layers) l.zones.clear();
    const Result<Plan> plan = plan_of(s.outline, false);
    const plane::Box box = plane::bounds(plan->outline);
    for (LayerSpec& l : s.layers) {
      if (r.chance(0.5))
        l.zones.push_back(
            strip("soft",
                  plan->outline.sides[static_cast<std::size_t>(r.below(static_cast<int>(plan->outline.sides.size())))],
                  std::round(r.between(20, 0.35 * box.depth()))));
      if (r.chance(0.4))
        l.zones.push_back(placed("extra firm", {std::round(r.between(40, 200)), std::round(r.between(40, 200)), 12},
                                 std::round(r.between(box.low.x, box.high.x)),
                                 std::round(r.between(box.low.y, box.high.y))));
    }
    const product::Product p = build(s, material::built_in());
    bool permitted = true;
    for (const Finding& f : p.findings) {
      if (f.severity != Severity::error) continue;
      permitted = false;
      EXPECT_TRUE(f.code == "zones.overlap" || f.code == "zones.outside" || f.code == "zones.nothing_left")
          << f.code << ": " << f.message;
    }
    if (!permitted) continue;
    double parts = 0;
    double surface = 0;
    for (const product::Shape& shape : p.shapes) {
      SCOPED_TRACE(shape.id);
      const Result<solid::Mesh> mesh = shape.mesh(kDeviation);
      ASSERT_TRUE(mesh) << words(mesh.findings());
      if (shape.whole) surface = solid::area(*mesh);
      if (!shape.whole) parts += shape.volume_mm3;
      zoned += shape.id.find("zone") != std::string::npos;
      const Result<solid::Solid> checked = solid::Solid::checked(*mesh, {shape.components, true});
      if (!checked) ADD_FAILURE() << words(checked.findings());
      EXPECT_NEAR(solid::volume(*mesh), shape.volume_mm3, kDeviation * surface);
    }
    EXPECT_NEAR(parts, value(p, "core.volume") * 1e6, 1e-9 * parts);
  }
  EXPECT_GT(zoned, 120);
}

}  // namespace
}  // namespace kerfkiln::cushion
