// What the viewer's worker does for one step of a slider on an urn, on one core: the design text edited and read again,
// the capacity solved, all figures, findings, tables, views and templates, the shown shapes meshed and made ready to
// draw. Expected under 16 ms at live deviation where the wall needs no trimming; the boxed urn's arrises are sharper
// than its wall, so that its inside is trimmed.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <string>

#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "tests/bench/slider.hpp"

namespace {

using namespace kerfkiln;
using bench::Moved;
using bench::Slider;

struct Case {
  const char* name;
  const char* form;  // section and profile
  double target_litres;
};
constexpr Case kCases[] = {{"squared", R"("section": "superellipse", "profile": [
       {"height": 0, "half_width": 54, "half_depth": 50, "squareness": 3},
       {"height": 54, "half_width": 79, "half_depth": 72, "squareness": 4},
       {"height": 126, "half_width": 88, "half_depth": 79, "squareness": 5},
       {"height": 178, "half_width": 74, "half_depth": 67, "squareness": 4},
       {"height": 206, "half_width": 46, "half_depth": 44.5, "squareness": 2.4, "corner": true},
       {"height": 230, "half_width": 43, "half_depth": 43, "squareness": 2, "corner": true}])",
                            3.25},
                           {"squared, twisted", R"("section": "superellipse", "profile": [
       {"height": 0, "half_width": 54, "half_depth": 50, "squareness": 3, "twist": "0 deg"},
       {"height": 54, "half_width": 79, "half_depth": 72, "squareness": 4},
       {"height": 126, "half_width": 88, "half_depth": 79, "squareness": 5},
       {"height": 178, "half_width": 74, "half_depth": 67, "squareness": 4},
       {"height": 206, "half_width": 46, "half_depth": 44.5, "squareness": 2.4, "corner": true, "twist": "40 deg"},
       {"height": 230, "half_width": 43, "half_depth": 43, "squareness": 2, "corner": true, "twist": "40 deg"}])",
                            3.25},
                           {"boxed, trimmed", R"("section": "rounded rectangle", "profile": [
       {"height": 0, "half_width": 54, "half_depth": 50, "corner_radius": 20},
       {"height": 54, "half_width": 79, "half_depth": 72, "corner_radius": 6},
       {"height": 126, "half_width": 88, "half_depth": 79, "corner_radius": 4},
       {"height": 178, "half_width": 74, "half_depth": 67, "corner_radius": 6},
       {"height": 206, "half_width": 46, "half_depth": 44.5, "corner_radius": 35, "corner": true},
       {"height": 230, "half_width": 43, "half_depth": 43, "corner_radius": 43, "corner": true}])",
                            3.25}};

std::string design_of(const Case& c) {
  return std::string(R"({"kerfkiln": 1, "title": "urn", "pieces": [{"name": "urn", "kind": "urn", )") + c.form +
         R"(, "wall": 6, "base": {"made": "solid", "thickness": 7, "foot": {"width": 10, "recess": 3}},
         "capacity": {"fill_below_lip": 24, "by": "uniform", "target": ")" +
         format_number(c.target_litres, 3) + R"( L"},
         "lid": {"style": "cap", "clearance": 1.6, "flange": 13, "height": 20, "wall": 5,
                 "knob": {"diameter": 24, "height": 18}}}]})";
}

constexpr Moved kMoved[] = {{"belly", "profile/2/half_width", 86},
                            {"wall", "wall", 5.5},
                            {"fill line", "capacity/fill_below_lip", 23},
                            {"lid's clearance", "lid/clearance", 1.5}};

void BM_urn_step(benchmark::State& state) {
  const Case& c = kCases[state.range(0)];
  const Moved& m = kMoved[state.range(1)];
  state.SetLabel(std::string(c.name) + ", " + m.name);
  Slider slider(design_of(c), m.path, m.from);
  std::size_t triangles = 0;
  for (auto _ : state) triangles = slider.step(static_cast<double>(state.range(2)) / 1000);
  state.counters["triangles"] = static_cast<double>(triangles);
}
BENCHMARK(BM_urn_step)
    ->ArgNames({"urn", "field", "micrometres"})
    ->ArgsProduct({{0, 1, 2}, {0, 1, 2, 3}, {250, 50}})
    ->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  bench::print_head("one step of a slider on an urn with lid and solved capacity (expected 16 live, untrimmed)");
  for (const Case& c : kCases)
    for (const Moved& m : kMoved)
      bench::print_steps((std::string(c.name) + ", " + m.name).c_str(),
                         [&] { return Slider(design_of(c), m.path, m.from); });
}
