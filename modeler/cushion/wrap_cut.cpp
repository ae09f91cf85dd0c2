#include "modeler/cushion/wrap_cut.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace kerfkiln::cushion {
namespace {

constexpr double kSameMm = kSamePatternMm;
constexpr double kBladeMm = 0.02;
constexpr double kDrawnMm = 0.004;

}  // namespace

double chain_length(const std::vector<Vec2>& chain) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) sum += norm(chain[i + 1] - chain[i]);
  return sum;
}

void part(std::vector<Vec2>& first, std::vector<Vec2>& second) {
  const auto apart = [](Vec2 p, const std::vector<Vec2>& other, double sign) {
    double best = std::numeric_limits<double>::infinity(), side = 0;
    for (std::size_t i = 0; i + 1 < other.size(); ++i) {
      const Vec2 a = other[i], b = other[i + 1];
      const double beside = std::max(
          {std::min(a.x, b.x) - p.x, p.x - std::max(a.x, b.x), std::min(a.y, b.y) - p.y, p.y - std::max(a.y, b.y)});
      if (beside >= best || norm(b - a) < kSameMm) continue;
      const plane::Foot f = plane::nearest(plane::Segment{a, b, 0}, p);
      if (f.distance <= kBladeMm) return false;
      if (f.distance < best) {
        best = f.distance;
        side = cross(b - a, p - a);
      }
    }
    return sign * side > 0;
  };
  const auto dropped = [&](const std::vector<Vec2>& own, const std::vector<Vec2>& other, double sign) {
    std::size_t k = 1;
    while (k + 1 < own.size() && !apart(own[k], other, sign)) ++k;
    return k - 1;
  };
  const std::size_t a = dropped(first, second, -1), b = dropped(second, first, 1);
  first.erase(first.begin() + 1, first.begin() + 1 + static_cast<std::ptrdiff_t>(a));
  second.erase(second.begin() + 1, second.begin() + 1 + static_cast<std::ptrdiff_t>(b));
}

std::vector<Vec2> drawn(const std::vector<Vec2>& chain) {
  if (chain.size() < 3) return chain;
  std::vector<bool> keep(chain.size(), false);
  keep.front() = keep.back() = true;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, chain.size() - 1}};
  while (!open.empty()) {
    const auto [i, j] = open.back();
    open.pop_back();
    double most = kDrawnMm;
    std::size_t at = 0;
    for (std::size_t k = i + 1; k < j; ++k) {
      const double d = norm(chain[j] - chain[i]) < kSameMm
                           ? norm(chain[k] - chain[i])
                           : plane::nearest(plane::Segment{chain[i], chain[j], 0}, chain[k]).distance;
      if (d > most) {
        most = d;
        at = k;
      }
    }
    if (at == 0) continue;
    keep[at] = true;
    open.emplace_back(i, at);
    open.emplace_back(at, j);
  }
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < chain.size(); ++i)
    if (keep[i]) out.push_back(chain[i]);
  return out;
}

PatternInsert insert_of(const std::vector<Vec2>& line, const std::vector<double>& first,
                        const std::vector<double>& second) {
  PatternInsert insert;
  std::vector<Vec2> l{{0, 0}}, r{{0, 0}};
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double step = norm(line[i] - line[i - 1]);
    const auto up = [&](double wider) { return std::sqrt(std::max(0.0, step * step - wider * wider)); };
    const double a = first[i] - first[i - 1], b = second[i] - second[i - 1];
    l.push_back({-first[i], l.back().y + up(a)});
    r.push_back({second[i], r.back().y + up(b)});
    insert.edge_mm += step;
  }
  plane::Loop loop;
  const auto put = [&](Vec2 p) {
    if (loop.empty() || norm(loop.back().at - p) > 1e-4) loop.push_back({p, 0, -1});
  };
  // Where it is thinner than a blade it begins.
  for (std::size_t i = 0; i < r.size(); ++i)
    if (i == 0 || r[i].x - l[i].x > 0.02) put(r[i]);
  for (std::size_t i = l.size(); i-- > 1;)
    if (r[i].x - l[i].x > 0.02) put(l[i]);
  insert.outline.outer = std::move(loop);
  insert.at = line.front();
  return insert;
}

}  // namespace kerfkiln::cushion
