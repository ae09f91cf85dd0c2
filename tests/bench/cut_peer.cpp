#include "cut_peer.hpp"

#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBndLib.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRep_Tool.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <GeomAPI_PointsToBSplineSurface.hxx>
#include <Geom_BSplineSurface.hxx>
#include <Poly_Triangulation.hxx>
#include <TColgp_Array2OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>

#include "modeler/cushion/membrane.hpp"

namespace bench {
namespace {

using kerfkiln::cushion::Membrane;

Bnd_Box box_of(const TopoDS_Shape& s) {
  Bnd_Box b;
  BRepBndLib::Add(s, b);
  return b;
}
double height_of(const TopoDS_Shape& s) { return box_of(s).CornerMax().Z() - box_of(s).CornerMin().Z(); }

TopoDS_Shape rounded_prism(double height) {
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(kSeat.width, kSeat.depth, height).Shape();
  BRepFilletAPI_MakeFillet upright(box);
  for (TopExp_Explorer e(box, TopAbs_EDGE); e.More(); e.Next())
    if (height_of(e.Current()) > 60) upright.Add(kSeat.corner, TopoDS::Edge(e.Current()));
  return upright.Shape();
}

// All above the crown's surface moved down by `lower`.
TopoDS_Shape above_crown(double crown, double lower) {
  constexpr int kPlaces = 18;
  constexpr double kPast = 4;
  const auto membrane = Membrane::over(kerfkiln::plane::rectangle(kSeat.width, kSeat.depth, kSeat.corner).outer);
  TColgp_Array2OfPnt points(1, kPlaces, 1, kPlaces);
  for (int i = 0; i < kPlaces; ++i)
    for (int j = 0; j < kPlaces; ++j) {
      const double x = -kPast + (kSeat.width + 2 * kPast) * i / (kPlaces - 1),
                   y = -kPast + (kSeat.depth + 2 * kPast) * j / (kPlaces - 1);
      points(i + 1, j + 1) = gp_Pnt(x, y, kSeat.height - lower + crown * membrane->value({x, y}));
    }
  GeomAPI_PointsToBSplineSurface fit;
  fit.Interpolate(points);
  return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(fit.Surface(), 1e-6).Face(), gp_Vec(0, 0, 120)).Shape();
}

TopoDS_Shape filleted_rim(const TopoDS_Shape& prism) {
  BRepFilletAPI_MakeFillet rim(prism);
  for (TopExp_Explorer f(prism, TopAbs_FACE); f.More(); f.Next()) {
    const Bnd_Box b = box_of(f.Current());
    if (b.CornerMin().Z() < 60) continue;
    // One edge: the tangent chain goes on round the outline.
    rim.Add(kSeat.round, TopoDS::Edge(TopExp_Explorer(f.Current(), TopAbs_EDGE).Current()));
  }
  return rim.Shape();
}

}  // namespace

Made occt_seat(double crown, double deviation) {
  TopoDS_Shape body = rounded_prism(kSeat.height + (crown > 0 ? crown + 10 : 0));
  if (crown > 0) body = BRepAlgoAPI_Cut(body, above_crown(crown, 0)).Shape();
  body = filleted_rim(body);
  TopTools_ListOfShape tools, bodies;
  TopoDS_Shape above_floors;
  if (crown > 0) above_floors = above_crown(crown, kSeat.crease);
  for (int i = 0; i < 4; ++i) {
    const double x = kSeat.width * (i + 1) / 5, low = crown > 0 ? 10 : kSeat.height - kSeat.crease;
    TopoDS_Shape slot = BRepPrimAPI_MakeBox(gp_Pnt(x - kSeat.kerf / 2, kSeat.crease_from, low), kSeat.kerf,
                                            kSeat.depth - 2 * kSeat.crease_from, kSeat.height + crown + 20 - low)
                            .Shape();
    if (crown > 0) slot = BRepAlgoAPI_Common(slot, above_floors).Shape();
    tools.Append(slot);
  }
  tools.Append(
      BRepPrimAPI_MakeBox(gp_Pnt((kSeat.width - kSeat.pocket_width) / 2, (kSeat.depth - kSeat.pocket_depth) / 2, -10),
                          kSeat.pocket_width, kSeat.pocket_depth, kSeat.pocket + 10)
          .Shape());
  bodies.Append(body);
  BRepAlgoAPI_Cut cut;
  cut.SetArguments(bodies);
  cut.SetTools(tools);
  cut.Build();
  const TopoDS_Shape seat = cut.Shape();
  BRepMesh_IncrementalMesh mesh(seat, deviation, false, 0.5, false);
  GProp_GProps g;
  BRepGProp::VolumeProperties(seat, g);
  Made made{g.Mass(), 0};
  for (TopExp_Explorer e(seat, TopAbs_FACE); e.More(); e.Next()) {
    TopLoc_Location at;
    const Handle(Poly_Triangulation) t = BRep_Tool::Triangulation(TopoDS::Face(e.Current()), at);
    if (!t.IsNull()) made.triangles += static_cast<std::size_t>(t->NbTriangles());
  }
  return made;
}

}  // namespace bench
