#include "loft_peer.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepOffsetAPI_ThruSections.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Wire.hxx>
#include <cmath>

namespace kerfkiln::urn::test {

LoftMeasure ruled_loft(const std::vector<std::vector<RingEdge>>& rings) {
  const auto at = [](Vec3 p) { return gp_Pnt(p.x, p.y, p.z); };
  BRepOffsetAPI_ThruSections thru(true, true, 1e-7);
  thru.CheckCompatibility(false);
  for (const auto& ring : rings) {
    BRepBuilderAPI_MakeWire wire;
    for (const RingEdge& e : ring) {
      const bool line = norm(cross(e.middle - e.a, e.b - e.a)) < 1e-9 * dot(e.b - e.a, e.b - e.a);
      wire.Add(line ? BRepBuilderAPI_MakeEdge(at(e.a), at(e.b)).Edge()
                    : BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(at(e.a), at(e.middle), at(e.b)).Value()).Edge());
    }
    thru.AddWire(wire.Wire());
  }
  thru.Build();
  const TopoDS_Shape solid = thru.Shape();
  GProp_GProps volume;
  BRepGProp::VolumePropertiesGK(solid, volume, 1e-10, false, true, true);
  LoftMeasure m{std::abs(volume.Mass()), 0, volume.CentreOfMass().Z()};
  const double low = rings.front().front().a.z, high = rings.back().front().a.z;
  for (TopExp_Explorer e(solid, TopAbs_FACE); e.More(); e.Next()) {
    GProp_GProps side;
    BRepGProp::SurfaceProperties(e.Current(), side, 1e-10);
    const double z = side.CentreOfMass().Z();  // of the flats: in the planes of foot and lip
    if (z > low + 1e-6 && z < high - 1e-6) m.side_area += side.Mass();
  }
  return m;
}

}  // namespace kerfkiln::urn::test
