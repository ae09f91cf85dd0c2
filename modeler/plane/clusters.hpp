// Points that lie so close together that they are one.
#pragma once
#include <algorithm>
#include <cstddef>
#include <numeric>
#include <vector>

#include "modeler/base/vec.hpp"

namespace kerfkiln::plane {

// For each point the smallest index among the points that a chain of steps of at most `apart` joins it to. n log n
// while few points share an x.
inline std::vector<int> clusters(const std::vector<Vec2>& points, double apart) {
  std::vector<int> order(points.size()), cluster(points.size());
  std::iota(order.begin(), order.end(), 0);
  std::iota(cluster.begin(), cluster.end(), 0);
  const auto at = [&](int i) { return points[static_cast<std::size_t>(i)]; };
  std::sort(order.begin(), order.end(), [&](int a, int b) { return at(a).x != at(b).x ? at(a).x < at(b).x : a < b; });
  const auto root = [&](int i) {
    while (cluster[static_cast<std::size_t>(i)] != i) i = cluster[static_cast<std::size_t>(i)];
    return i;
  };
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t j = i + 1; j < order.size() && at(order[j]).x - at(order[i]).x <= apart; ++j) {
      if (norm(at(order[j]) - at(order[i])) > apart) continue;
      const int a = root(order[i]), b = root(order[j]);
      cluster[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
    }
  }
  for (std::size_t i = 0; i < cluster.size(); ++i) cluster[i] = root(static_cast<int>(i));
  return cluster;
}

}  // namespace kerfkiln::plane
