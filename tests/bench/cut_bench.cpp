// A rounded seat with four creases and a pocket, its core meshed and measured, against OCCT making the same form (see
// cut_peer.hpp), in one run: with a level top, and with a crown whose creases follow it. Layers apart, then growth in
// creases and in layers.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <vector>

#include "cut_peer.hpp"
#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/membrane.hpp"
#include "modeler/cushion/volume.hpp"

namespace {

using namespace kerfkiln;
using namespace kerfkiln::cushion;
using bench::kSeat;

Spec spec_of(int creases) {
  Spec s;
  for (int i = 0; i < creases; ++i) {
    CreaseSpec c;
    const double x = kSeat.width * (i + 1) / (creases + 1);
    c.path = {{x, kSeat.crease_from, {}}, {x, kSeat.depth - kSeat.crease_from, {}}};
    c.depth = kSeat.crease;
    c.kerf = kSeat.kerf;
    c.tape = 20;
    s.creases.push_back(c);
  }
  PocketSpec p;
  p.outline.shape = RectangleSpec{kSeat.pocket_width, kSeat.pocket_depth, 0};
  p.outline.x = kSeat.width / 2;
  p.outline.y = kSeat.depth / 2;
  p.depth = kSeat.pocket;
  s.pockets = {p};
  return s;
}

struct Job {
  int creases = 4;
  double crown = 0, deviation = 0.05;
  int layers = 0;  // meshed besides the core
};
bench::Made our_job(const Job& job) {
  // Never the same outline twice: nothing of it may be known from the job before.
  static double wider = 0;
  wider += 1.0 / 1048576;
  const plane::Outline outline = plane::rectangle(kSeat.width + wider, kSeat.depth, kSeat.corner);
  const EdgeProfile round = *edge_profile("round", std::vector<double>{kSeat.round}, kSeat.height);
  Rise rise;
  if (job.crown > 0) rise = Rise::crown(Membrane::over(outline.outer), job.crown);
  const Form f = *Form::make(outline, kSeat.height, {std::vector<EdgeProfile>(4, round), round}, {}, rise);
  std::vector<double> levels{0};
  const int slabs = std::max(job.layers, 1);
  for (int i = 1; i <= slabs; ++i) levels.push_back(kSeat.height * i / slabs);
  const Cuts cuts = *cuts_of(spec_of(job.creases), f.outline(), f, levels, {}, {});
  const double volume = volumes(f, levels, {.relative_error = job.crown > 0 ? 1e-6 : 0}).core - cuts.volume_mm3();
  const Cells c = *cells(f, levels, cuts.regions, cuts.cuts, job.deviation);
  const std::size_t triangles = piece(c, {}).triangles.size();
  for (int i = 0; i < job.layers; ++i)
    benchmark::DoNotOptimize(piece(c, {static_cast<std::size_t>(i), {}, false}).triangles.size());
  return {volume, triangles};
}

void report(benchmark::State& state, const bench::Made& made) {
  state.counters["litres"] = made.volume_mm3 * 1e-6;
  state.counters["triangles"] = static_cast<double>(made.triangles);
}

void BM_occt_core(benchmark::State& state) {
  bench::Made made;
  for (auto _ : state)
    made = bench::occt_seat(static_cast<double>(state.range(0)), static_cast<double>(state.range(1)) / 1000);
  report(state, made);
}
BENCHMARK(BM_occt_core)
    ->ArgNames({"crown", "micrometres"})
    ->ArgsProduct({{0, 12}, {250, 50}})
    ->Unit(benchmark::kMillisecond);

void BM_our_core(benchmark::State& state) {
  bench::Made made;
  for (auto _ : state)
    made = our_job({4, static_cast<double>(state.range(0)), static_cast<double>(state.range(1)) / 1000});
  report(state, made);
}
BENCHMARK(BM_our_core)
    ->ArgNames({"crown", "micrometres"})
    ->ArgsProduct({{0, 12}, {250, 50}})
    ->Unit(benchmark::kMillisecond);

void BM_core_and_layers(benchmark::State& state) {
  for (auto _ : state)
    benchmark::DoNotOptimize(
        our_job({4, static_cast<double>(state.range(0)), 0.25, static_cast<int>(state.range(1))}).triangles);
}
BENCHMARK(BM_core_and_layers)
    ->ArgNames({"crown", "layers"})
    ->ArgsProduct({{0, 12}, {2, 4, 8}})
    ->Unit(benchmark::kMillisecond);

void BM_creases(benchmark::State& state) {
  for (auto _ : state)
    benchmark::DoNotOptimize(
        our_job({static_cast<int>(state.range(1)), static_cast<double>(state.range(0)), 0.25}).triangles);
}
BENCHMARK(BM_creases)
    ->ArgNames({"crown", "creases"})
    ->ArgsProduct({{0, 12}, {1, 2, 4, 8, 16, 32}})
    ->Unit(benchmark::kMillisecond);

template <class F>
double median_ms(int runs, const F& f) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    // Processor time: other work on the machine must not decide.
    const std::clock_t start = std::clock();
    f();
    times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  std::nth_element(times.begin(), times.begin() + runs / 2, times.end());
  return times[static_cast<std::size_t>(runs / 2)];
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  for (const double crown : {0.0, 12.0})
    for (const double deviation : {0.25, 0.05}) {
      bench::Made theirs, own;
      const double peer = median_ms(5, [&] { theirs = bench::occt_seat(crown, deviation); });
      const double ours = median_ms(21, [&] { own = our_job({4, crown, deviation}); });
      std::printf(
          "%s seat, four creases and a pocket, core at %.2f mm + volume: OCCT %.1f ms, %zu triangles, %.4f L; ours "
          "%.2f "
          "ms, %zu triangles, %.4f L: %.0f times faster (asked 50)\n",
          crown > 0 ? "crowned" : "level", deviation, peer, theirs.triangles, theirs.volume_mm3 * 1e-6, ours,
          own.triangles, own.volume_mm3 * 1e-6, peer / ours);
    }
}
