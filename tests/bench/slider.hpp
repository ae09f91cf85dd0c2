// One slider of the viewer, moved a step at a time as its worker does it: the design text edited and read again, the
// piece evaluated with all figures, findings, tables and templates, its whole shapes meshed and made ready to draw.
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
#include "viewer/state/picture.hpp"

namespace kerfkiln::bench {

struct Moved {
  const char* name;
  const char* path;  // within the first piece
  double from;
};

class Slider {
 public:
  Slider(const std::string& design, std::string path, double from)
      : start_(job::parse(design)), path_("pieces/0/" + std::move(path)), value_(from) {
    stop(start_.findings);
  }

  // Triangles that are drawn. A design that cannot be made ends the program: its times would mean nothing.
  std::size_t step(double deviation_mm) {
    const Result<job::Document> next = job::edited(start_, path_, format_number(value_ += 0.01, 6));
    if (!next) stop(next.findings());
    const output::Job job = output::evaluate(*next, memo_);
    stop(job.products[0].findings);
    std::size_t triangles = 0;
    for (const product::Shape& s : job.products[0].shapes) {
      if (!s.shown || !s.whole) continue;
      const Result<solid::Mesh> mesh = s.mesh(deviation_mm);
      if (!mesh) stop(mesh.findings());
      triangles += viewer::picture_of(*mesh).triangles.size() / 3;
    }
    return triangles;
  }

  // Processor time of a step, milliseconds: the median of eleven.
  double median_ms(double deviation_mm) {
    std::vector<double> times;
    for (int i = 0; i < 11; ++i) {
      const std::clock_t start = std::clock();
      step(deviation_mm);
      times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    std::nth_element(times.begin(), times.begin() + 5, times.end());
    return times[5];
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
};

}  // namespace kerfkiln::bench
