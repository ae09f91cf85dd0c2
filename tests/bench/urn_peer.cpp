#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepOffsetAPI_ThruSections.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <GeomAPI_Interpolate.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Geom_OffsetCurve.hxx>
#include <Geom_TrimmedCurve.hxx>
#include <Poly_Triangulation.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TColgp_HArray1OfPnt.hxx>
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

TopoDS_Wire spline_through(const std::vector<Vec3>& ring) {
  Handle(TColgp_HArray1OfPnt) points = new TColgp_HArray1OfPnt(1, static_cast<int>(ring.size()));
  for (int i = 0; i < points->Length(); ++i) {
    const Vec3 p = ring[static_cast<std::size_t>(i)];
    points->SetValue(i + 1, gp_Pnt(p.x, p.y, p.z));
  }
  GeomAPI_Interpolate curve(points, true, 1e-9);
  curve.Perform();
  return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()).Wire();
}

TopoDS_Shape loft(const Rings& rings) {
  BRepOffsetAPI_ThruSections thru(true, false, 1e-6);
  thru.CheckCompatibility(false);
  for (const auto& ring : rings) thru.AddWire(spline_through(ring));
  thru.Build();
  return thru.Shape();
}

double now() {
  timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

}  // namespace

PeerResult occt_loft(const Rings& rings, double deviation, int runs, std::vector<Vec3>* side) {
  PeerResult r;
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const double start = now();
    const TopoDS_Shape s = loft(rings);
    BRepMesh_IncrementalMesh(s, deviation, false, 0.5, false);
    times.push_back(now() - start);
    r.triangles = 0;
    if (side) side->clear();
    for (TopExp_Explorer e(s, TopAbs_FACE); e.More(); e.Next()) {
      TopLoc_Location place;
      const auto t = BRep_Tool::Triangulation(TopoDS::Face(e.Current()), place);
      if (t.IsNull()) continue;
      r.triangles += static_cast<std::size_t>(t->NbTriangles());
      for (int k = 1; side && k <= t->NbNodes(); ++k) {
        const gp_Pnt p = t->Node(k);
        if (p.Z() > rings.front().front().z + 1e-6 && p.Z() < rings.back().front().z - 1e-6)
          side->push_back({p.X(), p.Y(), p.Z()});
      }
    }
    GProp_GProps g;
    BRepGProp::VolumeProperties(s, g);
    r.volume = g.Mass();
  }
  std::sort(times.begin(), times.end());
  r.milliseconds = times[times.size() / 2];
  return r;
}

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
