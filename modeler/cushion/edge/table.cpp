#include "modeler/base/nearest_key.hpp"
#include "modeler/base/number_text.hpp"
#include "modeler/cushion/edge/types.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr const EdgeType* kTypes[] = {&kSquareEdge, &kRoundEdge, &kEllipseEdge, &kChamferEdge, &kBullnoseEdge};

std::string known_types() {
  std::string text;
  for (const EdgeType* t : kTypes) text += (text.empty() ? "" : ", ") + std::string(t->id);
  return text;
}

}  // namespace

std::span<const EdgeType* const> edge_types() { return kTypes; }

const EdgeType* find_edge_type(std::string_view id) {
  for (const EdgeType* t : kTypes)
    if (t->id == id) return t;
  return nullptr;
}

Result<EdgeProfile> edge_profile(std::string_view type, std::span<const double> lengths, double height) {
  const EdgeType* t = find_edge_type(type);
  if (!t)
    return Finding{Severity::error, "edge.type", "", "there is no edge \"" + std::string(type) + "\"",
                   "use one of " + known_types()};
  if (lengths.size() != t->lengths.size())
    return Finding{Severity::error, "edge.lengths", "",
                   "edge \"" + std::string(type) + "\" takes " + std::to_string(t->lengths.size()) + " lengths, not " +
                       std::to_string(lengths.size()),
                   t->lengths.empty() ? "write the bare word" : "give run and drop, or the radius, as the type asks"};
  Findings findings;
  for (std::size_t i = 0; i < lengths.size(); ++i) {
    const EdgeLength& l = t->lengths[i];
    if (lengths[i] >= l.low_mm && lengths[i] <= l.high_mm) continue;
    findings.push_back({Severity::error, "length.range", std::string(l.key),
                        std::string(l.label) + " of the edge is " + shortest_number(lengths[i]) +
                            " mm; permitted are " + shortest_number(l.low_mm) + " to " + shortest_number(l.high_mm) +
                            " mm",
                        "choose a value in this range"});
  }
  if (!findings.empty()) return findings;
  return t->profile(lengths, height);
}

plane::Loop section_path(const EdgeProfile& edge, double below, double beyond, double deviation) {
  plane::Loop path;
  if (below > 0) path.push_back({{0, edge.drop + below}, 0, 0});
  if (edge.curve) {
    for (const plane::Vertex& v : edge.curve->path(deviation)) path.push_back(v);
  } else {
    path.push_back({{0, 0}, 0, 0});
  }
  if (beyond > 0) path.push_back({{edge.inset + beyond, 0}, 0, 0});
  return path;
}

}  // namespace kerfkiln::cushion
