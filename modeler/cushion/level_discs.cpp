#include "modeler/cushion/level_discs.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

namespace kerfkiln::cushion {

namespace {

constexpr int kSteps = 64;  // samples of an uneven row

double smoothstep(double f) { return f * f * (3 - 2 * f); }

// Largest inset at which the blend of two profiles has dropped more than t.
double blended_inset(const EdgeProfile& a, const EdgeProfile& b, double w, double t) {
  if (w <= 0 || a == b) return a.inset_at(t);
  if (w >= 1) return b.inset_at(t);
  if ((1 - w) * a.drop + w * b.drop <= t) return 0;
  const double high = std::max(a.inset, b.inset);
  if (t <= 0) return high;
  const auto above = [&](double d) { return (1 - w) * a.drop_at(d) + w * b.drop_at(d) - t; };
  std::uintmax_t most = 60;
  const auto bracket =
      boost::math::tools::toms748_solve(above, 0.0, high, boost::math::tools::eps_tolerance<double>(48), most);
  return (bracket.first + bracket.second) / 2;
}

struct Ends {
  const EdgeProfile *top_a, *top_b, *bottom_a, *bottom_b;
  double radius(double w, double top_mm, double bottom_mm) const {
    return std::max(blended_inset(*top_a, *top_b, w, top_mm), blended_inset(*bottom_a, *bottom_b, w, bottom_mm));
  }
};

// from, to: the row's share of its corner run, whose length is run_mm.
DiscRow uneven_row(const plane::Segment& s, const Ends& ends, double from, double to, double run_mm, double top_mm,
                   double bottom_mm) {
  DiscRow row;
  row.along = s;
  row.even = false;
  // Smoothstep is flat at both ends of the run, as is its mirror image beyond them.
  const auto radius = [&](double f) {
    const double g = f < 0 ? -f : f > 1 ? 2 - f : f;
    return ends.radius(smoothstep(g), top_mm, bottom_mm);
  };
  constexpr double kStep = 1e-4;
  for (int k = 0; k <= kSteps; ++k) {
    const double t = static_cast<double>(k) / kSteps, f = from + t * (to - from);
    row.centre.push_back(s.point(t));
    row.radius.push_back(radius(f));
    row.slope.push_back((radius(f + kStep) - radius(f - kStep)) / (2 * kStep * run_mm));
  }
  row.start = row.radius.front();
  row.end = row.radius.back();
  const auto [least, most] = std::minmax_element(row.radius.begin(), row.radius.end());
  row.even = *most - *least < 1e-12;  // profiles that differ elsewhere only
  return row;
}

}  // namespace

double DiscRow::radius_at(double t) const {
  if (even) return start;
  const double n = static_cast<double>(radius.size() - 1), x = std::clamp(t, 0.0, 1.0) * n;
  const auto k = std::min(static_cast<std::size_t>(x), radius.size() - 2);
  const double u = x - static_cast<double>(k), h = along.length() / n;
  const double a = radius[k], b = radius[k + 1], ma = slope[k] * h, mb = slope[k + 1] * h;
  return a + u * (ma + u * ((3 * (b - a) - 2 * ma - mb) + u * (2 * (a - b) + ma + mb)));
}

double DiscRow::slope_at(double t) const {
  if (even) return 0;
  const double n = static_cast<double>(radius.size() - 1), x = std::clamp(t, 0.0, 1.0) * n;
  const auto k = std::min(static_cast<std::size_t>(x), radius.size() - 2);
  const double u = x - static_cast<double>(k), h = along.length() / n;
  const double a = radius[k], b = radius[k + 1], ma = slope[k] * h, mb = slope[k + 1] * h;
  return (ma + u * (2 * (3 * (b - a) - 2 * ma - mb) + u * 3 * (2 * (a - b) + ma + mb))) / h;
}

Discs::Discs(const Form& form, double top_mm, double bottom_mm) {
  add_loop(form, form.outline().outer, top_mm, bottom_mm);
  for (const plane::Loop& hole : form.outline().holes) add_loop(form, hole, top_mm, bottom_mm);
  radius_ = loops_.front().front().start;
  for (const auto& loop : loops_)
    for (const DiscRow& row : loop) even_ = even_ && row.even && row.start == radius_;
}

void Discs::add_loop(const Form& form, const plane::Loop& loop, double top_mm, double bottom_mm) {
  const std::size_t n = loop.size();
  const EdgeProfiles &top = form.edges(Sheet::top), &bottom = form.edges(Sheet::bottom);
  std::vector<DiscRow> rows(n);
  std::size_t first = 0;  // a segment with a side to start from
  while (first < n && loop[first].side < 0) ++first;
  const bool sided = first < n;
  if (!sided) first = 0;
  for (std::size_t k = 0; k < n;) {
    const std::size_t i = (first + k) % n;
    if (loop[i].side >= 0 || !sided) {
      const double r = std::max(top.of(loop[i].side).inset_at(top_mm), bottom.of(loop[i].side).inset_at(bottom_mm));
      rows[i].along = plane::segment(loop, i);
      rows[i].side = loop[i].side;
      rows[i].start = rows[i].end = r;
      ++k;
      continue;
    }
    // A run of corner segments between two sides, blended over its whole length.
    std::size_t run = 0;
    double length = 0;
    while (loop[(i + run) % n].side < 0) length += plane::segment(loop, (i + run++) % n).length();
    const int a = loop[(i + n - 1) % n].side, b = loop[(i + run) % n].side;
    const Ends ends{&top.of(a), &top.of(b), &bottom.of(a), &bottom.of(b)};
    double gone = 0;
    for (std::size_t j = 0; j < run; ++j) {
      const std::size_t at = (i + j) % n;
      const plane::Segment s = plane::segment(loop, at);
      const double from = gone / length, to = j + 1 == run ? 1 : (gone + s.length()) / length;
      gone += s.length();
      if (*ends.top_a == *ends.top_b && *ends.bottom_a == *ends.bottom_b) {
        rows[at].along = s;
        rows[at].start = rows[at].end = ends.radius(0, top_mm, bottom_mm);
      } else if (top_mm <= 0 || bottom_mm <= 0) {
        // Where nothing may have dropped at all, any share of a profile counts to its end.
        rows[at].along = s;
        rows[at].start = rows[at].end = std::max(ends.radius(0, top_mm, bottom_mm), ends.radius(1, top_mm, bottom_mm));
      } else {
        rows[at] = uneven_row(s, ends, from, to, length, top_mm, bottom_mm);
      }
      rows[at].side = -1;
    }
    k += run;
  }
  loops_.push_back(std::move(rows));
}

double Discs::depth(Vec2 p) const {
  double deepest = -1e300;
  for (const auto& loop : loops_) {
    for (const DiscRow& row : loop) {
      if (row.even) {
        deepest = std::max(deepest, row.start - plane::nearest(row.along, p).distance);
        continue;
      }
      std::size_t best = 0;
      double most = -1e300;
      for (std::size_t k = 0; k < row.centre.size(); ++k) {
        const double d = row.radius[k] - norm(p - row.centre[k]);
        if (d > most) {
          most = d;
          best = k;
        }
      }
      const std::size_t n = row.centre.size() - 1;
      const double step = row.along.length() / static_cast<double>(n);
      // A centre moves at most one step away from the best sample, and radii change more slowly than that.
      if (most + 2 * step < deepest) continue;
      const auto shallow = [&](double t) { return norm(p - row.along.point(t)) - row.radius_at(t); };
      const double from = static_cast<double>(best == 0 ? 0 : best - 1) / static_cast<double>(n);
      const double to = static_cast<double>(std::min(best + 1, n)) / static_cast<double>(n);
      std::uintmax_t steps = 40;
      const double summit = -boost::math::tools::brent_find_minima(shallow, from, to, 26, steps).second;
      deepest = std::max({deepest, most, summit});
    }
  }
  return deepest;
}

}  // namespace kerfkiln::cushion
