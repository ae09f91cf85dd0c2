// Which profile each side of the core has, after the skins have taken their part.
#pragma once
#include <string>
#include <vector>

#include "modeler/cushion/form.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/skins.hpp"

namespace kerfkiln::cushion {

struct SideEdge {
  EdgeSpec given, core;
  std::string field;  // "edges/top/front", "edges/top/other"; empty where the design says nothing
};
struct Edges {
  std::vector<SideEdge> top, bottom;  // by index of Outline::sides
  EdgeProfiles top_profiles, bottom_profiles;
  Findings notes;
};

// Findings: edges.side (a name that no side has; the nearest is offered), those of edge_profile, and the warnings
// edges.consumed (the wanted rounding is smaller than the skins bent round it) and notes edges.parallel (an ellipse
// that is not quite the parallel curve, with the deviation).
Result<Edges> edges_of(const Spec&, const Plan&, const Skins&, double core_height_mm);

product::Table edge_table(const Edges&, const Plan&, double core_height_mm);

// Path of the i-th length of an edge: "edges/top/front/round", "edges/top/front/ellipse/0"; empty for an unsaid edge.
std::string length_field(const SideEdge&, std::size_t i);

}  // namespace kerfkiln::cushion
