#include "modeler/urn/sheet_lines.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "modeler/urn/grid.hpp"

namespace kerfkiln::urn {
namespace {

// Densities from second differences of evenly spaced points, capped where a kink makes them large.
void widen(std::vector<double>& density, const std::vector<Vec3>& points, double step, double deviation) {
  const std::size_t n = points.size();
  std::vector<double> own(n, 0.0);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const Vec3 chord = points[i + 1] - points[i - 1];
    const double off = norm(cross(chord, points[i] - points[i - 1])) / norm(chord);
    own[i] = std::min(std::sqrt(off / deviation) / (2 * step), 1 / step);
  }
  own[0] = own[1], own[n - 1] = own[n - 2];
  // The neighbours too: a bend starts between samples.
  for (std::size_t i = 0; i < n; ++i) {
    const double most = std::max({own[i], own[i > 0 ? i - 1 : i], own[i + 1 < n ? i + 1 : i]});
    density[i] = std::max(density[i], most);
  }
}

// Places and normals of the inside along a line.
struct Line {
  std::vector<Vec3> points, normals;
};
template <class Turn, class Height>
Line line_of(const InnerSolver& solver, int count, Turn&& turn, Height&& height) {
  Line out;
  for (int i = 0; i <= count; ++i) {
    const double z = height(i);
    const Vec2 u = solver.direction(turn(i), z);
    const InnerPoint x = solver.solve(u, z);
    out.points.push_back({x.reach * u.x, x.reach * u.y, z});
    out.normals.push_back(x.normal);
  }
  return out;
}

// A saddle is straight along rows and columns, and a diagonal leaves it all the same: both are to be close enough
// together where the surface turns over between two level lines. Rows a line's distance that this needs.
double turn_over(const Line& a, const Line& b, double step, double share, std::vector<double>& by_turn) {
  constexpr double kKink = 0.35;  // of the normal, within a cell
  double rows = 0;
  for (std::size_t i = 0; i + 1 < a.points.size(); ++i) {
    const Vec3 &n = a.normals[i], &o = a.normals[i + 1], &p = b.normals[i], &q = b.normals[i + 1];
    if (std::max({norm(n - o), norm(n - p), norm(n - q), norm(o - q), norm(p - q)}) > kKink) continue;
    const Vec3 over = b.points[i + 1] - b.points[i] - a.points[i + 1] + a.points[i];
    const double wide = norm(a.points[i + 1] - a.points[i]), high = norm(b.points[i] - a.points[i]);
    const double off = std::abs(dot(over, unit(n + o + p + q))) / 4;  // of the diagonal's middle, over this cell
    if (!(wide > 0 && high > 0)) continue;
    // Cells as wide as high: the fewest.
    const double apart = std::sqrt(share * wide * high / std::max(off, 1e-30));
    rows = std::max(rows, high / apart);
    for (std::size_t k : {i, i + 1}) by_turn[k] = std::max(by_turn[k], wide / apart / step);
  }
  return rows;
}

}  // namespace

double SheetRange::height(double f) const {
  const double n = static_cast<double>(eased.size());
  const double g = std::min(f * n, n);
  const std::size_t k = std::min(static_cast<std::size_t>(g), eased.size() - 1);
  const double part = g - static_cast<double>(k), a = stops[k], b = stops[k + 1];
  if (part >= 1) return b;
  return a + (b - a) * (eased[k] ? part * part * (3 - 2 * part) : part);
}

std::vector<double> spread_lines(const std::vector<double>& density, double from, double to) {
  Lane lane;
  const std::size_t n = density.size();
  for (std::size_t i = 0; i < n; ++i) {
    const double f = static_cast<double>(i) / static_cast<double>(n - 1);
    lane.add(i + 1 == n ? to : from + f * (to - from), 1.15 * density[i]);
  }
  std::vector<double> at;
  lane.place(std::max(lane.intervals(), 3), [&](double x) { at.push_back(x); });
  return at;
}

SheetLines sheet_lines(const InnerSolver& solver, double deviation, const SheetRange& range) {
  const bool half = solver.form().twisted();
  const int heights = 160 * static_cast<int>(range.eased.size()), turns = half ? 240 : 120, lines = half ? 18 : 9;
  const double sector = solver.sector(), share = 0.31 * deviation;
  SheetLines out;
  out.by_turn.assign(static_cast<std::size_t>(turns) + 1, 0.0);
  std::vector<double> by_height(static_cast<std::size_t>(heights) + 1, 0.0);
  Line below;
  for (int k = 0; k <= lines; ++k) {
    const double f = static_cast<double>(k) / lines;
    Line level = line_of(
        solver, turns, [&](int i) { return sector * i / turns; }, [&](int) { return range.height(f); });
    widen(out.by_turn, level.points, sector / turns, share);
    if (k > 0) {
      const double rows = turn_over(below, level, sector / turns, share, out.by_turn) * lines;
      for (int i = heights * (k - 1) / lines; i <= (heights * k + lines - 1) / lines; ++i)
        by_height[static_cast<std::size_t>(i)] = std::max(by_height[static_cast<std::size_t>(i)], rows);
    }
    below = std::move(level);
    const Line upright = line_of(
        solver, heights, [&](int) { return f * sector; },
        [&](int i) { return range.height(static_cast<double>(i) / heights); });
    widen(by_height, upright.points, 1.0 / heights, share);
  }
  out.heights = spread_lines(by_height, 0, 1);
  for (double& z : out.heights) z = range.height(z);
  // The stops themselves are rows, in place of the nearest.
  for (std::size_t k = 1; k + 1 < range.stops.size(); ++k)
    *std::min_element(out.heights.begin() + 1, out.heights.end() - 1, [&](double a, double b) {
      return std::abs(a - range.stops[k]) < std::abs(b - range.stops[k]);
    }) = range.stops[k];
  return out;
}

}  // namespace kerfkiln::urn
