// Inset of a wavy outline by 25 mm, ours against CGAL's straight skeleton in one run; growth; the check of an outline.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <numbers>

#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"
#include "plane_peer.hpp"

namespace {

using namespace kerfkiln;

// A cushion-like outline of about 600 x 550 mm with a fine and a coarse wave, n straight segments.
plane::Outline wavy(int n) {
  plane::Outline o;
  for (int i = 0; i < n; ++i) {
    const double t = 2 * std::numbers::pi * i / n, c = std::cos(t), s = std::sin(t);
    const double r = (1 + 0.03 * std::cos(5 * t + 0.3) + 0.004 * std::cos(40 * t)) /
                     std::pow(std::pow(std::fabs(c), 6) + std::pow(std::fabs(s), 6), 1.0 / 6);
    o.outer.push_back({{290 * r * c, 265 * r * s}, 0, 0});
  }
  return o;
}

double inset_area(const plane::Outline& o, double distance, plane::Join join) {
  const auto result = plane::offset(o, -distance, join);
  if (!result) return std::nan("");
  double sum = 0;
  for (const plane::Outline& part : *result) sum += area(part);
  return sum;
}

void inset(benchmark::State& state, double distance) {
  const plane::Outline o = wavy(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(plane::offset(o, -distance));
  state.SetComplexityN(state.range(0));
}
void inset_25(benchmark::State& state) { inset(state, 25); }
void inset_200_past_the_bends(benchmark::State& state) { inset(state, 200); }
BENCHMARK(inset_25)->Arg(500)->Arg(2000)->Arg(8000)->Unit(benchmark::kMillisecond)->Complexity(benchmark::oNLogN);
BENCHMARK(inset_200_past_the_bends)
    ->Arg(500)
    ->Arg(2000)
    ->Arg(8000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oNLogN);

void rounded_rectangle_inset(benchmark::State& state) {
  const plane::Outline o = plane::rectangle(600, 550, 60);
  for (auto _ : state) benchmark::DoNotOptimize(plane::offset(o, -25));
}
BENCHMARK(rounded_rectangle_inset)->Unit(benchmark::kMicrosecond);

void check_outline(benchmark::State& state) {
  const plane::Outline o = wavy(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(plane::check_outline(o));
}
BENCHMARK(check_outline)->Arg(2000)->Arg(10000)->Unit(benchmark::kMillisecond);

void straight_skeleton(benchmark::State& state) {
  const plane::Outline o = wavy(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(bench::skeleton_inset(o, 25));
}
BENCHMARK(straight_skeleton)->Arg(500)->Arg(2000)->Iterations(3)->Unit(benchmark::kMillisecond);

// Processor time, so that a busy machine does not favour the shorter of two jobs; the least of some runs.
template <class F>
double least_cpu_ms(int runs, F&& f) {
  double best = 1e300;
  for (int i = 0; i < runs; ++i) {
    const std::clock_t start = std::clock();
    f();
    best = std::min(best, 1000. * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  return best;
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  const plane::Outline o = wavy(2000);
  bench::PeerInset peer;
  const double theirs = least_cpu_ms(3, [&] { peer = bench::skeleton_inset(o, 25); });
  const double ours = least_cpu_ms(30, [&] { benchmark::DoNotOptimize(plane::offset(o, -25)); });
  std::printf(
      "inset of 2000 vertices by 25 mm: CGAL straight skeleton %.1f ms, kerfkiln %.3f ms, ratio %.0f (target 200)\n",
      theirs, ours, theirs / ours);
  std::printf("  area mitred: CGAL %.6f, kerfkiln %.6f mm2 (relative difference %.1e); with arcs %.6f mm2\n", peer.area,
              inset_area(o, 25, plane::Join::mitre), inset_area(o, 25, plane::Join::mitre) / peer.area - 1,
              inset_area(o, 25, plane::Join::round));
  return 0;
}
