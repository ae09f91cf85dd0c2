// The rounded cushion: 600 x 550 x 120, plan corner radius 60, edge radius 25 top and bottom, meshed at 0.05 mm with
// its volume, against OCCT doing the same (box, fillets, mesh, volume), in one run. Then growth in triangles, layers
// and outline vertices.
#include <benchmark/benchmark.h>

#include <BRepBndLib.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRep_Tool.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <numbers>

#include "modeler/cushion/membrane.hpp"
#include "modeler/cushion/relief.hpp"
#include "modeler/cushion/volume.hpp"

namespace {

using namespace kerfkiln;
using namespace kerfkiln::cushion;

constexpr double kExactVolume = 38649232.163689815;  // rounded-edge box formula, also by Steiner
constexpr double kDeviation = 0.05;

double height_of(const TopoDS_Shape& s) {
  Bnd_Box b;
  BRepBndLib::Add(s, b);
  double x0, y0, z0, x1, y1, z1;
  b.Get(x0, y0, z0, x1, y1, z1);
  return z1 - z0;
}

TopoDS_Shape occt_cushion() {
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), gp_Pnt(600, 550, 120)).Shape();
  BRepFilletAPI_MakeFillet upright(box);
  for (TopExp_Explorer e(box, TopAbs_EDGE); e.More(); e.Next())
    if (height_of(e.Current()) > 60) upright.Add(60, TopoDS::Edge(e.Current()));
  const TopoDS_Shape prism = upright.Shape();
  BRepFilletAPI_MakeFillet rims(prism);
  for (TopExp_Explorer f(prism, TopAbs_FACE); f.More(); f.Next()) {
    if (height_of(f.Current()) > 1) continue;
    TopExp_Explorer e(f.Current(), TopAbs_EDGE);  // one edge: the tangent chain propagates round the outline
    rims.Add(25, TopoDS::Edge(e.Current()));
  }
  return rims.Shape();
}

std::size_t occt_job(double& volume) {
  const TopoDS_Shape s = occt_cushion();
  BRepMesh_IncrementalMesh mesh(s, kDeviation, false, 0.5, false);
  GProp_GProps g;
  BRepGProp::VolumeProperties(s, g);
  volume = g.Mass();
  std::size_t triangles = 0;
  for (TopExp_Explorer e(s, TopAbs_FACE); e.More(); e.Next()) {
    TopLoc_Location at;
    triangles += static_cast<std::size_t>(BRep_Tool::Triangulation(TopoDS::Face(e.Current()), at)->NbTriangles());
  }
  return triangles;
}

EdgeProfile edge(std::string_view type, std::vector<double> lengths) { return *edge_profile(type, lengths, 120); }

std::size_t our_job(bool general, double& volume) {
  const EdgeProfile round = edge("round", {25});
  const EdgeProfiles all{std::vector<EdgeProfile>(4, round), round};
  const Form f = *Form::make(plane::rectangle(600, 550, 60), 120, all, all);
  const double levels[] = {0, 120};
  VolumeOptions options;
  options.general = general;
  volume = volumes(f, levels, options).core;
  return core(*relief(f, levels, kDeviation)).triangles.size();
}

void BM_occt(benchmark::State& state) {
  double v = 0;
  std::size_t triangles = 0;
  for (auto _ : state) triangles = occt_job(v);
  state.counters["triangles"] = static_cast<double>(triangles);
  state.counters["volume_error"] = std::abs(v / kExactVolume - 1);
}
BENCHMARK(BM_occt)->Unit(benchmark::kMillisecond);

void BM_ours(benchmark::State& state) {
  double v = 0;
  std::size_t triangles = 0;
  for (auto _ : state) triangles = our_job(state.range(0) != 0, v);
  state.counters["triangles"] = static_cast<double>(triangles);
  state.counters["volume_error"] = std::abs(v / kExactVolume - 1);
}
BENCHMARK(BM_ours)->ArgName("general")->Arg(0)->Arg(1)->Unit(benchmark::kMicrosecond);

void BM_four_different_sides(benchmark::State& state) {
  const EdgeProfiles top{{edge("ellipse", {60, 40}), edge("round", {20}), edge("chamfer", {30, 15}), {}}, {}};
  const Form f =
      *Form::make(plane::rectangle(600, 550, static_cast<double>(state.range(0))), 120, top, {{}, edge("round", {10})});
  const double levels[] = {0, 50, 90, 120};
  std::size_t triangles = 0;
  for (auto _ : state) triangles = core(*relief(f, levels, static_cast<double>(state.range(1)) / 100)).triangles.size();
  state.counters["triangles"] = static_cast<double>(triangles);
}
BENCHMARK(BM_four_different_sides)
    ->ArgNames({"corner_radius", "deviation_100"})
    ->Args({0, 5})
    ->Args({60, 5})
    ->Args({60, 25})
    ->Unit(benchmark::kMillisecond);

// As a design's figures ask for it.
void BM_volume_of_four_different_sides(benchmark::State& state) {
  const EdgeProfiles top{{edge("ellipse", {60, 40}), edge("round", {20}), edge("chamfer", {30, 15}), {}}, {}};
  const Form f =
      *Form::make(plane::rectangle(600, 550, static_cast<double>(state.range(0))), 120, top, {{}, edge("round", {10})});
  const double levels[] = {0, 50, 90, 120};
  Volumes v;
  for (auto _ : state) v = volumes(f, levels, {1e-6, false});
  state.counters["stated_error"] = v.error / v.core;
}
BENCHMARK(BM_volume_of_four_different_sides)->ArgName("corner_radius")->Arg(0)->Arg(60)->Unit(benchmark::kMillisecond);

// A crowned seat with a waterfall front and blended corners.
Form risen_seat() {
  const plane::Outline outline = plane::rectangle(560, 540, 45);
  const EdgeProfile round = edge("round", {20});
  return *Form::make(outline, 120, {{edge("ellipse", {60, 40}), round, round, round}, {}}, {},
                     Rise::crown(Membrane::over(outline.outer), 12));
}

void BM_membrane_of_a_new_outline(benchmark::State& state) {
  double width = 560;
  for (auto _ : state) benchmark::DoNotOptimize(Membrane::over(plane::rectangle(width += 0.01, 540, 45).outer));
}
BENCHMARK(BM_membrane_of_a_new_outline)->Unit(benchmark::kMillisecond);

void BM_volumes_of_a_crowned_seat(benchmark::State& state) {
  const Form form = risen_seat();
  const double levels[] = {0, 50, 90, 120};
  for (auto _ : state) benchmark::DoNotOptimize(volumes(form, levels, {.relative_error = 1e-6}));
}
BENCHMARK(BM_volumes_of_a_crowned_seat)->Unit(benchmark::kMillisecond);

void BM_mesh_of_a_crowned_seat(benchmark::State& state) {
  const Form form = risen_seat();
  const double levels[] = {0, 50, 90, 120}, deviation = static_cast<double>(state.range(0)) / 1000;
  std::size_t triangles = 0;
  for (auto _ : state) triangles = relief(form, levels, deviation)->triangles.size();
  state.counters["triangles"] = static_cast<double>(triangles);
}
BENCHMARK(BM_mesh_of_a_crowned_seat)->ArgName("micrometres")->Arg(500)->Arg(50)->Unit(benchmark::kMillisecond);

void BM_growth_in_triangles(benchmark::State& state) {
  const EdgeProfiles all{{}, edge("round", {25})};
  const Form f = *Form::make(plane::rectangle(600, 550, 60), 120, all, all);
  const double levels[] = {0, 120};
  const double deviation = kDeviation / static_cast<double>(state.range(0));
  std::size_t triangles = 0;
  for (auto _ : state) triangles = core(*relief(f, levels, deviation)).triangles.size();
  state.counters["triangles"] = static_cast<double>(triangles);
  state.counters["time_per_triangle"] = benchmark::Counter(
      static_cast<double>(triangles), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(BM_growth_in_triangles)->ArgName("finer")->Arg(1)->Arg(10)->Arg(100)->Unit(benchmark::kMicrosecond);

void BM_growth_in_layers(benchmark::State& state) {
  const EdgeProfiles all{{}, edge("round", {25})};
  const Form f = *Form::make(plane::rectangle(600, 550, 60), 120, all, all);
  std::vector<double> levels;
  for (int i = 0; i <= state.range(0); ++i) levels.push_back(120.0 * i / static_cast<double>(state.range(0)));
  for (auto _ : state) {
    const Relief r = *relief(f, levels, kDeviation);
    benchmark::DoNotOptimize(volumes(f, levels).core);
    for (std::size_t i = 0; i + 1 < levels.size(); ++i) benchmark::DoNotOptimize(layer(r, i).triangles.data());
  }
}
BENCHMARK(BM_growth_in_layers)->ArgName("layers")->Arg(2)->Arg(8)->Arg(32)->Unit(benchmark::kMicrosecond);

void BM_growth_in_vertices(benchmark::State& state) {
  // A wavy outline: alternating arcs on a ring.
  const int n = static_cast<int>(state.range(0));
  plane::Outline o;
  o.sides = {"rim"};
  const double ring = 400, step = 2 * std::numbers::pi / n;
  for (int i = 0; i < n; ++i)
    o.outer.push_back({{500 + ring * std::cos(i * step), 500 + ring * std::sin(i * step)}, i % 2 ? 0.1 : -0.1, 0});
  const EdgeProfiles all{{}, edge("round", {10})};
  const Form f = *Form::make(o, 120, all, all);
  const double levels[] = {0, 60, 120};
  std::size_t triangles = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(volumes(f, levels, {1e-7, false}).core);
    const Result<Relief> r = relief(f, levels, 0.25);
    if (r) triangles = core(*r).triangles.size();
  }
  state.counters["triangles"] = static_cast<double>(triangles);
}
BENCHMARK(BM_growth_in_vertices)->ArgName("vertices")->Arg(20)->Arg(200)->Arg(2000)->Unit(benchmark::kMillisecond);

template <class F>
double median_ms(int runs, int repeat, const F& f) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    // Processor time: other work on the machine must not decide.
    const std::clock_t start = std::clock();
    for (int k = 0; k < repeat; ++k) f();
    times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC / repeat);
  }
  std::nth_element(times.begin(), times.begin() + runs / 2, times.end());
  return times[static_cast<std::size_t>(runs / 2)];
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  double v = 0;
  const double peer = median_ms(9, 1, [&] { occt_job(v); });
  const double uniform = median_ms(21, 50, [&] { our_job(false, v); });
  const double uniform_error = std::abs(v / kExactVolume - 1);
  const double general = median_ms(21, 50, [&] { our_job(true, v); });
  std::printf(
      "rounded cushion, mesh 0.05 mm + volume: OCCT %.1f ms; uniform edges %.3f ms, %.0f times faster (asked 100), "
      "volume error %.1e; general path %.3f ms, %.0f times faster (asked 20), volume error %.1e\n",
      peer, uniform, peer / uniform, uniform_error, general, peer / general, std::abs(v / kExactVolume - 1));
}
