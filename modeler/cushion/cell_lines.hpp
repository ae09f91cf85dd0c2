// The boundaries of plan regions as chains of points in a relief: sampled, rounded to float, and cut where they meet
// each other, vertices of the relief or the outline.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "modeler/cushion/form.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

using PlanEdge = std::array<std::uint32_t, 2>;

// Closed chains of float points, one a loop: within the deviation of the loop in plan, and so close along it that both
// surfaces of the form are followed.
std::vector<std::vector<Vec2>> sampled_loops(const Form&, const plane::Outline& region, double deviation_mm);

// Buckets of segments over their box; a question looks at the few near it.
class SegmentGrid {
 public:
  SegmentGrid(std::span<const std::pair<Vec2, Vec2>> segments, double margin);
  bool empty() const { return count_ == 0; }
  bool misses(const plane::Box&) const;
  // Calls see(segment index) for those that may come into the box, some more than once.
  template <class See>
  void near(const plane::Box& box, See&& see) const {
    if (misses(box)) return;
    const auto [i0, j0] = at(box.low);
    const auto [i1, j1] = at(box.high);
    for (int j = j0; j <= j1; ++j)
      for (int i = i0; i <= i1; ++i)
        for (std::uint32_t s : bucket_[static_cast<std::size_t>(j * kSize + i)]) see(s);
  }

 private:
  static constexpr int kSize = 64;
  std::pair<int, int> at(Vec2) const;
  std::size_t count_ = 0;
  plane::Box box_;
  Vec2 step_{1, 1};
  std::vector<std::vector<std::uint32_t>> bucket_;
};

struct CellLines {
  std::vector<PlanEdge> lines;                                 // undirected, each once, meeting in ends only
  std::vector<PlanEdge> border;                                // the outline edges that were passed, cut
  std::vector<std::vector<std::vector<std::uint32_t>>> loops;  // of each region, closed chains of vertices
  struct OnBorder {
    std::uint32_t vertex, a, b;  // a new vertex between two of the outline
    double share;
  };
  std::vector<OnBorder> on_border;
  std::vector<std::uint32_t> inner;  // of the vertices passed: those that stay, no line close by
};

// points: the relief's plan, new vertices appended. corridor: vertices of the relief near the chains; `inner` those of
// them that may go. border: outline edges near the chains, directed.
CellLines noded(std::vector<Vec2>& points, const std::vector<std::vector<std::vector<Vec2>>>& chains,
                std::span<const std::uint32_t> corridor, std::span<const std::uint32_t> inner,
                std::span<const PlanEdge> border, double spacing_mm);

}  // namespace kerfkiln::cushion
