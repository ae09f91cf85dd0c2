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

// Nodes as in a heap: the children of node k are 2 k + 1 and 2 k + 2.
inline std::size_t tree_size(std::size_t n) {
  std::size_t size = 1;
  for (; n > kTreeLeaf; n -= n / 2) size = 2 * size + 1;
  return size;
}

// tree: of tree_size(n) boxes.
template <class BoxOf>
plane::Box build_tree(std::vector<plane::Box>& tree, std::size_t at, std::size_t first, std::size_t n,
                      const BoxOf& box_of) {
  plane::Box box;
  if (n <= kTreeLeaf) {
    box = box_of(first);
    for (std::size_t i = 1; i < n; ++i) box = joined(box, box_of(first + i));
  } else {
    box = joined(build_tree(tree, 2 * at + 1, first, n / 2, box_of),
                 build_tree(tree, 2 * at + 2, first + n / 2, n - n / 2, box_of));
  }
  return tree[at] = box;
}
template <class BoxOf>
std::vector<plane::Box> tree_of(std::size_t n, const BoxOf& box_of) {
  std::vector<plane::Box> tree(tree_size(n));
  build_tree(tree, 0, 0, n, box_of);
  return tree;
}

// Calls item(i) for each item whose boxes pass keep(box), the half nearer to `towards` first.
template <class Keep, class Item>
void walk_tree(const std::vector<plane::Box>& tree, std::size_t at, std::size_t first, std::size_t n, Vec2 towards,
               const Keep& keep, const Item& item) {
  if (!keep(tree[at])) return;
  if (n <= kTreeLeaf) {
    for (std::size_t i = 0; i < n; ++i) item(first + i);
    return;
  }
  const std::size_t l = 2 * at + 1, half = n / 2;
  if (distance2(tree[l], towards) <= distance2(tree[l + 1], towards)) {
    walk_tree(tree, l, first, half, towards, keep, item);
    walk_tree(tree, l + 1, first + half, n - half, towards, keep, item);
  } else {
    walk_tree(tree, l + 1, first + half, n - half, towards, keep, item);
    walk_tree(tree, l, first, half, towards, keep, item);
  }
}

}  // namespace kerfkiln::cushion
