// The volume of a topper laid over a core, by an independent kernel: OCCT's thick solid on a prism. Where nothing bends
// both ways the volume of a layer is its thickness times the area of its middle (Steiner: V = t A + t^3 / 12 of the
// integral of Gaussian curvature, which is zero), and that area is the flat pattern's.
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepOffsetAPI_MakeThickSolid.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Vertex.hxx>
#include <gp_Pnt.hxx>

#include <gtest/gtest.h>

#include <cmath>

#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/wrap_section.hpp"

namespace kerfkiln::cushion {
namespace {

double volume_of(const TopoDS_Shape& s) {
  GProp_GProps g;
  BRepGProp::VolumeProperties(s, g);
  return std::abs(g.Mass());
}

gp_Pnt middle_of(const TopoDS_Shape& s) {
  GProp_GProps g;
  BRepGProp::SurfaceProperties(s, g);
  return g.CentreOfMass();
}

// A bar of width c, height h and length l, its two upper long edges rounded by r (0: square), in a layer of thickness t
// over its top and long sides.
double layer_by_occt(double c, double h, double l, double r, double t) {
  TopoDS_Shape bar = BRepPrimAPI_MakeBox(c, l, h).Shape();
  if (r > 0) {
    BRepFilletAPI_MakeFillet fillet(bar);
    for (TopExp_Explorer e(bar, TopAbs_EDGE); e.More(); e.Next()) {
      const TopoDS_Edge edge = TopoDS::Edge(e.Current());
      const gp_Pnt a = BRep_Tool::Pnt(TopExp::FirstVertex(edge)), b = BRep_Tool::Pnt(TopExp::LastVertex(edge));
      if (std::abs(a.Y() - b.Y()) > 1 && a.Z() > h - 1e-6 && b.Z() > h - 1e-6) fillet.Add(r, edge);
    }
    bar = fillet.Shape();
  }
  TopTools_ListOfShape open;  // underside and both ends stay bare
  for (TopExp_Explorer f(bar, TopAbs_FACE); f.More(); f.Next()) {
    const gp_Pnt m = middle_of(f.Current());
    if (m.Y() < 1e-6 || m.Y() > l - 1e-6 || m.Z() < 1e-6) open.Append(f.Current());
  }
  BRepOffsetAPI_MakeThickSolid thick;
  thick.MakeThickSolidByJoin(bar, open, t, 1e-6, BRepOffset_Skin, Standard_False, Standard_False, GeomAbs_Arc);
  return volume_of(thick.Shape());
}

TEST(WrapVolume, ThicknessTimesTheFlatAreaIsTheLayersVolume) {
  const double c = 300, h = 90, l = 400;
  for (const double r : {30.0, 12.0})
    for (const double t : {10.0, 20.0}) {
      const WrapSection s = edge_section(quarter_ellipse(r, r), {}, 0, t / 2, h);
      const double flat = (c - 2 * s.start_mm + 2 * s.length()) * l;
      EXPECT_NEAR(layer_by_occt(c, h, l, r, t), t * flat, 1e-7 * t * flat) << r << " " << t;
    }
}

}  // namespace
}  // namespace kerfkiln::cushion
