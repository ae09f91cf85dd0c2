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

// Fractions of a corner run at which the radius has a kink: where it reaches the end of either profile, or zero.
void add_kinks(const EdgeProfile& a, const EdgeProfile& b, double t, std::vector<double>& at) {
  const auto add = [&](double w) {
    if (!(w > 0 && w < 1)) return;
    // Smoothstep undone: f^2 (3 - 2 f) = w, the root between 0 and 1.
    at.push_back(0.5 - std::sin(std::asin(1 - 2 * w) / 3));
  };
  if (a == b) return;
  const double far_b = b.drop_at(a.inset), far_a = a.drop_at(b.inset);
  if (far_b > 0) add(t / far_b);
  if (far_a > 0) add(1 - t / far_a);
  if (a.drop != b.drop) add((a.drop - t) / (a.drop - b.drop));
}

// One corner run between two sides.
struct Run {
  Ends ends;
  double length_mm, top_mm, bottom_mm;

  double radius(double f) const { return ends.radius(smoothstep(std::clamp(f, 0.0, 1.0)), top_mm, bottom_mm); }
  double slope(double f, double from, double to) const {
    if (f == 0 || f == 1) return 0;  // smoothstep is flat there
    const double h = std::min(1e-4, (to - from) / 8);
    if (f - from < h) return (-3 * radius(f) + 4 * radius(f + h) - radius(f + 2 * h)) / (2 * h * length_mm);
    if (to - f < h) return (3 * radius(f) - 4 * radius(f - h) + radius(f - 2 * h)) / (2 * h * length_mm);
    return (radius(f + h) - radius(f - h)) / (2 * h * length_mm);
  }

  DiscRow row(const plane::Segment& s, double from, double to) const {
    DiscRow r;
    r.along = s;
    const int steps = std::max(12, static_cast<int>(std::lround(kSteps * (to - from))));
    for (int k = 0; k <= steps; ++k) {
      const double t = static_cast<double>(k) / steps, f = k == 0 ? from : k == steps ? to : from + t * (to - from);
      r.centre.push_back(s.point(t));
      r.radius.push_back(radius(f));
      r.slope.push_back(slope(f, from, to));
    }
    r.start = r.radius.front();
    r.end = r.radius.back();
    const auto [least, most] = std::minmax_element(r.radius.begin(), r.radius.end());
    r.even = *most - *least < 1e-12;  // profiles that differ elsewhere only
    return r;
  }

  // The rows along one segment, which takes the share from ... to of the run: cut at kinks.
  void add_rows(const plane::Segment& s, double from, double to, std::vector<DiscRow>& rows) const {
    std::vector<double> cuts{from, to};
    add_kinks(*ends.top_a, *ends.top_b, top_mm, cuts);
    add_kinks(*ends.bottom_a, *ends.bottom_b, bottom_mm, cuts);
    std::sort(cuts.begin(), cuts.end());
    double last = from;
    for (const double f : cuts) {
      if (f <= last || f > to || (f < to && (f - last < 1e-6 || to - f < 1e-6))) continue;
      const double t0 = (last - from) / (to - from), t1 = (f - from) / (to - from);
      rows.push_back(row(t0 == 0 && f == to ? s : plane::part(s, t0, f == to ? 1 : t1), last, f));
      last = f;
    }
  }
};

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
  std::vector<DiscRow> rows;
  std::size_t first = 0;  // a segment with a side to start from
  while (first < n && loop[first].side < 0) ++first;
  const bool sided = first < n;
  if (!sided) first = 0;
  const auto add_even = [&](const plane::Segment& s, int side, double r) {
    DiscRow row;
    row.along = s;
    row.side = side;
    row.start = row.end = r;
    rows.push_back(std::move(row));
  };
  for (std::size_t k = 0; k < n;) {
    const std::size_t i = (first + k) % n;
    if (loop[i].side >= 0 || !sided) {
      add_even(plane::segment(loop, i), loop[i].side,
               std::max(top.of(loop[i].side).inset_at(top_mm), bottom.of(loop[i].side).inset_at(bottom_mm)));
      ++k;
      continue;
    }
    // A run of corner segments between two sides, blended over its whole length.
    std::size_t count = 0;
    double length = 0;
    while (loop[(i + count) % n].side < 0) length += plane::segment(loop, (i + count++) % n).length();
    const int a = loop[(i + n - 1) % n].side, b = loop[(i + count) % n].side;
    const Run run{{&top.of(a), &top.of(b), &bottom.of(a), &bottom.of(b)}, length, top_mm, bottom_mm};
    const bool alike = *run.ends.top_a == *run.ends.top_b && *run.ends.bottom_a == *run.ends.bottom_b;
    double gone = 0;
    for (std::size_t j = 0; j < count; ++j) {
      const plane::Segment s = plane::segment(loop, (i + j) % n);
      const double from = gone / length, to = j + 1 == count ? 1 : (gone + s.length()) / length;
      gone += s.length();
      // Where nothing may have dropped at all, any share of a profile counts to its end.
      if (alike || top_mm <= 0 || bottom_mm <= 0)
        add_even(s, -1, std::max(run.radius(0), run.radius(1)));
      else
        run.add_rows(s, from, to, rows);
    }
    k += count;
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
