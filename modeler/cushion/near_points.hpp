// Points in square cells, found again by place in logarithmic time.
#pragma once
#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

class NearPoints {
 public:
  // within: how near a point must be to count as found, mm.
  explicit NearPoints(double within) : within_(within), cell_(10 * within) {}

  void add(Vec2 p, std::uint32_t id) { cells_[{cell(p.x), cell(p.y)}].push_back({p, id}); }

  // The smallest id of the points within reach of p that accept(id) takes.
  template <class Accept>
  std::optional<std::uint32_t> find(Vec2 p, const Accept& accept) const {
    std::optional<std::uint32_t> best;
    for (std::int64_t x = cell(p.x - within_); x <= cell(p.x + within_); ++x)
      for (std::int64_t y = cell(p.y - within_); y <= cell(p.y + within_); ++y) {
        const auto it = cells_.find({x, y});
        if (it == cells_.end()) continue;
        for (const auto& [at, id] : it->second)
          if (norm(at - p) < within_ && (!best || id < *best) && accept(id)) best = id;
      }
    return best;
  }

 private:
  std::int64_t cell(double x) const { return static_cast<std::int64_t>(std::floor(x / cell_)); }

  double within_, cell_;
  std::map<std::pair<std::int64_t, std::int64_t>, std::vector<std::pair<Vec2, std::uint32_t>>> cells_;
};

}  // namespace kerfkiln::cushion
