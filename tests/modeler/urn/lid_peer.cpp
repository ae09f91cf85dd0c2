#include "lid_peer.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <GProp_GProps.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Ax1.hxx>

namespace kerfkiln::urn::test {

TurnedSolid turned(const plane::Loop& loop) {
  const auto at = [](Vec2 p) { return gp_Pnt(p.x, 0, p.y); };
  BRepBuilderAPI_MakeWire wire;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    if (s.is_line())
      wire.Add(BRepBuilderAPI_MakeEdge(at(s.a), at(s.b)).Edge());
    else
      wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(at(s.a), at(s.point(0.5)), at(s.b)).Value()).Edge());
  }
  const TopoDS_Shape solid =
      BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(wire.Wire()).Face(), gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)))
          .Shape();
  TurnedSolid t;
  GProp_GProps volume, area;
  BRepGProp::VolumePropertiesGK(solid, volume, 1e-7, false, true, true);
  t.volume = std::abs(volume.Mass());
  t.centroid_z = volume.CentreOfMass().Z();
  BRepGProp::SurfaceProperties(solid, area, 1e-7);
  t.area = area.Mass();
  return t;
}

}  // namespace kerfkiln::urn::test
