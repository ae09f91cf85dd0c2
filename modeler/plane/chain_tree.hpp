// A tree of bounding boxes over items that follow one another along a curve: neighbours in the list are neighbours in
// the plane, so that halving the list is as good as sorting and costs nothing.
#pragma once
#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

class ChainTree {
 public:
  // boxes[i] bounds item i. Building is linear.
  explicit ChainTree(std::vector<Box> boxes) : boxes_(std::move(boxes)) {
    const std::size_t groups = (boxes_.size() + kGroup - 1) / kGroup;
    while (leaves_ < groups) leaves_ *= 2;
    nodes_.assign(2 * leaves_, empty());
    for (std::size_t i = 0; i < boxes_.size(); ++i)
      nodes_[leaves_ + i / kGroup] = joined(nodes_[leaves_ + i / kGroup], boxes_[i]);
    for (std::size_t k = leaves_; k-- > 1;) nodes_[k] = joined(nodes_[2 * k], nodes_[2 * k + 1]);
  }

  // Calls f(i, j), i < j, for each pair of items whose boxes overlap.
  template <class F>
  void pairs(F&& f) const {
    if (!boxes_.empty()) pairs_inside(1, f);
  }

  // The smallest f(item) below `bound` over the items whose boxes come closer to p than the best so far; f is the
  // distance of an item. item = -1 where there is none.
  struct Hit {
    double distance;
    int item;
  };
  template <class F>
  Hit nearest(Vec2 p, double bound, F&& f) const {
    Hit best{bound, -1};
    if (boxes_.empty()) return best;
    std::size_t stack[128];
    std::size_t top = 0;
    stack[top++] = 1;
    while (top > 0) {
      const std::size_t k = stack[--top];
      if (gap2(nodes_[k], p) >= best.distance * best.distance) continue;
      if (k >= leaves_) {
        const std::size_t first = (k - leaves_) * kGroup, last = std::min(first + kGroup, boxes_.size());
        for (std::size_t i = first; i < last; ++i) {
          if (gap2(boxes_[i], p) >= best.distance * best.distance) continue;
          const double d = f(i);
          if (d < best.distance) best = {d, static_cast<int>(i)};
        }
        continue;
      }
      const bool left_first = gap2(nodes_[2 * k], p) <= gap2(nodes_[2 * k + 1], p);
      stack[top++] = left_first ? 2 * k + 1 : 2 * k;
      stack[top++] = left_first ? 2 * k : 2 * k + 1;
    }
    return best;
  }

 private:
  static constexpr std::size_t kGroup = 4;

  static Box empty() {
    constexpr double inf = std::numeric_limits<double>::infinity();
    return {{inf, inf}, {-inf, -inf}};
  }
  static Box joined(const Box& a, const Box& b) {
    return {{std::min(a.low.x, b.low.x), std::min(a.low.y, b.low.y)},
            {std::max(a.high.x, b.high.x), std::max(a.high.y, b.high.y)}};
  }
  static bool overlap(const Box& a, const Box& b) {
    return a.low.x <= b.high.x && b.low.x <= a.high.x && a.low.y <= b.high.y && b.low.y <= a.high.y;
  }
  static double gap2(const Box& b, Vec2 p) {
    const double dx = std::max(std::max(b.low.x - p.x, p.x - b.high.x), 0.),
                 dy = std::max(std::max(b.low.y - p.y, p.y - b.high.y), 0.);
    return dx * dx + dy * dy;
  }

  template <class F>
  void pairs_inside(std::size_t k, F& f) const {
    if (k >= leaves_) {
      const std::size_t first = (k - leaves_) * kGroup, last = std::min(first + kGroup, boxes_.size());
      for (std::size_t i = first; i < last; ++i)
        for (std::size_t j = i + 1; j < last; ++j)
          if (overlap(boxes_[i], boxes_[j])) f(i, j);
      return;
    }
    pairs_inside(2 * k, f);
    pairs_inside(2 * k + 1, f);
    pairs_between(2 * k, 2 * k + 1, f);
  }
  // Both nodes on one level.
  template <class F>
  void pairs_between(std::size_t a, std::size_t b, F& f) const {
    if (!overlap(nodes_[a], nodes_[b])) return;
    if (a < leaves_) {
      for (std::size_t x = 2 * a; x <= 2 * a + 1; ++x)
        for (std::size_t y = 2 * b; y <= 2 * b + 1; ++y) pairs_between(x, y, f);
      return;
    }
    const std::size_t a0 = (a - leaves_) * kGroup, a1 = std::min(a0 + kGroup, boxes_.size());
    const std::size_t b0 = (b - leaves_) * kGroup, b1 = std::min(b0 + kGroup, boxes_.size());
    for (std::size_t i = a0; i < a1; ++i) {
      if (!overlap(boxes_[i], nodes_[b])) continue;
      for (std::size_t j = b0; j < b1; ++j)
        if (overlap(boxes_[i], boxes_[j])) f(i, j);
    }
  }

  std::vector<Box> boxes_;
  std::vector<Box> nodes_;
  std::size_t leaves_ = 1;
};

}  // namespace kerfkiln::plane
