// Creases, pockets and what they consume: the reference's check values, closed forms, CGAL regions and OCCT cut-outs of
// the same forms.
#include "modeler/cushion/cuts.hpp"

#include <gtest/gtest.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <gp_Trsf.hxx>

#include <cmath>
#include <numbers>

#include "modeler/cushion/crease_allowance.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/cut_shapes.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/solid/difference.hpp"
#include "tests/modeler/cushion/form_samples.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using sample::pocket;

using std::numbers::pi;

// Reference part 11, rows C01 to C06.
TEST(CreaseAllowance, CheckValues) {
  EXPECT_NEAR(slot_extra(25, 10, 10), 50.00, 0.01);                // C01
  EXPECT_NEAR(slot_extra(25, 10, 10, 8), 43.13, 0.01);             // C01
  EXPECT_NEAR(v_extra(25, 10), 40.99, 0.01);                       // C02
  EXPECT_NEAR(half_round_extra(12), 13.70, 0.01);                  // C02
  EXPECT_NEAR(500 + 2 * slot_extra(25, 10, 10, 8), 586.27, 0.01);  // C03
  const CoreSlot slot = core_slot(10, 25, kFoldedTopper * 20);     // C04
  EXPECT_DOUBLE_EQ(slot.width, 26);
  EXPECT_DOUBLE_EQ(slot.depth, 33);
  EXPECT_DOUBLE_EQ(slot.topper_extra, 58);
  EXPECT_NEAR(diamond_extra(150, 40), 20.00, 0.01);         // C05
  EXPECT_NEAR(diamond_extra(200, 40), 15.41, 0.01);         // C05
  const PullDown pull = pull_down(200, 35 * pi / 180, 25);  // C06
  EXPECT_NEAR(pull.per_length, 229.43, 0.01);
  EXPECT_NEAR(pull.pressure, 9.177, 0.01);
}
TEST(CreaseAllowance, TrenchTakesTapeTopperAndCover) {
  EXPECT_DOUBLE_EQ(trench_width(20, {}), 23);  // tape + 3 (reference part 4: 2 to 4)
  EXPECT_DOUBLE_EQ(trench_width(20, {15, 1.2}), 23 + 2 * 0.4 * 15 + 2 * 1.2);
}

CreasePoint at(double x, double y, double bulge = 0) { return {x, y, bulge}; }
CreaseSpec crease(std::vector<CreasePoint> path, double depth, double kerf = 4) {
  CreaseSpec c;
  c.path = std::move(path);
  c.depth = depth;
  c.kerf = kerf;
  c.tape = std::min(20.0, depth);
  return c;
}
CreaseSpec curved(std::vector<CreasePoint> points, double depth, bool closed = false) {
  CreaseSpec c = crease({}, depth);
  c.points = std::move(points);
  c.closed = closed;
  return c;
}
Form plain(double height = 120) { return *Form::make(plane::rectangle(560, 540, 0), height, {}, {}); }
Form rounded() {
  return *Form::make(plane::rectangle(560, 540, 45), 120, test::all(test::edge("round", {20})),
                     test::all(test::edge("round", {10})));
}
Creases made(const std::vector<CreaseSpec>& list, const Form& form) {
  Result<Creases> c = creases_of(list, form.outline(), false, form, {});
  EXPECT_TRUE(c) << c.findings().at(0).message;
  return c ? *c : Creases{};
}

TEST(Creases, StripsAreExact) {
  // Straight: width x length. Bent by a: outer join a sector, the inner corner a kite: w L - w^2/8 (2 tan(a/2) - a).
  EXPECT_NEAR(plane::area(*strip_along(CreasePath({{{0, 0}, 0, 0}, {{100, 0}, 0, 0}}, false), 6)), 600, 1e-9);
  const plane::Loop bent{{{0, 0}, 0, 0}, {{100, 0}, 0, 0}, {{150, 50}, 0, 0}};
  const double w = 6, a = pi / 4;
  EXPECT_NEAR(plane::area(*strip_along(CreasePath(bent, false), w)),
              w * (100 + 50 * std::sqrt(2)) - w * w / 8 * (2 * std::tan(a / 2) - a), 1e-9);
  // An arc: width x length whatever the radius (Pappus). A ring likewise.
  const plane::Loop arc{{{0, 0}, 0.3, 0}, {{100, 0}, 0, 0}};
  EXPECT_NEAR(plane::area(*strip_along(CreasePath(arc, false), 8)), 8 * CreasePath(arc, false).length(), 1e-9);
  const plane::Loop ring{{{0, 0}, 1, 0}, {{80, 0}, 1, 0}};
  EXPECT_NEAR(plane::area(*strip_along(CreasePath(ring, true), 8)), 8 * 80 * pi, 1e-9);
  EXPECT_FALSE(
      strip_along(CreasePath({{{0, 0}, 1, 0}, {{4, 0}, 0, 0}}, false), 6));  // radius 2 under half a width of 3
}

// The union, by CGAL, of rectangles about the legs and a disc about the joint is the same region.
TEST(Creases, BentStripAgainstCgalRegions) {
  for (double turn : {0.3, -0.7, 1.2, -2.0}) {
    const Vec2 b{100, 0}, c = b + 80 * Vec2{std::cos(turn), std::sin(turn)};
    const double w = 7;
    const plane::Outline strip = *strip_along(CreasePath({{{0, 0}, 0, 0}, {b, 0, 0}, {c, 0, 0}}, false), w);
    const auto leg = [&](Vec2 p, Vec2 q) {
      const Vec2 n = w / 2 * left(unit(q - p));
      return plane::Outline{{{p - n, 0, 0}, {q - n, 0, 0}, {q + n, 0, 0}, {p + n, 0, 0}}, {}, {}};
    };
    const plane::Region legs = *plane::united({leg({0, 0}, b)}, {leg(b, c)});
    const plane::Region all = *plane::united(legs, {plane::Outline{test::circle(b, w / 2 - 1e-7), {}, {}}});
    EXPECT_NEAR(plane::area(all), plane::area(strip), 1e-5) << turn;
  }
}

TEST(Creases, TapeLengths) {
  const Form flat = plain();
  EXPECT_NEAR(made({crease({at(60, 270), at(500, 270)}, 40)}, flat).list[0].tape_mm(), 440, 1e-9);
  // Along an arc at the outer wall: (R + kerf / 2) x angle.
  const CreaseSpec arc = curved({at(200, 200, 0.4), at(300, 200)}, 30);
  const double radius = 50 * (1 + 0.16) / (2 * 0.4), angle = 4 * std::atan(0.4);
  EXPECT_NEAR(made({arc}, flat).list[0].tape_mm(), (radius + 2) * angle, 1e-7);
  // Square over two rounded edges of radius r: the flat, and two quarter circles.
  EXPECT_NEAR(made({crease({at(280, -10), at(280, 550)}, 40)}, rounded()).list[0].tape_mm(), 500 + 20 * pi, 1e-6);
}

TEST(Creases, TapeOverARoof) {
  const Form chamfered =
      *Form::make(plane::rectangle(400, 300, 0), 100, test::all(test::edge("chamfer", {150, 30})), {});
  // Down the middle of a roof: two straight slopes.
  const Creases c = made({crease({at(200, -10), at(200, 310)}, 30)}, chamfered);
  EXPECT_NEAR(c.list[0].tape_mm(), 2 * std::hypot(150, 30), 1e-6);
  EXPECT_NEAR(c.list[0].floor_min_mm, 100 - 30 - 30, 1e-9);
}

TEST(Creases, TheDeeperGoesThroughAndTheFirstOfEquals) {
  const Form form = plain();
  const auto runs = [&](double first, double second) {
    const Creases c =
        made({crease({at(60, 270), at(500, 270)}, first), crease({at(280, 60), at(280, 480)}, second, 6)}, form);
    EXPECT_TRUE(sample::finding(c.notes, "crease.crossing", "creases"));
    return std::pair{c.list[0], c.list[1]};
  };
  {
    const auto [a, b] = runs(40, 30);
    EXPECT_EQ(a.runs.size(), 1u);
    ASSERT_EQ(b.runs.size(), 2u);
    // 5 mm short of the wall of the one that goes through (reference part 4).
    EXPECT_NEAR(b.runs[0].tape_mm, 210 - 2 - 5, 1e-6);
    EXPECT_NEAR(b.runs[1].tape_mm, 210 - 2 - 5, 1e-6);
  }
  EXPECT_EQ(runs(30, 40).first.runs.size(), 2u);
  EXPECT_EQ(runs(35, 35).first.runs.size(), 1u);
  EXPECT_EQ(runs(35, 35).second.runs.size(), 2u);
}

TEST(Creases, PatternsAreDrawnOut) {
  const Form form = plain();
  CreaseSpec channels = crease({}, 30);
  channels.channels.spacing = 100;
  const Creases c = made({channels}, form);
  // One channel about the middle: creases at 280 +- 50, +- 150; the next would leave 30 mm to the side.
  ASSERT_EQ(c.list.size(), 4u);
  for (const Crease& x : c.list) EXPECT_NEAR(x.tape_mm(), 540, 1e-9);
  CreaseSpec diamonds = crease({}, 30);
  diamonds.diamonds.width = 160;
  diamonds.diamonds.length = 200;
  const Creases d = made({diamonds}, form);
  // Every corner of the diamond about the middle is a crossing.
  for (Vec2 corner : {Vec2{200, 270}, Vec2{360, 270}, Vec2{280, 170}, Vec2{280, 370}}) {
    int near = 0;
    for (const Crease& x : d.list)
      for (const CreaseRun& r : x.runs) near += CreasePath(r.path, false).nearest(corner).distance < 12;
    EXPECT_EQ(near, 3) << corner.x << " " << corner.y;  // one through, the other in two parts
  }
}

// Reference part 11, row G11: 450 x 400 x 300, walls and floor 50, lid 60.
TEST(Pockets, FootRestCavity) {
  Spec s = sample::block(450, 400, 0, {{"f60", 300}});
  s.pockets = {pocket("top", 350, 300, 0, {225, 200}, 250)};
  s.pockets[0].lid = {"f45", 51, 9, 10};
  const product::Product p = build(s, sample::materials());
  for (const Finding& f : p.findings) EXPECT_NE(f.severity, Severity::error) << f.message;
  EXPECT_NEAR(sample::value(p, "pocket.1.capacity"), 19.95, 1e-9);
  EXPECT_NEAR(sample::value(p, "pocket.1.wall"), 40, 1e-9);  // beside the lid's seat, which is 10 wider
  EXPECT_NEAR(sample::value(p, "pocket.1.floor"), 50, 1e-9);
  EXPECT_NEAR(sample::value(p, "core.volume"), 450 * 400 * 300e-6 - 19.95 - 370 * 320 * 60e-6 + (4 - pi) * 100 * 60e-6,
              1e-9);
}

TopoDS_Shape placed(double w, double d, double h, Vec3 at, double round = 0) {
  TopoDS_Shape box = BRepPrimAPI_MakeBox(gp_Pnt(at.x, at.y, at.z), w, d, h).Shape();
  if (round == 0) return box;
  BRepFilletAPI_MakeFillet fillet(box);
  for (TopExp_Explorer e(box, TopAbs_EDGE); e.More(); e.Next()) {
    GProp_GProps g;
    BRepGProp::LinearProperties(e.Current(), g);
    const gp_Pnt m = g.CentreOfMass();
    if (std::abs(m.Z() - (at.z + h / 2)) < 1e-6) fillet.Add(round, TopoDS::Edge(e.Current()));
  }
  return fillet.Shape();
}
GProp_GProps properties(const TopoDS_Shape& s, bool volume) {
  GProp_GProps g;
  if (volume)
    BRepGProp::VolumePropertiesGK(s, g, 1e-9);
  else
    BRepGProp::SurfaceProperties(s, g);
  return g;
}

// A box with two crossing slots, a pocket from below, one from above, one from the left: the same by OCCT's booleans.
TEST(Cuts, OcctCutsTheSame) {
  Spec s = sample::block(400, 300, 0, {{"f60", 60}, {"f45", 60}});
  s.creases = {crease({at(-10, 60), at(410, 60)}, 40, 5), crease({at(60, 100), at(60, 250)}, 30, 6)};
  s.pockets = {pocket("bottom", 120, 80, 15, {170, 170}, 40), pocket("top", 80, 60, 0, {310, 200}, 70),
               pocket("right", 60, 30, 6, {200, 40}, 45)};
  const product::Product p = build(s, sample::materials());
  for (const Finding& f : p.findings) EXPECT_NE(f.severity, Severity::error) << f.message;
  TopoDS_Shape body = BRepPrimAPI_MakeBox(400., 300., 120.).Shape();
  TopoDS_Shape side = placed(60, 30, 55, {0, 0, 0}, 6);
  gp_Trsf turn;  // (along, up, in) -> (x from the right face inward, y, z)
  turn.SetValues(0, 0, -1, 410, 1, 0, 0, 170, 0, 1, 0, 25);
  side = BRepBuilderAPI_Transform(side, turn, true).Shape();
  for (const TopoDS_Shape& tool : {placed(420, 5, 50, {-10, 57.5, 80}), placed(6, 150, 40, {57, 100, 90}),
                                   placed(120, 80, 50, {110, 130, -10}, 15), placed(80, 60, 80, {270, 170, 50}), side})
    body = BRepAlgoAPI_Cut(body, tool).Shape();
  const double volume = properties(body, true).Mass(), area = properties(body, false).Mass();
  EXPECT_NEAR(sample::value(p, "core.volume") * 1e6, volume, 1e-9 * volume);
  const product::Shape& core = p.shapes.front();
  const solid::Mesh mesh = *core.mesh(0.002);
  EXPECT_NEAR(solid::volume(mesh), volume, 2e-6 * volume);  // chords of 0.002 mm on arcs
  EXPECT_NEAR(solid::area(mesh), area, 1e-5 * area);
}

// A slot over two rounded edges: layers against the circle of the profile.
TEST(Cuts, SlotOverRoundedEdges) {
  const double r = 20;
  const Form form = *Form::make(plane::rectangle(300, 200, 0), 100, test::all(test::edge("round", {r})), {});
  Spec s;
  s.creases = {crease({at(150, -10), at(150, 210)}, 40, 10)};
  const Result<Cuts> cuts = cuts_of(s, form.outline(), form, std::vector<double>{0, 50, 70, 100}, {}, {});
  ASSERT_TRUE(cuts);
  // The slot is a prism under the section of the top: its floor is the top moved down. Layers by the section's area
  // below a level: the profile's circle in closed form.
  EXPECT_NEAR(cuts->volume_mm3(), 10 * 200 * 40, 1e-6);
  // Below z = 70 of the part between top - 40 and top: the floor lies at 60 in the flat, 60 - drop(d) in the edges.
  const double rounds = 2 * (r * r - pi / 4 * r * r);
  EXPECT_NEAR(cuts->off_layer_mm3[0] + cuts->off_layer_mm3[1], 10 * (200 * 10 + rounds), 1e-3);
  // Below 50: only where the drop exceeds 10: the midpoint rule over that stretch.
  const double d = r - std::sqrt(r * r - 10 * 10);  // where the drop is 10
  double sum = 0;
  for (int i = 0; i < 200000; ++i) {
    const double x = d * (i + 0.5) / 200000;
    sum += (r - std::sqrt(r * r - (r - x) * (r - x)) - 10) * d / 200000;
  }
  EXPECT_NEAR(cuts->off_layer_mm3[0], 10 * 2 * sum, 0.02);
}

TEST(Difference, GuardsBothSides) {
  const solid::Mesh open{{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {{0, 1, 2}}};
  const solid::Mesh box = core(*relief(plain(), std::vector<double>{0, 120}, 1));
  EXPECT_FALSE(solid::difference(box, open));
  EXPECT_FALSE(solid::difference(open, box));
  const solid::Mesh far = core(*relief(plain(), std::vector<double>{0, 120}, 1));
  solid::Mesh moved = far;
  for (Vec3& p : moved.points) p.x += 1000;
  EXPECT_EQ(solid::difference(box, moved)->triangles.size(), box.triangles.size());
}

struct Refused {
  const char* name;
  const char* code;
  const char* path;
  Severity severity;
  void (*spoil)(Spec&);
};
const Refused kRefused[] = {
    {"no_course", "crease.form", "creases/0", Severity::error, [](Spec& s) { s.creases = {crease({}, 30)}; }},
    {"one_point", "crease.path", "creases/0/path", Severity::error,
     [](Spec& s) { s.creases = {crease({at(50, 50)}, 30)}; }},
    {"outside", "crease.outside", "creases/0", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(700, 50), at(800, 50)}, 30)};
     }},
    {"itself", "crease.itself", "creases/0", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(100, 100), at(300, 100), at(300, 200), at(200, 50)}, 30)};
     }},
    {"short", "crease.short", "creases/0", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(100, 100), at(112, 100)}, 30)};
     }},
    {"through", "crease.through", "creases/0/depth", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(100, 230), at(380, 230)}, 80)};
     }},
    {"tape_over_depth", "crease.cut", "creases/0/tape", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(100, 230), at(380, 230)}, 15)};
       s.creases[0].tape = 20;
     }},
    {"bend", "crease.bend", "creases/0", Severity::error,
     [](Spec& s) {
       s.creases = {curved({at(200, 200, 1), at(212, 200), at(212, 300)}, 30)};
       s.creases[0].kerf = 20;
     }},
    {"thin_floor", "crease.floor", "creases/0/depth", Severity::warning,
     [](Spec& s) {
       s.creases = {crease({at(150, 230), at(330, 230)}, 65)};
     }},
    {"deep", "crease.deep", "creases/0/depth", Severity::warning,
     [](Spec& s) {
       s.creases = {crease({at(150, 230), at(330, 230)}, 45)};
     }},
    {"near_edge", "crease.edge", "creases/0", Severity::warning,
     [](Spec& s) {
       s.creases = {crease({at(80, 40), at(400, 40)}, 30)};
     }},
    {"spacing", "crease.spacing", "creases/1", Severity::warning,
     [](Spec& s) {
       s.creases = {crease({at(100, 200), at(380, 200)}, 30), crease({at(100, 240), at(380, 240)}, 30)};
     }},
    {"pattern_margin", "crease.pattern", "creases/0", Severity::error,
     [](Spec& s) {
       s.creases = {crease({}, 30)};
       s.creases[0].channels.spacing = 100;
       s.creases[0].channels.margin = 300;
     }},
    {"pocket_wall", "pocket.wall", "pockets/0", Severity::error,
     [](Spec& s) {
       s.pockets = {pocket("bottom", 100, 100, 0, {20, 200}, 30)};
     }},
    {"pocket_thin_wall", "pocket.thin_wall", "pockets/0", Severity::warning,
     [](Spec& s) {
       s.pockets = {pocket("bottom", 100, 100, 0, {80, 200}, 30)};
     }},
    {"pocket_through", "pocket.through", "pockets/0/depth", Severity::error,
     [](Spec& s) {
       s.pockets = {pocket("bottom", 100, 100, 0, {240, 230}, 80)};
     }},
    {"pocket_thin_floor", "pocket.thin_floor", "pockets/0/depth", Severity::warning,
     [](Spec& s) {
       s.pockets = {pocket("bottom", 100, 100, 0, {240, 230}, 50)};
     }},
    {"pocket_from", "pocket.from", "pockets/0/from", Severity::error,
     [](Spec& s) {
       s.pockets = {pocket("bottum", 100, 100, 0, {240, 230}, 30)};
     }},
    {"pocket_overlap", "pocket.overlap", "pockets/1", Severity::error,
     [](Spec& s) {
       s.pockets = {pocket("top", 100, 100, 0, {200, 230}, 30), pocket("top", 100, 100, 0, {280, 230}, 30)};
     }},
    {"pocket_crease", "pocket.crease", "pockets/0", Severity::error,
     [](Spec& s) {
       s.creases = {crease({at(100, 230), at(380, 230)}, 30)};
       s.pockets = {pocket("top", 100, 100, 0, {200, 230}, 30)};
     }},
    {"pocket_lid", "pocket.lid", "pockets/0/depth", Severity::error,
     [](Spec& s) {
       s.pockets = {pocket("top", 200, 200, 0, {240, 230}, 30)};
       s.pockets[0].lid = {"f45", 40, 9, 10};
     }},
    {"board_hole", "board.hole", "board/holes/0", Severity::error,
     [](Spec& s) {
       s.board.material = "ply";
       s.board.thickness = 9;
       s.board.holes = {{2, 200, 10, ""}};
     }},
    {"underside", "underside.path", "underside/0/path/1", Severity::error,
     [](Spec& s) {
       s.underside = {{50, {{100, 100}, {600, 100}}}};
     }},
};

class CutFindings : public ::testing::TestWithParam<Refused> {};
TEST_P(CutFindings, NamesFieldAndRemedy) {
  const Refused& c = GetParam();
  Spec s = sample::block(480, 460, 40, {{"f60", 50}, {"f45", 30}});
  s.top.sides["other"] = sample::edge("round", {20});
  c.spoil(s);
  const product::Product p = build(s, sample::materials());
  const Finding* f = sample::finding(p.findings, c.code, c.path);
  ASSERT_TRUE(f) << (p.findings.empty() ? "none"
                                        : p.findings[0].code + " " + p.findings[0].path + ": " + p.findings[0].message);
  EXPECT_EQ(f->severity, c.severity);
  EXPECT_FALSE(f->message.empty());
  EXPECT_FALSE(f->remedy.empty());
  EXPECT_EQ(p.shapes.empty(), c.severity == Severity::error);
}
INSTANTIATE_TEST_SUITE_P(All, CutFindings, ::testing::ValuesIn(kRefused), [](const auto& i) { return i.param.name; });

}  // namespace
}  // namespace kerfkiln::cushion
