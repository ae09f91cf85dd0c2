#include "occt_peer.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <GProp_GProps.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Geom_OffsetCurve.hxx>
#include <Geom_TrimmedCurve.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Ax1.hxx>

namespace kerfkiln::urn::test {
namespace {

// Piecewise cubic, C1 knots of multiplicity two (it is C2, which OCCT may find out by itself).
Handle(Geom_BSplineCurve) curve_of(const Profile& p) {
  const int n = static_cast<int>(p.spans().size());
  TColgp_Array1OfPnt poles(1, 3 * n + 1);
  TColStd_Array1OfReal knots(1, n + 1);
  TColStd_Array1OfInteger times(1, n + 1);
  for (int k = 0; k < n; ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    const double h = s.length;
    const auto pole = [&](int i) {  // Bezier poles from the power basis
      const auto one = [&](const Cubic& c) {
        const double b[4] = {c[0], c[0] + c[1] * h / 3, c[0] + 2 * c[1] * h / 3 + c[2] * h * h / 3,
                             c[0] + c[1] * h + c[2] * h * h + c[3] * h * h * h};
        return b[i];
      };
      return gp_Pnt(one(s.half_width), 0, one(s.height));
    };
    for (int i = 0; i < 4; ++i) poles(3 * k + i + 1) = pole(i);
    knots(k + 1) = s.begin;
    times(k + 1) = k == 0 ? 4 : 3;
  }
  knots(n + 1) = p.end();
  times(n + 1) = 4;
  Handle(Geom_BSplineCurve) curve = new Geom_BSplineCurve(poles, knots, times, 3);
  for (int k = 2; k <= n; ++k) curve->RemoveKnot(k, 1, 1e-7);
  return curve;
}

TopoDS_Shape spun(const TopoDS_Wire& w) {
  return BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(w).Face(), gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape();
}

}  // namespace

PeerMeasure revolved(const Profile& p) {
  const auto curve = curve_of(p);
  const gp_Pnt foot(0, 0, p.low()), a = curve->StartPoint(), b = curve->EndPoint(), top(0, 0, p.high());
  BRepBuilderAPI_MakeWire w(BRepBuilderAPI_MakeEdge(foot, a), BRepBuilderAPI_MakeEdge(curve),
                            BRepBuilderAPI_MakeEdge(b, top), BRepBuilderAPI_MakeEdge(top, foot));
  const TopoDS_Shape solid = spun(w.Wire());
  PeerMeasure m;
  GProp_GProps g;
  BRepGProp::VolumePropertiesGK(solid, g, 1e-10, false, true, true);
  m.volume = g.Mass();
  m.centroid_z = g.CentreOfMass().Z();
  for (TopExp_Explorer e(solid, TopAbs_FACE); e.More(); e.Next()) {
    GProp_GProps side;
    BRepGProp::SurfaceProperties(e.Current(), side, 1e-10);
    // The flats' centroids lie in the planes of foot and lip.
    const double z = side.CentreOfMass().Z();
    if (z > p.low() + 1e-6 && z < p.high() - 1e-6) m.side_area += side.Mass();
  }
  return m;
}

double revolved_wall_volume(const Profile& p, double wall, double floor, double t0, double t1) {
  const auto outer = curve_of(p);
  Handle(Geom_Curve) inner = new Geom_TrimmedCurve(new Geom_OffsetCurve(outer, wall, gp_Dir(0, 1, 0)), t0, t1);
  const gp_Pnt q0 = inner->Value(t0), q1 = inner->Value(t1);
  const gp_Pnt o(0, 0, p.low()), f(0, 0, floor);
  BRepBuilderAPI_MakeWire w(BRepBuilderAPI_MakeEdge(o, outer->StartPoint()), BRepBuilderAPI_MakeEdge(outer),
                            BRepBuilderAPI_MakeEdge(outer->EndPoint(), q1), BRepBuilderAPI_MakeEdge(inner));
  w.Add(BRepBuilderAPI_MakeEdge(q0, f));
  w.Add(BRepBuilderAPI_MakeEdge(f, o));
  GProp_GProps g;
  BRepGProp::VolumePropertiesGK(spun(w.Wire()), g, 1e-10, false, true);
  return g.Mass();
}

}  // namespace kerfkiln::urn::test
