// A rounded seat with four creases and a pocket, core meshed and measured, against OCCT doing the same (fillets, cuts,
// mesh, volume), in one run; then growth in creases.
#include <benchmark/benchmark.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBndLib.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>

#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/volume.hpp"

namespace {

using namespace kerfkiln;
using namespace kerfkiln::cushion;

constexpr double kWidth = 560, kDepth = 540, kHeight = 120, kCrease = 40, kKerf = 4;

double height_of(const TopoDS_Shape& s) {
  Bnd_Box b;
  BRepBndLib::Add(s, b);
  double x0, y0, z0, x1, y1, z1;
  b.Get(x0, y0, z0, x1, y1, z1);
  return z1 - z0;
}

double occt_job(double deviation) {
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(kWidth, kDepth, kHeight).Shape();
  BRepFilletAPI_MakeFillet upright(box);
  for (TopExp_Explorer e(box, TopAbs_EDGE); e.More(); e.Next())
    if (height_of(e.Current()) > 60) upright.Add(45, TopoDS::Edge(e.Current()));
  const TopoDS_Shape prism = upright.Shape();
  BRepFilletAPI_MakeFillet rim(prism);
  for (TopExp_Explorer f(prism, TopAbs_FACE); f.More(); f.Next()) {
    Bnd_Box b;
    BRepBndLib::Add(f.Current(), b);
    if (height_of(f.Current()) > 1 || b.CornerMin().Z() < 60) continue;
    rim.Add(20, TopoDS::Edge(TopExp_Explorer(f.Current(), TopAbs_EDGE).Current()));
  }
  TopoDS_Shape body = rim.Shape();
  for (int i = 0; i < 4; ++i)
    body = BRepAlgoAPI_Cut(body, BRepPrimAPI_MakeBox(gp_Pnt(112 + 112 * i - kKerf / 2, 80, kHeight - kCrease), kKerf,
                                                     kDepth - 160, kCrease + 10)
                                     .Shape())
               .Shape();
  body = BRepAlgoAPI_Cut(body, BRepPrimAPI_MakeBox(gp_Pnt(180, 220, -10), 200., 100., 50.).Shape()).Shape();
  BRepMesh_IncrementalMesh mesh(body, deviation, false, 0.5, false);
  GProp_GProps g;
  BRepGProp::VolumeProperties(body, g);
  return g.Mass();
}

Spec seat(int creases) {
  Spec s;
  for (int i = 0; i < creases; ++i) {
    CreaseSpec c;
    const double x = kWidth * (i + 1) / (creases + 1);
    c.path = {{x, 80, {}}, {x, kDepth - 80, {}}};
    c.depth = kCrease;
    c.kerf = kKerf;
    c.tape = 20;
    s.creases.push_back(c);
  }
  PocketSpec p;
  p.outline.shape = RectangleSpec{200, 100, 0};
  p.outline.x = 280;
  p.outline.y = 270;
  p.depth = 40;
  s.pockets = {p};
  return s;
}

double our_job(int creases, double deviation) {
  const EdgeProfile round = *edge_profile("round", std::vector<double>{20}, kHeight);
  const Form f =
      *Form::make(plane::rectangle(kWidth, kDepth, 45), kHeight, {std::vector<EdgeProfile>(4, round), round}, {});
  const std::vector<double> levels{0, 50, 90, kHeight};
  const Cuts cuts = *cuts_of(seat(creases), f.outline(), f, levels, {}, {});
  const double volume = volumes(f, levels).core - cuts.volume_mm3();
  const Cells c = *cells(f, levels, cuts.regions, cuts.cuts, deviation);
  benchmark::DoNotOptimize(piece(c, {}).triangles.size());
  for (std::size_t i = 0; i < 3; ++i) benchmark::DoNotOptimize(piece(c, {i, {}, false}).triangles.size());
  return volume;
}

void BM_occt_core(benchmark::State& state) {
  double v = 0;
  for (auto _ : state) v = occt_job(static_cast<double>(state.range(0)) / 100);
  state.counters["litres"] = v * 1e-6;
}
BENCHMARK(BM_occt_core)->ArgName("hundredths_mm")->Arg(25)->Arg(5)->Unit(benchmark::kMillisecond);

// The core and its three layers.
void BM_ours_core_and_layers(benchmark::State& state) {
  double v = 0;
  for (auto _ : state) v = our_job(4, static_cast<double>(state.range(0)) / 100);
  state.counters["litres"] = v * 1e-6;
}
BENCHMARK(BM_ours_core_and_layers)->ArgName("hundredths_mm")->Arg(25)->Arg(5)->Unit(benchmark::kMillisecond);

void BM_creases(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(our_job(static_cast<int>(state.range(0)), 0.25));
}
BENCHMARK(BM_creases)->ArgName("creases")->Arg(2)->Arg(4)->Arg(8)->Arg(16)->Arg(32)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
