#include "modeler/cushion/edges.hpp"

#include <algorithm>

#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

namespace {

// One of the two edge sets being resolved.
struct EdgeReader {
  const EdgeSet& set;
  std::string path;  // "edges/top"
  const Plan& plan;
  double side_mm, face_mm, height_mm;
  Findings& out;
  Findings& notes;

  void check_names() const {
    std::vector<std::string> known = plan.outline.sides;
    known.push_back("other");
    for (const auto& [name, edge] : set.sides)
      if (std::find(known.begin(), known.end(), name) == known.end())
        out.push_back(error("edges.side", path + "/" + name,
                            "the outline has no side called \"" + name + "\"; it has " + listed(plan.outline.sides),
                            offer(name, known)));
  }

  // Each entry of the set is checked once, as given, whether or not a side uses it.
  bool check_lengths() const {
    bool good = true;
    for (const auto& [name, edge] : set.sides) {
      std::vector<double> lengths;
      for (const Length& l : edge.lengths) lengths.push_back(l.value);
      const Result<EdgeProfile> profile = edge_profile(edge.type, lengths, height_mm);
      if (profile) continue;
      append(out, under(path + "/" + name, profile.findings()));
      good = false;
    }
    return good;
  }

  const std::string* entry(const std::string& side) const {
    auto it = set.sides.find(side);
    if (it == set.sides.end()) it = set.sides.find("other");
    return it == set.sides.end() ? nullptr : &it->first;
  }

  CoreEdge core_of(const std::string& name) const { return core_edge(set.sides.at(name), side_mm, face_mm); }

  void explain() const {
    for (const auto& [name, edge] : set.sides) {
      const CoreEdge core = core_of(name);
      const double most = std::max(side_mm, face_mm);
      if (core.consumed)
        notes.push_back(warning("edges.consumed", path + "/" + name,
                                edge_words(edge, height_mm) + " is smaller than the " + mm_text(most) +
                                    " of skins that bend round it: the core's edge is made square and the dressed edge "
                                    "comes out with a radius of about " +
                                    mm_text(most),
                                "give at least " + mm_text(most) + ", or thinner skins"));
      if (core.deviation_mm > 0.05)
        notes.push_back(note("edges.parallel", path + "/" + name,
                             "the core's " + edge_words(core.edge, height_mm) + " is exact at both ends and up to " +
                                 mm_text(core.deviation_mm) + " off the true parallel of " +
                                 edge_words(edge, height_mm) + " between them",
                             "give the edge at the core (given_at core) if that matters"));
    }
  }

  EdgeProfile profile_of(const EdgeSpec& edge) const {
    std::vector<double> lengths;
    for (const Length& l : edge.lengths) lengths.push_back(l.value);
    Result<EdgeProfile> profile = edge_profile(edge.type, lengths, height_mm);
    if (profile) return *profile;
    append(out, under(path, profile.findings()));
    return {};
  }

  void resolve(std::vector<SideEdge>& sides, EdgeProfiles& profiles) const {
    for (const std::string& side : plan.outline.sides) {
      SideEdge e;
      if (const std::string* name = entry(side)) {
        e.given = set.sides.at(*name);
        e.field = path + "/" + *name;
        e.core = core_of(*name).edge;
      }
      profiles.by_side.push_back(profile_of(e.core));
      sides.push_back(std::move(e));
    }
    const auto it = set.sides.find("other");
    if (it != set.sides.end()) profiles.other = profile_of(core_of("other").edge);
  }
};

}  // namespace

Result<Edges> edges_of(const Spec& spec, const Plan& plan, const Skins& skins, double core_height_mm) {
  Edges edges;
  Findings out;
  const EdgeReader top{spec.top, "edges/top", plan, skins.side_mm, skins.top_mm, core_height_mm, out, edges.notes};
  const EdgeReader bottom{spec.bottom,    "edges/bottom", plan, skins.side_mm,
                          skins.under_mm, core_height_mm, out,  edges.notes};
  top.check_names();
  bottom.check_names();
  const bool good_top = top.check_lengths(), good_bottom = bottom.check_lengths();
  if (good_top) {
    top.explain();
    top.resolve(edges.top, edges.top_profiles);
  }
  if (good_bottom) {
    bottom.explain();
    bottom.resolve(edges.bottom, edges.bottom_profiles);
  }
  if (has_errors(out)) {
    append(out, std::move(edges.notes));
    return out;
  }
  return edges;
}

product::Table edge_table(const Edges& edges, const Plan& plan, double core_height_mm) {
  product::Table t;
  t.id = "edges";
  t.title = "Edges, mm: run x drop";
  t.columns = {"side", "top as given", "top of the core", "bottom as given", "bottom of the core"};
  t.numeric = {false, false, false, false, false};
  for (std::size_t i = 0; i < plan.shown.size(); ++i)
    t.rows.push_back({plan.shown[i], edge_words(edges.top[i].given, core_height_mm),
                      edge_words(edges.top[i].core, core_height_mm), edge_words(edges.bottom[i].given, core_height_mm),
                      edge_words(edges.bottom[i].core, core_height_mm)});
  return t;
}

std::string length_field(const SideEdge& edge, std::size_t i) {
  if (edge.field.empty() || i >= edge.given.lengths.size()) return {};
  const std::string path = edge.field + "/" + edge.given.type;
  return edge.given.lengths.size() == 1 ? path : path + "/" + std::to_string(i);
}

}  // namespace kerfkiln::cushion
