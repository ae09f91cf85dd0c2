#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Geom_OffsetCurve.hxx>
#include <Geom_TrimmedCurve.hxx>
#include <Poly_Triangulation.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <ctime>
#include <gp_Ax1.hxx>

#include "urn_case.hpp"

namespace kerfkiln::bench {
namespace {

Handle(Geom_BSplineCurve) profile() {
  const int n = static_cast<int>(kControl.size()), spans = n - 3;
  TColgp_Array1OfPnt poles(1, n);
  for (int i = 0; i < n; ++i)
    poles(i + 1) = gp_Pnt(kControl[static_cast<std::size_t>(i)].first, 0, kControl[static_cast<std::size_t>(i)].second);
  TColStd_Array1OfReal knots(1, spans + 1);
  TColStd_Array1OfInteger times(1, spans + 1);
  for (int i = 0; i <= spans; ++i)
    knots(i + 1) = static_cast<double>(i) / spans, times(i + 1) = i == 0 || i == spans ? 4 : 1;
  return new Geom_BSplineCurve(poles, knots, times, 3);
}

TopoDS_Shape wall(double t0, double t1) {
  Handle(Geom_Curve) inner = new Geom_TrimmedCurve(new Geom_OffsetCurve(profile(), kWall, gp_Dir(0, 1, 0)), t0, t1);
  const gp_Pnt q0 = inner->Value(t0), q1 = inner->Value(t1), o(0, 0, 0), foot(60, 0, 0), lip(62, 0, kHeight),
               floor(0, 0, kWall);
  BRepBuilderAPI_MakeWire w(BRepBuilderAPI_MakeEdge(o, foot), BRepBuilderAPI_MakeEdge(profile()),
                            BRepBuilderAPI_MakeEdge(lip, q1), BRepBuilderAPI_MakeEdge(inner));
  w.Add(BRepBuilderAPI_MakeEdge(q0, floor));
  w.Add(BRepBuilderAPI_MakeEdge(floor, o));
  return BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(w.Wire()).Face(), gp_Ax1(o, gp_Dir(0, 0, 1))).Shape();
}

double now() {
  timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

}  // namespace

PeerResult occt_urn(double deviation, double t0, double t1, int runs) {
  PeerResult r;
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const double start = now();
    const TopoDS_Shape s = wall(t0, t1);
    BRepMesh_IncrementalMesh(s, deviation, false, 0.5, false);
    GProp_GProps g;
    BRepGProp::VolumeProperties(s, g);
    times.push_back(now() - start);
    r.volume = g.Mass();
    r.triangles = 0;
    for (TopExp_Explorer e(s, TopAbs_FACE); e.More(); e.Next()) {
      TopLoc_Location place;
      const auto t = BRep_Tool::Triangulation(TopoDS::Face(e.Current()), place);
      if (!t.IsNull()) r.triangles += static_cast<std::size_t>(t->NbTriangles());
    }
  }
  std::sort(times.begin(), times.end());
  r.milliseconds = times[times.size() / 2];
  return r;
}

}  // namespace kerfkiln::bench
