// What creases and pockets take off glue faces, zones and the centre of gravity, and how sections show it: OCCT's
// booleans of the same forms, closed forms, Cavalieri's principle, moments of the meshes.
#include "modeler/cushion/hollow.hpp"

#include <gtest/gtest.h>

#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <gp_Pln.hxx>
#include <gp_Trsf.hxx>

#include <cmath>
#include <numbers>

#include "modeler/cushion/core.hpp"
#include "modeler/solid/mesh.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;
using std::numbers::pi;

CreaseSpec crease(std::vector<CreasePoint> path, double depth, double kerf) {
  CreaseSpec c;
  c.path = std::move(path);
  c.cut = "slit";
  c.depth = depth;
  c.kerf = kerf;
  c.tape = 20;
  return c;
}
CreasePoint at(double x, double y) { return {x, y, 0}; }
ZoneSpec strip(const char* side, double width) {
  ZoneSpec z;
  z.foam = "f25";
  z.strip = {side, width};
  return z;
}
void expect_no_errors(const product::Product& p) {
  for (const Finding& f : p.findings) EXPECT_NE(f.severity, Severity::error) << f.code << " " << f.path << f.message;
}

TopoDS_Shape rounded(TopoDS_Shape shape, double radius, bool (*wanted)(const gp_Pnt&)) {
  BRepFilletAPI_MakeFillet fillet(shape);
  for (TopExp_Explorer e(shape, TopAbs_EDGE); e.More(); e.Next()) {
    GProp_GProps g;
    BRepGProp::LinearProperties(e.Current(), g);
    if (wanted(g.CentreOfMass())) fillet.Add(radius, TopoDS::Edge(e.Current()));
  }
  return fillet.Shape();
}
TopoDS_Shape box(double w, double d, double h, Vec3 low) {
  return BRepPrimAPI_MakeBox(gp_Pnt(low.x, low.y, low.z), w, d, h).Shape();
}
TopoDS_Shape cut(TopoDS_Shape body, const std::vector<TopoDS_Shape>& tools) {
  for (const TopoDS_Shape& tool : tools) body = BRepAlgoAPI_Cut(body, tool).Shape();
  return body;
}
double area_at(const TopoDS_Shape& body, double z) {
  const TopoDS_Face plane = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(0, 0, z), gp_Dir(0, 0, 1)), -50, 900, -50, 900);
  GProp_GProps g;
  BRepGProp::SurfaceProperties(BRepAlgoAPI_Common(plane, body).Shape(), g);
  return g.Mass();
}
// (along, up, in) of a pocket in the right face of a body 400 wide.
TopoDS_Shape in_right_face(const TopoDS_Shape& s, double y, double z) {
  gp_Trsf turn;
  turn.SetValues(0, 0, -1, 410, 1, 0, 0, y, 0, 1, 0, z);
  return BRepBuilderAPI_Transform(s, turn, true).Shape();
}

Spec cut_box() {
  Spec s = block(400, 300, 0, {{"f60", 45}, {"f45", 40}, {"f25", 35}});
  s.creases = {crease({at(-10, 60), at(410, 60)}, 40, 5), crease({at(60, 100), at(60, 250)}, 30, 6)};
  s.pockets = {pocket("bottom", 120, 80, 15, {170, 170}, 47), pocket("top", 80, 60, 0, {310, 200}, 70),
               pocket("right", 60, 30, 6, {200, 40}, 45)};
  return s;
}
TopoDS_Shape occt_cut_box() {
  const auto upright = [](const gp_Pnt& m) { return std::abs(m.Z() - (m.Z() > 25 ? 27.5 : 18.5)) < 1e-6; };
  return cut(box(400, 300, 120, {0, 0, 0}),
             {box(420, 5, 50, {-10, 57.5, 80}), box(6, 150, 40, {57, 100, 90}),
              rounded(box(120, 80, 57, {110, 130, -10}), 15, upright), box(80, 60, 80, {270, 170, 50}),
              in_right_face(rounded(box(60, 30, 55, {0, 0, 0}), 6, upright), 170, 25)});
}

TEST(Hollow, GlueFacesAndCentreOfACutBoxAgainstOcct) {
  const product::Product p = build(cut_box(), materials());
  expect_no_errors(p);
  const TopoDS_Shape body = occt_cut_box();
  EXPECT_NEAR(value(p, "glue.area") * 1e6, area_at(body, 45) + area_at(body, 85), 1e-5);
  GProp_GProps g;
  BRepGProp::VolumePropertiesGK(body, g, 1e-10, false, false, true);
  EXPECT_NEAR(value(p, "core.volume") * 1e6, g.Mass(), 1e-9 * g.Mass());
  EXPECT_NEAR(value(p, "core.centroid.x"), g.CentreOfMass().X(), 1e-6);
  EXPECT_NEAR(value(p, "core.centroid.y"), g.CentreOfMass().Y(), 1e-6);
  EXPECT_NEAR(value(p, "core.centroid.z"), g.CentreOfMass().Z(), 1e-6);
  // Layers: OCCT cuts the cut body at the glue planes; foam by mass.
  double mass = 0;
  const double low[] = {0, 45, 85, 120}, density[] = {60, 45, 25};
  for (int i = 0; i < 3; ++i) {
    GProp_GProps layer;
    BRepGProp::VolumePropertiesGK(
        BRepAlgoAPI_Common(body, box(500, 400, low[i + 1] - low[i], {-50, -50, low[i]})).Shape(), layer, 1e-10);
    EXPECT_NEAR(value(p, "layer." + std::to_string(i + 1) + ".volume") * 1e6, layer.Mass(), 1e-8 * g.Mass());
    mass += layer.Mass() * 1e-9 * density[i];
  }
  EXPECT_NEAR(value(p, "core.mass"), mass, 1e-8 * mass);
}

// Edges rounded all round, and a slot over two of them whose floor follows: the floor is the top moved down, which a
// glue plane meets in the profile's own circle.
TEST(Hollow, GluePlaneThroughACreasesFloor) {
  const double r = 30, kerf = 10;
  Spec s = block(400, 300, 0, {{"f60", 66}, {"f45", 34}});
  s.top.sides["other"] = edge("round", {r});
  s.creases = {crease({at(200, -10), at(200, 310)}, 30, kerf)};
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  // The floor lies at 70 in the flat; below 66 where the drop exceeds 4.
  const double reach = r - std::sqrt(r * r - (r - 4) * (r - 4));
  EXPECT_NEAR(value(p, "glue.area") * 1e6, 400 * 300 - kerf * 2 * reach, 1e-3);
  // A floor that lies in the glue plane bares it.
  s.layers[0].thickness = 70;
  s.layers[1].thickness = 30;
  EXPECT_NEAR(value(build(s, materials()), "glue.area") * 1e6, 400 * 300 - kerf * 300, 1e-3);
}

TEST(Hollow, StorageCavityCutsTheGlueLines) {
  Spec s = block(450, 400, 0, {{"f60", 100}, {"f45", 100}, {"f60", 100}});
  s.pockets = {pocket("top", 350, 300, 0, {225, 200}, 250)};
  s.pockets[0].lid = {"f45", 51, 9, 10};
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  // Two lines net of the cavity, and the lid's foam on its board: 2 mm of clearance a side, no cover.
  const double lid = 366 * 316 - (4 - pi) * 64;
  EXPECT_NEAR(value(p, "glue.area") * 1e6, 2 * (450 * 400 - 350 * 300) + lid, 1e-6);
  EXPECT_NEAR(value(p, "pocket.1.lid.volume") * 1e6, lid * 51, 1e-4);
  EXPECT_NEAR(value(p, "pocket.1.lid.mass"), lid * 51e-9 * 45, 1e-12);
  // Its board: the built-in ply of 680 kg/m3.
  EXPECT_NEAR(value(p, "pocket.1.lid.board_mass"), lid * 9e-9 * 680, 1e-12);
  EXPECT_NEAR(value(p, "total.mass"),
              value(p, "core.mass") + lid * (51e-9 * 45 + 9e-9 * 680) + value(p, "glue.area") * 0.080 * 2, 1e-9);
  ASSERT_EQ(p.blanks.size(), 4U);
  EXPECT_EQ(p.blanks[3].name, "lid of pocket 1");
  EXPECT_DOUBLE_EQ(p.blanks[3].width_mm, 366 + 20);
  EXPECT_DOUBLE_EQ(p.blanks[3].depth_mm, 316 + 20);
  EXPECT_DOUBLE_EQ(p.blanks[3].thickness_mm, 51);
  EXPECT_NEAR(p.blanks[3].finished_mm3, lid * 51, 1e-4);
  EXPECT_EQ(table(p, "cut-list")->rows.size(), 4U);
  EXPECT_EQ(table(p, "slitting")->rows.back()[0], "lid 1");
  const double seat = 370 * 320 - (4 - pi) * 100;
  const double left = 450 * 400 * 300 - 350 * 300 * 190.0 - seat * 60;
  EXPECT_NEAR(value(p, "core.centroid.z"), (450 * 400 * 300 * 150.0 - 350 * 300 * 190.0 * 145 - seat * 60 * 270) / left,
              1e-8);
  EXPECT_NEAR(value(p, "core.centroid.x"), 225, 1e-9);
}

TEST(Hollow, LidsOfUnknownFoamOrUnderACrown) {
  Spec s = block(450, 400, 0, {{"f60", 300}});
  s.pockets = {pocket("top", 350, 300, 0, {225, 200}, 250)};
  s.pockets[0].lid = {"f46", 51, 9, 10};
  EXPECT_NE(finding(build(s, materials()).findings, "material.unknown", "pockets/0/lid/foam"), nullptr);
  s.pockets[0].lid.foam = "f45";
  EXPECT_EQ(finding(build(s, materials()).findings, "pocket.lid_flush", "pockets/0/lid"), nullptr);
  s.crown.top = 12;
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  EXPECT_NE(finding(p.findings, "pocket.lid_flush", "pockets/0/lid"), nullptr);
}

TEST(Hollow, PocketsOfDifferentFacesKeepApart) {
  Spec s = block(450, 400, 0, {{"f60", 120}});
  const auto with = [&](std::vector<PocketSpec> pockets) {
    s.pockets = std::move(pockets);
    return build(s, materials()).findings;
  };
  const PocketSpec top = pocket("top", 100, 100, 0, {225, 200}, 50);
  // 120 - 50 - 70.5: half a millimetre over the other's roof.
  EXPECT_NE(finding(with({top, pocket("bottom", 100, 100, 0, {225, 200}, 69.5)}), "pocket.overlap", "pockets/1"),
            nullptr);
  EXPECT_NE(finding(with({top, pocket("bottom", 100, 100, 0, {225, 200}, 50)}), "pocket.near", "pockets/1"), nullptr);
  EXPECT_EQ(finding(with({top, pocket("bottom", 100, 100, 0, {225, 200}, 30)}), "pocket.near", "pockets/1"), nullptr);
  // From the front, 160 deep at 40 to 80 up: into the one from above, whose floor lies at 70.
  EXPECT_NE(finding(with({top, pocket("front", 60, 40, 0, {225, 60}, 160)}), "pocket.overlap", "pockets/1"), nullptr);
  EXPECT_EQ(finding(with({top, pocket("front", 60, 40, 0, {225, 60}, 100)}), "pocket.overlap", "pockets/1"), nullptr);
  EXPECT_NE(finding(with({pocket("left", 60, 40, 0, {200, 60}, 100), pocket("front", 60, 40, 0, {90, 60}, 250)}),
                    "pocket.overlap", "pockets/1"),
            nullptr);
}

// The exact centre against the moments of ever finer meshes.
TEST(Hollow, CentreOfAShapedCoreAgainstItsMesh) {
  Spec s = block(420, 360, 40, {{"f60", 60}, {"f45", 50}});
  s.top.sides["front"] = edge("ellipse", {60, 40});
  s.top.sides["other"] = edge("round", {20});
  s.bottom.sides["other"] = edge("round", {15});
  s.crown.top = 12;
  s.creases = {crease({at(-10, 250), at(430, 240)}, 40, 6)};
  s.pockets = {pocket("bottom", 120, 80, 15, {120, 120}, 30), pocket("top", 80, 60, 10, {330, 140}, 45),
               pocket("back", 70, 25, 6, {120, 45}, 40)};
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  for (const double deviation : {0.2, 0.05}) {
    const Vec3 mesh = solid::centroid(*p.shapes.front().mesh(deviation));
    EXPECT_NEAR(value(p, "core.centroid.x"), mesh.x, 0.1 * deviation) << deviation;
    EXPECT_NEAR(value(p, "core.centroid.y"), mesh.y, 0.1 * deviation) << deviation;
    EXPECT_NEAR(value(p, "core.centroid.z"), mesh.z, 0.5 * deviation) << deviation;
  }
}

// A slit through a strip's joint, and a side's pocket through another: lengths and heights by hand.
TEST(Hollow, UprightJointsOfZones) {
  Spec s = block(500, 400, 0, {{"f60", 50}, {"f45", 60}});
  s.layers[1].zones = {strip("front", 90)};
  s.creases = {crease({at(250, -10), at(250, 410)}, 40, 8)};
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  EXPECT_NEAR(value(p, "glue.area") * 1e6, 500 * 400 + 500 * 60 - 8 * 40, 1e-6);
  s = block(500, 400, 0, {{"f60", 110}});
  s.layers[0].zones = {strip("front", 90)};
  s.pockets = {pocket("front", 100, 40, 20, {250, 55}, 150)};
  const product::Product q = build(s, materials());
  expect_no_errors(q);
  const double mouth = 100 * 40 - (4 - pi) * 400;
  EXPECT_NEAR(value(q, "glue.area") * 1e6, 500 * 110 - mouth, 1e-4);
  EXPECT_NEAR(value(q, "layer.1.zone.1.volume") * 1e6, 500 * 90 * 110 - mouth * 90, 1e-4);
  EXPECT_NEAR(value(q, "layer.1.volume") * 1e6, 500 * 400 * 110 - mouth * 150, 1e-4);
}

// A pocket that two layers and an oblong zone share: exact volumes against meshes of the pieces.
TEST(Hollow, SidePocketsAreTakenOffZones) {
  Spec s = block(500, 400, 30, {{"f60", 50}, {"f45", 60}});
  s.layers[0].zones = {strip("right", 70)};
  ZoneSpec round;
  round.foam = "f25";
  round.outline = {RectangleSpec{120, 160, 50}, 420, 200};
  s.layers[1].zones = {round};
  s.pockets = {pocket("right", 140, 50, 20, {180, 55}, 100)};
  const product::Product p = build(s, materials());
  expect_no_errors(p);
  for (const product::Shape& shape : p.shapes)
    EXPECT_NEAR(solid::volume(*shape.mesh(0.002)), shape.volume_mm3, 2e-5 * shape.volume_mm3) << shape.id;
  // The strip by hand: 70 deep of the lower 25 of the mouth, the lower corners of which are rounded.
  const double mouth = 140 * 20 - (4 - pi) * 400 / 2;
  const double zone = 70 * 400 - 2 * (1 - pi / 4) * 900;
  EXPECT_NEAR(value(p, "layer.1.zone.1.volume") * 1e6, zone * 50 - 70 * mouth, 1e-4);
}

// Cavalieri: what all sections show empty is the volume of the cuts, whichever way they run.
TEST(Hollow, SectionsAddUpToTheVolume) {
  const Spec s = cut_box();
  const Form form = *Form::make(plane::rectangle(400, 300, 0), 120, {}, {});
  const Result<Cuts> cuts =
      cuts_of(s, form.outline(), form, std::vector<double>{0, 45, 85, 120}, {}, {"front", "right", "back", "left"});
  ASSERT_TRUE(cuts);
  const plane::Outline frame{{{{-50, 0}, 0, -1}, {{450, 0}, 0, -1}, {{450, 120}, 0, -1}, {{-50, 120}, 0, -1}}, {}, {}};
  for (const bool across : {true, false}) {
    const double length = across ? 300 : 400, other = across ? 400 : 300;
    plane::Outline face = frame;
    for (plane::Vertex& v : face.outer) v.at.x = std::clamp(v.at.x, 0.0, other);
    double sum = 0;
    constexpr int kSections = 4800;
    for (int i = 0; i < kSections; ++i) {
      const double place = (i + 0.5) * length / kSections;
      for (const plane::Outline& o : hollow_in(form, *cuts, across, place))
        sum += plane::area(*plane::intersected({o}, {face})) * length / kSections;
    }
    EXPECT_NEAR(sum / cuts->volume_mm3(), 1, 1e-5) << across;
  }
}

}  // namespace
}  // namespace kerfkiln::cushion
