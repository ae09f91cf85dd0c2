// Which parts of a ray lie in a region of lines and arcs: what confines integrals along rays to a part of the plan.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

class RegionRays {
 public:
  explicit RegionRays(std::span<const plane::Outline> region);

  struct Part {
    double from, to;
  };
  // The parts of q + d n, 0 <= d <= end, within the region, ascending. label mixes the segments met, in order: it
  // changes where parts begin to be bounded by others. n is a unit vector.
  void along(Vec2 q, Vec2 n, double end, std::vector<Part>& parts, std::uint64_t& label) const;

  // Where rays of a family can begin or cease to meet the region: its vertices, and where arcs run along the rays, of
  // all rays parallel to n or of all through a centre. Between neighbouring places nothing appears out of nothing.
  std::vector<Vec2> turns_parallel(Vec2 n) const;
  std::vector<Vec2> turns_through(Vec2 centre) const;

 private:
  std::span<const plane::Outline> region_;
  std::vector<plane::Segment> segments_;
  std::vector<plane::Box> boxes_;
  bool inside(Vec2) const;
};

}  // namespace kerfkiln::cushion
