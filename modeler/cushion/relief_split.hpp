// Local changes to a plan triangulation: cuts along level curves, and what keeps its solids manifold.
#pragma once
#include <cstdint>
#include <set>
#include <utility>
#include <vector>

#include "modeler/cushion/relief.hpp"

namespace kerfkiln::cushion {

using EdgeSet = std::set<std::pair<std::uint32_t, std::uint32_t>>;  // smaller index first

// Cuts triangles where an edge crosses a level between its ends, with a vertex that lies on the level exactly. Edges in
// `keep` stay. good: of each triangle; pieces of cut ones are not.
void split_at_levels(const Form&, Relief&, std::vector<solid::Triangle>&, const EdgeSet& keep, std::vector<char>& good);

// An edge inside the core or a layer, with no height at either end but height on both sides, would join four faces:
// it gets a vertex with height in its middle.
void open_pinched_edges(const Form&, Relief&, std::vector<solid::Triangle>&, std::vector<char>& good);

// The outline of where bottom <= z <= top, z one of the levels.
Result<std::vector<plane::Outline>> section_outlines(const Relief&, double z);

}  // namespace kerfkiln::cushion
