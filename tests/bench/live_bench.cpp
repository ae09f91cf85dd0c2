// What the viewer's worker does for one step of a slider, on one core: the design text edited and read again, the piece
// evaluated with all figures, findings, tables and templates, its whole shapes meshed and made ready to draw. The seat
// has a crown, a waterfall front, four creases, a pocket and a topper. Expected under 16 ms at live deviation and under
// 200 ms at 0.05 mm; rows without an expectation show growth.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

#include "export/document/job_info.hpp"
#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "viewer/state/picture.hpp"

namespace {

using namespace kerfkiln;

struct Seat {
  int creases = 4, layers = 3;
  bool waterfall = false;
};

std::string design_of(const Seat& seat) {
  std::string text =
      R"({"kerfkiln": 1, "title": "seat", "pieces": [{"name": "seat", "kind": "cushion", "given_at": "topped",
      "outline": {"rectangle": {"width": 590, "depth": 570, "corner_radius": 60}}, "crown": {"top": 12}, "edges": {"top": )";
  text += seat.waterfall ? R"({"front": {"ellipse": [60, 40]}, "other": {"round": 35}}})" : R"({"other": {"round": 35}}})";
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

void stop(const Findings& findings) {
  for (const Finding& f : findings)
    if (f.severity == Severity::error) {
      std::fprintf(stderr, "%s: %s\n", f.path.c_str(), f.message.c_str());
      std::exit(1);
    }
}

class Slider {
 public:
  Slider(const Seat& seat, std::string path, double from)
      : start_(job::parse(design_of(seat))), path_("pieces/0/" + std::move(path)), value_(from) {
    stop(start_.findings);
  }
  std::size_t step(double deviation) {
    const Result<job::Document> next = job::edited(start_, path_, format_number(value_ += 0.01, 6));
    if (!next) stop(next.findings());
    const output::Job job = output::evaluate(*next, memo_);
    stop(job.products[0].findings);
    std::size_t triangles = 0;
    for (const product::Shape& s : job.products[0].shapes) {
      if (!s.shown || !s.whole) continue;
      const Result<solid::Mesh> mesh = s.mesh(deviation);
      if (!mesh) stop(mesh.findings());
      triangles += viewer::picture_of(*mesh).triangles.size() / 3;
    }
    return triangles;
  }

 private:
  job::Document start_;
  std::string path_;
  double value_;
  job::Memo memo_;
};

struct Moved {
  const char* name;
  const char* path;
  double from;
};
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
  Slider slider({}, m.path, m.from);
  run(state, slider, static_cast<double>(state.range(1)) / 1000);
}
BENCHMARK(BM_step)
    ->ArgNames({"field", "micrometres"})
    ->ArgsProduct({{0, 1, 2, 3, 4, 5, 6}, {250, 50}})
    ->Unit(benchmark::kMillisecond);

void BM_growth_in_creases(benchmark::State& state) {
  Slider slider({static_cast<int>(state.range(0))}, "crown/top", 10);
  run(state, slider, kLiveDeviationMm);
}
BENCHMARK(BM_growth_in_creases)->ArgName("creases")->Arg(1)->Arg(2)->Arg(4)->Arg(8)->Unit(benchmark::kMillisecond);

void BM_growth_in_layers(benchmark::State& state) {
  Slider slider({4, static_cast<int>(state.range(0))}, "crown/top", 10);
  run(state, slider, kLiveDeviationMm);
}
BENCHMARK(BM_growth_in_layers)->ArgName("layers")->Arg(2)->Arg(4)->Arg(8)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  std::printf("one step of a slider, processor ms (expected 16 live, 200 at 0.05 mm):\n");
  for (const Moved& m : kMoved) {
    std::printf("  %-14s", m.name);
    for (const double deviation : {kLiveDeviationMm, kExportDeviationMm}) {
      Slider slider({}, m.path, m.from);
      std::vector<double> times;
      for (int i = 0; i < 9; ++i) {
        const std::clock_t start = std::clock();
        slider.step(deviation);
        times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
      }
      std::nth_element(times.begin(), times.begin() + 4, times.end());
      std::printf("  %7.1f", times[4]);
    }
    std::printf("\n");
  }
}
