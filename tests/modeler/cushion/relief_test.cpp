// Relief meshes: closed form where planes bound the form, deviation as asked, convergence to the exact volume, OCCT.
#include "modeler/cushion/relief.hpp"

#include <gtest/gtest.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBndLib.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_MapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>

#include <cmath>
#include <numbers>

#include "modeler/cushion/volume.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

Relief meshed(const Form& f, std::vector<double> levels, double deviation) {
  Result<Relief> r = relief(f, levels, deviation);
  EXPECT_TRUE(r) << r.findings().at(0).message;
  return *r;
}
void expect_valid(const solid::Mesh& mesh, int parts = 1) {
  const Result<solid::Solid> s = solid::Solid::checked(mesh, {parts, true});
  if (s) return;
  for (const Finding& f : s.findings()) ADD_FAILURE() << f.code << ": " << f.message;
}

struct Case {
  const char* name;
  plane::Outline outline;
  double height;
  EdgeProfiles top, bottom;
};

std::vector<Case> cases() {
  const EdgeProfiles mixed{{edge("ellipse", {60, 40}), edge("round", {20}), edge("chamfer", {30, 15}), {}}, {}};
  plane::Outline holed = plane::rectangle(400, 300, 40);
  holed.sides.push_back("hole");
  holed.holes.push_back(circle({200, 150}, 35, true, 4));
  return {
      {"rounded box", plane::rectangle(600, 550, 60), 120, all(edge("round", {25})), all(edge("round", {25}))},
      {"corner radius equals edge radius", plane::rectangle(400, 300, 25), 100, all(edge("round", {25})), {}},
      {"mitred corners", plane::rectangle(400, 300, 0), 100, all(edge("round", {25})), all(edge("chamfer", {10, 15}))},
      {"edge radius over corner radius", plane::rectangle(400, 300, 10), 100, all(edge("round", {40})), {}},
      {"bullnose", plane::rectangle(400, 300, 20), 80, all(edge("bullnose", {}, 80)), all(edge("bullnose", {}, 80))},
      {"square", plane::rectangle(400, 300, 0), 80, {}, {}},
      {"waterfall to nothing", plane::rectangle(400, 300, 30), 80, {{edge("ellipse", {90, 80}), {}, {}, {}}, {}}, {}},
      {"four different sides", plane::rectangle(400, 300, 30), 100, mixed, all(edge("round", {10}))},
      {"four different sides, sharp", plane::rectangle(400, 300, 0), 100, mixed, all(edge("round", {10}))},
      {"L with sharp inner corner", ell(400, 300, 160, 140, 0), 90, all(edge("round", {30})), {}},
      {"L with round inner corner", ell(400, 300, 160, 140, 25), 90, all(edge("round", {30})),
       all(edge("chamfer", {5, 5}))},
      {"hole through", holed, 90, all(edge("round", {20})), all(edge("round", {10}))},
      {"roof past the middle", plane::rectangle(200, 320, 0), 100, all(edge("chamfer", {200, 60})), {}},
  };
}

TEST(Relief, SolidsAreValidAndWithinTheDeviation) {
  for (const Case& c : cases()) {
    SCOPED_TRACE(c.name);
    const Form f = *Form::make(c.outline, c.height, c.top, c.bottom);
    const std::vector<double> levels{0, 0.3 * c.height, 0.8 * c.height, c.height};
    for (double deviation : {0.5, 0.05}) {
      const Relief r = meshed(f, levels, deviation);
      const solid::Mesh whole = core(r);
      expect_valid(whole);
      EXPECT_LE(measured_deviation(f, r), deviation);
      double sum = 0;
      for (std::size_t i = 0; i < 3; ++i) {
        if (components(r, i) == 0) continue;  // the ridge of the roof stays below the uppermost slab
        const solid::Mesh mesh = layer(r, i);
        expect_valid(mesh, static_cast<int>(components(r, i)));
        sum += solid::volume(mesh);
        // Layers end exactly in their glue planes.
        const solid::Box3 box = solid::bounds(mesh);
        EXPECT_GE(box.low.z, static_cast<double>(static_cast<float>(levels[i])));
        EXPECT_LE(box.high.z, static_cast<double>(static_cast<float>(levels[i + 1])));
      }
      EXPECT_NEAR(sum / solid::volume(whole), 1, 1e-12);
    }
  }
}

TEST(Relief, MeshVolumeTendsToTheExactVolume) {
  // A chord error of at most e over the whole surface S bounds the difference by e S; halving e twice must bring the
  // difference down by at least the same factor on the way, within the noise of station counts.
  for (const Case& c : cases()) {
    SCOPED_TRACE(c.name);
    const Form f = *Form::make(c.outline, c.height, c.top, c.bottom);
    const std::vector<double> levels{0, c.height};
    VolumeOptions o;
    o.relative_error = 1e-7;
    const Volumes exact = volumes(f, levels, o);
    double before = 0;
    for (double deviation : {0.8, 0.2, 0.05}) {
      const solid::Mesh mesh = core(meshed(f, levels, deviation));
      const double miss = std::abs(solid::volume(mesh) - exact.core);
      EXPECT_LE(miss, deviation * solid::area(mesh) + exact.error);
      if (before > 100) {
        EXPECT_LE(miss, 0.5 * before + exact.error);
      }
      before = miss;
    }
  }
}

TEST(Relief, ManyShortSidesCostNoMoreThanTheShape) {
  // A disc as a polygon of ever more sides. Guldin: the spandrel (1 - pi/4) r^2 left off by a rounded edge has its
  // centroid (10 - 3 pi) / (3 (4 - pi)) r from the side face.
  const double pi = std::numbers::pi, a = 200, r = 10, height = 60;
  const double spandrel = (1 - pi / 4) * r * r, in = (10 - 3 * pi) / (3 * (4 - pi)) * r;
  const double exact = pi * a * a * height - 2 * 2 * pi * (a - in) * spandrel;
  std::vector<std::size_t> triangles;
  for (int n : {1000, 4000}) {
    plane::Outline o;
    o.sides = {"rim"};
    for (int i = 0; i < n; ++i) o.outer.push_back({{a * std::cos(2 * pi * i / n), a * std::sin(2 * pi * i / n)}, 0, 0});
    const Form f = *Form::make(o, height, all(edge("round", {r})), all(edge("round", {r})));
    const Relief mesh = meshed(f, {0, 30, height}, 0.25);
    const solid::Mesh whole = core(mesh);
    expect_valid(whole);
    EXPECT_LE(measured_deviation(f, mesh), 0.25);
    const double levels[] = {0, height};
    EXPECT_NEAR(volumes(f, levels).core / exact, 1, 2 * pi * pi / 3 / n / n + 1e-6);  // inscribed polygon, quadrature
    EXPECT_NEAR(solid::volume(whole), exact, 0.25 * solid::area(whole));
    triangles.push_back(whole.triangles.size());
  }
  EXPECT_LE(triangles[1], triangles[0]);
}

TEST(Relief, SquareEdgesGiveTwelveTriangles) {
  const Form f = *Form::make(plane::rectangle(400, 300, 0), 80, {}, {});
  const Relief r = meshed(f, {0, 30, 80}, 0.05);
  EXPECT_EQ(core(r).triangles.size(), 12u);
  EXPECT_EQ(layer(r, 0).triangles.size(), 12u);
  EXPECT_EQ(solid::volume(core(r)), 400.0 * 300 * 80);
}

TEST(Relief, PlaneFacesAreExact) {
  // A chamfered box is a polyhedron: its mesh volume is exact to the rounding of coordinates to float.
  const Form f = *Form::make(plane::rectangle(400, 300, 0), 90, all(edge("chamfer", {30, 20})), {});
  const double levels[] = {0, 90};
  EXPECT_NEAR(solid::volume(core(meshed(f, {0, 90}, 0.05))) / volumes(f, levels).core, 1, 1e-7);
}

TEST(Relief, SectionsAreTheLevelCurves) {
  const Form uniform = *Form::make(plane::rectangle(400, 300, 50), 90, all(edge("round", {30})), {});
  const Result<std::vector<plane::Outline>> exact = section(uniform, 75, 0.05);
  ASSERT_TRUE(exact);
  ASSERT_EQ(exact->size(), 1u);
  EXPECT_NEAR(plane::area((*exact)[0]) / section_area(uniform, 75).value, 1, 1e-9);
  const EdgeProfiles mixed{{edge("ellipse", {60, 40}), edge("round", {20}), edge("chamfer", {30, 15}), {}}, {}};
  const Form sided = *Form::make(plane::rectangle(400, 300, 30), 100, mixed, {});
  const Result<std::vector<plane::Outline>> curve = section(sided, 90, 0.05);
  ASSERT_TRUE(curve);
  ASSERT_EQ(curve->size(), 1u);
  VolumeOptions o;
  o.relative_error = 1e-7;
  const Area area = section_area(sided, 90, o);
  // The deviation shows in plan by 1 / sin(slope); 1400 mm of curve.
  EXPECT_NEAR(plane::area((*curve)[0]), area.value, 0.05 * 1400 * 2);
}

// ---- OCCT ----

TopoDS_Shape filleted(double w, double d, double h, double corner, double r, double hole) {
  TopoDS_Shape s = BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), gp_Pnt(w, d, h)).Shape();
  const auto height_of = [](const TopoDS_Shape& x) {
    Bnd_Box b;
    BRepBndLib::AddOptimal(x, b, false, false);
    double x0, y0, z0, x1, y1, z1;
    b.Get(x0, y0, z0, x1, y1, z1);
    return z1 - z0;
  };
  BRepFilletAPI_MakeFillet vertical(s);
  TopTools_MapOfShape seen;
  for (TopExp_Explorer e(s, TopAbs_EDGE); e.More(); e.Next())
    if (height_of(e.Current()) > h / 2 && seen.Add(e.Current())) vertical.Add(corner, TopoDS::Edge(e.Current()));
  s = vertical.Shape();
  if (hole > 0)
    s = BRepAlgoAPI_Cut(
            s, BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(w / 2, d / 2, -1), gp_Dir(0, 0, 1)), hole, h + 2).Shape())
            .Shape();
  BRepFilletAPI_MakeFillet rims(s);
  seen.Clear();
  for (TopExp_Explorer e(s, TopAbs_EDGE); e.More(); e.Next())
    if (height_of(e.Current()) < 1e-3 && seen.Add(e.Current())) rims.Add(r, TopoDS::Edge(e.Current()));
  return rims.Shape();
}

TEST(ReliefOracle, FilletedBoxesOfOcctAgree) {
  // OCCT builds the same form by rolling-ball fillets; its adaptive volume and area at 1e-9.
  for (double hole : {0.0, 60.0}) {
    const double w = 400, d = 320, h = 110, corner = 50, r = 20;
    const TopoDS_Shape shape = filleted(w, d, h, corner, r, hole);
    ASSERT_TRUE(BRepCheck_Analyzer(shape).IsValid());
    GProp_GProps volume, surface;
    BRepGProp::VolumeProperties(shape, volume, 1e-9);
    BRepGProp::SurfaceProperties(shape, surface, 1e-9);
    plane::Outline o = plane::rectangle(w, d, corner);
    o.sides.push_back("hole");
    if (hole > 0) o.holes.push_back(circle({w / 2, d / 2}, hole, true, 4));
    const Form f = *Form::make(o, h, all(edge("round", {r})), all(edge("round", {r})));
    const double levels[] = {0, h};
    const Volumes ours = volumes(f, levels);
    EXPECT_NEAR(ours.core / volume.Mass(), 1, 1e-8);
    EXPECT_NEAR(ours.centroid.x, volume.CentreOfMass().X(), 1e-4);
    EXPECT_NEAR(ours.centroid.y, volume.CentreOfMass().Y(), 1e-4);
    EXPECT_NEAR(ours.centroid.z, volume.CentreOfMass().Z(), 1e-4);
    // The mesh's area falls short by the chords only.
    EXPECT_NEAR(solid::area(core(meshed(f, {0, h}, 0.01))) / surface.Mass(), 1, 5e-4);
  }
}

}  // namespace
}  // namespace kerfkiln::cushion::test
