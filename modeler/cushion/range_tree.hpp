// Boxes over runs of items in their given order, halving down to leaves. Items of an outline in loop order lie near
// each other, so nothing needs sorting and the tree is rebuilt in linear time.
#pragma once
#include <algorithm>
#include <cstddef>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

inline constexpr std::size_t kTreeLeaf = 4;

inline plane::Box joined(const plane::Box& p, const plane::Box& q) {
  return {{std::min(p.low.x, q.low.x), std::min(p.low.y, q.low.y)},
          {std::max(p.high.x, q.high.x), std::max(p.high.y, q.high.y)}};
}
inline double distance2(const plane::Box& box, Vec2 p) {
  const double x = std::max({box.low.x - p.x, 0.0, p.x - box.high.x});
  const double y = std::max({box.low.y - p.y, 0.0, p.y - box.high.y});
  return x * x + y * y;
}

// Nodes in pre-order: a node over n items is followed by its left subtree and then its right one.
inline std::size_t tree_size(std::size_t n) {
  return n <= kTreeLeaf ? 1 : 1 + tree_size(n / 2) + tree_size(n - n / 2);
}

template <class BoxOf>
plane::Box build_tree(std::vector<plane::Box>& tree, std::size_t first, std::size_t n, const BoxOf& box_of) {
  const std::size_t at = tree.size();
  tree.emplace_back();
  plane::Box box;
  if (n <= kTreeLeaf) {
    box = box_of(first);
    for (std::size_t i = 1; i < n; ++i) box = joined(box, box_of(first + i));
  } else {
    box = build_tree(tree, first, n / 2, box_of);
    box = joined(box, build_tree(tree, first + n / 2, n - n / 2, box_of));
  }
  tree[at] = box;
  return box;
}

// Calls item(i) for each item whose box chain passes keep(box). Returns the number of nodes the subtree has.
template <class Keep, class Item>
std::size_t walk_tree(const std::vector<plane::Box>& tree, std::size_t at, std::size_t first, std::size_t n,
                      const Keep& keep, const Item& item) {
  if (!keep(tree[at])) return tree_size(n);
  if (n <= kTreeLeaf) {
    for (std::size_t i = 0; i < n; ++i) item(first + i);
    return 1;
  }
  const std::size_t left = walk_tree(tree, at + 1, first, n / 2, keep, item);
  return 1 + left + walk_tree(tree, at + 1 + left, first + n / 2, n - n / 2, keep, item);
}

}  // namespace kerfkiln::cushion
