// What the viewer's worker does for one step of a slider, on one core (slider.hpp). The seat has a crown, four creases,
// a pocket and a topper. Expected under 16 ms at live deviation; at 0.05 mm under 200 ms with all templates drawn; rows
// without an expectation show growth.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <ctime>
#include <string>

#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "tests/bench/slider.hpp"

namespace {

using namespace kerfkiln;
using bench::Moved;
using bench::Slider;

struct Seat {
  int creases = 4, layers = 3;
  bool waterfall = false;
};

std::string design_of(const Seat& seat) {
  std::string text =
      R"({"kerfkiln": 1, "title": "seat", "pieces": [{"name": "seat", "kind": "cushion", "given_at": "topped",
      "outline": {"rectangle": {"width": 590, "depth": 570, "corner_radius": 60}}, "crown": {"top": 12}, "edges": {"top": )";
  text +=
      seat.waterfall ? R"({"front": {"ellipse": [60, 40]}, "other": {"round": 35}}})" : R"({"other": {"round": 35}}})";
  text += R"(, "topper": {"foam": "soft", "thickness": 15}, "pockets": [{"from": "bottom", "at": [295, 285],
      "depth": 40, "outline": {"rectangle": {"width": 200, "depth": 100}}}], "layers": [)";
  for (int i = 0; i < seat.layers; ++i)
    text += std::string(i > 0 ? ", " : "") + R"({"foam": "medium", "thickness": )" +
            format_number(120.0 / seat.layers, 6) + "}";
  text += R"(], "creases": [)";
  for (int i = 0; i < seat.creases; ++i) {
    const std::string x = format_number(15 + 560.0 * (i + 1) / (seat.creases + 1), 6);
    text += (i > 0 ? ", " : "") + ("{\"path\": [[" + x + ", 95], [" + x + ", 475]], \"depth\": 40}");
  }
  return text + "]}]}";
}

constexpr Moved kMoved[] = {{"crease depth", "creases/1/depth", 30},
                            {"pocket depth", "pockets/0/depth", 30},
                            {"layer", "layers/2/thickness", 40},
                            {"edge", "edges/top/other/round", 32},
                            {"crown", "crown/top", 10},
                            {"topper", "topper/thickness", 14},
                            {"width", "outline/rectangle/width", 585}};

void run(benchmark::State& state, Slider& slider, double deviation) {
  std::size_t triangles = 0;
  for (auto _ : state) triangles = slider.step(deviation);
  state.counters["triangles"] = static_cast<double>(triangles);
}

void BM_step(benchmark::State& state) {
  const Moved& m = kMoved[state.range(0)];
  state.SetLabel(m.name);
  Slider slider(design_of({}), m.path, m.from);
  run(state, slider, static_cast<double>(state.range(1)) / 1000);
}
BENCHMARK(BM_step)
    ->ArgNames({"field", "micrometres"})
    ->ArgsProduct({{0, 1, 2, 3, 4, 5, 6}, {250, 50}})
    ->Unit(benchmark::kMillisecond);

void BM_growth_in_creases(benchmark::State& state) {
  Slider slider(design_of({static_cast<int>(state.range(0))}), "crown/top", 10);
  run(state, slider, kLiveDeviationMm);
}
BENCHMARK(BM_growth_in_creases)->ArgName("creases")->Arg(1)->Arg(2)->Arg(4)->Arg(8)->Unit(benchmark::kMillisecond);

void BM_growth_in_layers(benchmark::State& state) {
  Slider slider(design_of({4, static_cast<int>(state.range(0))}), "crown/top", 10);
  run(state, slider, kLiveDeviationMm);
}
BENCHMARK(BM_growth_in_layers)->ArgName("layers")->Arg(2)->Arg(4)->Arg(8)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  bench::print_head("one step of a slider (expected 16 live, 200 at 0.05 mm)");
  for (const Moved& m : kMoved) bench::print_steps(m.name, [&] { return Slider(design_of({}), m.path, m.from); });
  Slider templates(design_of({}), "crown/top", 10);
  templates.step(kExportDeviationMm);
  const std::clock_t begun = std::clock();
  constexpr int kSteps = 5;
  for (int i = 0; i < kSteps; ++i) templates.step(kExportDeviationMm, true);
  std::printf("crown at 0.05 mm with all templates drawn: %.1f (expected 200)\n",
              1e3 * static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC / kSteps);
}
