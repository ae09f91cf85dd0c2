// One slider of the viewer, moved a step at a time as its worker does it: the design text edited and read again, the
// piece evaluated with all figures, findings and tables, its whole shapes meshed and made ready to draw; flat parts and
// views on demand, as the window has them.
#pragma once
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <utility>
#include <vector>

#include "export/document/job_info.hpp"
#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "viewer/state/picture.hpp"

namespace kerfkiln::bench {

struct Moved {
  const char* name;
  const char* path;  // within the first piece
  double from;
};

// One line of the table that each live bench ends with: stages at live deviation, then the whole at 0.05 mm.
template <class S>
void print_steps(const char* name, S slider) {
  auto live = slider();
  const auto a = live.median(kLiveDeviationMm);
  auto fine = slider();
  std::printf("  %-34s %8.1f %8.1f %8.1f %8.1f %10.1f\n", name, a.figures, a.mesh, a.shading, a.all(),
              fine.median(kExportDeviationMm).all());
}
inline void print_head(const char* what) {
  std::printf("%s, processor ms:\n  %-34s %8s %8s %8s %8s %10s\n", what, "", "figures", "mesh", "shading", "live",
              "at 0.05 mm");
}

class Slider {
 public:
  Slider(const std::string& design, std::string path, double from)
      : start_(job::parse(design)), path_("pieces/0/" + std::move(path)), value_(from) {
    stop(start_.findings);
  }

  // Processor milliseconds of one step's stages.
  struct Split {
    double figures = 0;  // the text edited and read, figures and findings
    double mesh = 0;
    double shading = 0;  // what is drawn made ready
    double all() const { return figures + mesh + shading; }
  };
  const Split& last() const { return last_; }

  // Triangles that are drawn. A design that cannot be made ends the program: its times would mean nothing.
  // templates: all flat parts and views are drawn too; they are in none of the stages.
  std::size_t step(double deviation_mm, bool templates = false) {
    last_ = {};
    std::clock_t begun = std::clock();
    const auto lap = [&begun](double& of) {
      const std::clock_t now = std::clock();
      of += 1e3 * static_cast<double>(now - begun) / CLOCKS_PER_SEC;
      begun = now;
    };
    const Result<job::Document> next = job::edited(start_, path_, format_number(value_ += 0.01, 6));
    if (!next) stop(next.findings());
    const output::Job job = output::evaluate(*next, memo_);
    stop(job.products[0].findings);
    lap(last_.figures);
    std::size_t triangles = 0;
    for (const product::Shape& s : job.products[0].shapes) {
      if (!s.shown || !s.whole) continue;
      const Result<solid::Mesh> mesh = s.mesh(deviation_mm);
      if (!mesh) stop(mesh.findings());
      lap(last_.mesh);
      triangles += viewer::picture_of(*mesh).triangles.size() / 3;
      lap(last_.shading);
    }
    if (templates && (job.products[0].parts.size() == 0 || job.products[0].views.size() == 0)) std::abort();
    return triangles;
  }

  // The step that takes the median processor time of eleven.
  Split median(double deviation_mm) {
    std::vector<Split> steps;
    for (int i = 0; i < 11; ++i) {
      step(deviation_mm);
      steps.push_back(last_);
    }
    std::nth_element(steps.begin(), steps.begin() + 5, steps.end(),
                     [](const Split& a, const Split& b) { return a.all() < b.all(); });
    return steps[5];
  }

 private:
  static void stop(const Findings& findings) {
    for (const Finding& f : findings)
      if (f.severity == Severity::error) {
        std::fprintf(stderr, "%s: %s\n", f.path.c_str(), f.message.c_str());
        std::exit(1);
      }
  }

  job::Document start_;
  std::string path_;
  double value_;
  job::Memo memo_;
  Split last_;
};

}  // namespace kerfkiln::bench
