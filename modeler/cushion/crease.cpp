#include "modeler/cushion/crease.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/cushion/crease_allowance.hpp"
#include "modeler/cushion/crease_clearances.hpp"
#include "modeler/cushion/crease_fit.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

// Runs, strips, tapes and floors of one fitted crease.
class Finisher {
 public:
  Finisher(const Form& form, Findings& out) : form_(form), out_(out) {}

  bool finish(FittedCrease& f) {
    std::sort(f.gaps.begin(), f.gaps.end());
    // Past the edge at the ends that run out.
    const double first = f.out_at_start ? 0 : f.from, last = f.out_at_end ? f.path.length() : f.to;
    double from = first;
    std::vector<std::pair<double, double>> parts;
    for (const auto& [a, b] : f.gaps) {
      if (a > from) parts.push_back({from, a});
      from = std::max(from, b);
    }
    if (from < last) parts.push_back({from, last});
    for (const auto& [a, b] : parts) {
      const double in = std::min(b, f.to) - std::max(a, f.from);
      if (in < kCreaseRestMm) {
        if (!f.draft.pattern && in > 0)
          out_.push_back(note("crease.rest", f.crease.field,
                              "a stretch of " + mm_text(in) + " near " + place_text(f.path.point((a + b) / 2)) +
                                  " between other creases is not cut",
                              "move the crossings farther apart if it should be"));
        continue;
      }
      if (!add_run(f, a, b)) return false;
    }
    return true;
  }

 private:
  bool add_run(FittedCrease& f, double a, double b) {
    CreaseRun run;
    const bool whole = f.draft.closed && f.gaps.empty();
    const CreasePath cut = whole ? f.path : CreasePath(f.path.part(a, b), false);
    std::optional<plane::Outline> strip = strip_along(cut, f.crease.width_mm);
    if (strip && !(plane::area(*strip) > 0 && plane::check_outline(*strip).empty())) strip.reset();
    if (!strip) {
      out_.push_back(error("crease.bend", f.crease.field,
                           f.crease.name + " bends too tightly for a cut " + mm_text(f.crease.width_mm) +
                               " wide near " + place_text(cut.point(cut.length() / 2)),
                           "use wider bends, longer stretches or a narrower cut"));
      return false;
    }
    run.strip = std::move(*strip);
    run.closed = whole;
    run.out_at_start = f.out_at_start && a < f.from;
    run.out_at_end = f.out_at_end && b > f.to;
    const double low = std::max(a, f.from), high = std::min(b, f.to);
    run.path = whole ? f.draft.path : f.path.part(low, high);
    run.tape_mm = tape_length(f.crease, CreasePath(run.path, whole));
    f.crease.runs.push_back(std::move(run));
    return true;
  }

  // A tape on edge lies at the longer wall, one that lies flat along the middle. Floors are the surface moved down, so
  // both are as long as the surface above them.
  double tape_length(const Crease& c, const CreasePath& path) const {
    if (c.trench) return length_over(path, 0);
    return std::max(length_over(path, c.width_mm / 2), length_over(path, -c.width_mm / 2));
  }
  double length_over(const CreasePath& path, double aside) const {
    double sum = 0;
    for (std::size_t i = 0; i < path.curves().size(); ++i) {
      const plane::Curve& c = path.curves()[i];
      const auto at = [&](double s) {
        const Vec2 p = plane::at_length(c, s) + aside * left(plane::tangent_at_length(c, s));
        return Vec3{p.x, p.y, form_.z_top(p)};
      };
      // Stretches no longer than an edge profile's run, so that none is overlooked.
      const int n = 1 + static_cast<int>(c.length / 16);
      for (int k = 0; k < n; ++k) {
        const double a = c.length * k / n, b = c.length * (k + 1) / n;
        sum += chord(at, a, b, at(a), at(b), 1e-10 * c.length / n + 1e-9, 0);
      }
    }
    return sum;
  }
  // Chords halved until Richardson's extrapolation from them agrees.
  template <class At>
  static double chord(const At& at, double a, double b, Vec3 pa, Vec3 pb, double tolerance, int depth) {
    const double m = (a + b) / 2;
    const Vec3 pm = at(m), pq = at((a + m) / 2), pr = at((m + b) / 2);
    const double one = norm(pb - pa), two = norm(pm - pa) + norm(pb - pm);
    const double four = norm(pq - pa) + norm(pm - pq) + norm(pr - pm) + norm(pb - pr);
    const double better = four + (four - two) / 3, good = two + (two - one) / 3;
    if (depth > 40 || (std::abs(better - good) < tolerance && (depth > 0 || four - one < tolerance))) return better;
    return chord(at, a, m, pa, pm, tolerance / 1.4, depth + 1) + chord(at, m, b, pm, pb, tolerance / 1.4, depth + 1);
  }

  const Form& form_;
  Findings& out_;
};

bool check_sizes(const CreaseSpec& c, const std::string& field, Findings& out) {
  bool good = true;
  const auto check = [&](const char* key, const Length& x, double low, double high) {
    if (x.value >= low && x.value <= high) return;
    good = false;
    out.push_back(error("crease.cut", field + "/" + key,
                        std::string("the ") + key + (x.known() ? " is " + mm_text(x.value) : " is missing") +
                            "; permitted is " + mm_text(low) + " to " + mm_text(high),
                        "give a size in that range"));
  };
  check("depth", c.depth, 0.1, 2000);
  if (c.cut != "trench") check("kerf", c.kerf, 0.1, 100);
  check("tape", c.tape, 1, 500);
  if (good && c.cut != "trench" && c.tape.value > c.depth.value) {
    good = false;
    out.push_back(error("crease.cut", field + "/tape",
                        "a tape of " + mm_text(c.tape.value) + " on edge does not fit a slit " +
                            mm_text(c.depth.value) + " deep; permitted is " + mm_text(c.depth.value) + " or less",
                        "use a narrower tape, a deeper slit or a trench"));
  }
  return good;
}

}  // namespace

double trench_width(double tape, const CreaseSkins& skins) {
  return core_slot(tape + 3 + 2 * skins.cover_mm, 0, kFoldedTopper * skins.topper_mm).width;
}

Result<Creases> creases_of(const std::vector<CreaseSpec>& list, const plane::Outline& given, bool mirrored,
                           const Form& form, const CreaseSkins& skins) {
  Creases result;
  Findings& out = result.notes;
  for (std::size_t i = 0; i < list.size(); ++i) check_sizes(list[i], "creases/" + std::to_string(i), out);
  if (has_errors(out)) return out;
  std::vector<FittedCrease> fitted;
  for (CreaseDraft& d : drafted(list, given, mirrored, form.outline(), out)) {
    FittedCrease f;
    f.crease.name = d.name;
    f.crease.field = d.field;
    f.crease.trench = d.spec->cut == "trench";
    f.crease.depth_mm = d.spec->depth.value;
    f.crease.tape_width_mm = d.spec->tape.value;
    f.crease.width_mm = f.crease.trench ? trench_width(f.crease.tape_width_mm, skins) : d.spec->kerf.value;
    f.draft = std::move(d);
    if (!f.draft.pattern) {
      if (fit_crease(form, f, out)) fitted.push_back(std::move(f));
      continue;
    }
    // Lines of a pattern that meet the edge too flat are not the maker's.
    Findings kept;
    std::swap(kept, out);
    const bool fits = fit_crease(form, f, out);
    std::swap(kept, out);
    if (fits) fitted.push_back(std::move(f));
  }
  if (has_errors(out)) return out;
  cross_creases(fitted, out);
  Finisher finisher(form, out);
  for (FittedCrease& f : fitted)
    if (finisher.finish(f) && check_crease_floor(form, f.crease, out)) check_crease_edge(form, f.crease, out);
  check_crease_spacing(form, fitted, out);
  for (FittedCrease& f : fitted) {
    if (f.crease.runs.empty() && !f.draft.pattern)
      out.push_back(error("crease.short", f.crease.field,
                          f.crease.name + " lies in other creases, or too close to them, along its whole length",
                          "move it or leave it out"));
    if (!f.crease.runs.empty()) result.list.push_back(std::move(f.crease));
  }
  if (has_errors(out)) return out;
  return result;
}

}  // namespace kerfkiln::cushion
