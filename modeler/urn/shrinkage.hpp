// From the size the fired ware must have back to the sizes of cavity, model and thrown prototype.
//
// A shrinkage s is linear and a fraction of the size BEFORE its stage (ASTM C326): after = before (1 - s). Stages
// compound, they never add: 1 - total = product of (1 - s). Girth and height are carried apart.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/finding.hpp"
#include "modeler/material/spec.hpp"

namespace kerfkiln::urn {

struct Scale {
  double girth = 1, height = 1;
};

// One state of the piece and its size over the fired size.
struct State {
  std::string id;     // "fired", "dry", "cavity", "model", "thrown", or a stage's name
  std::string label;  // "Cavity (as cast)"
  Scale over_fired;
  std::string how;  // how it follows from the state before it in this list
};

struct ShrinkageChain {
  std::vector<State> states;                        // from fired back to thrown
  Scale total;                                      // shrinkage from cast to fired, fractions
  Scale oversize;                                   // cavity over fired
  const State& state(const std::string& id) const;  // of the five ids above that every chain has, except "dry"
};

// generations: casts of plaster between model and ware, each growing by the setting expansion (0: none).
// Preconditions: 0 <= s < 0.5 in each stage, 0 <= expansion < 0.05; check_shrinkage says so in findings.
ShrinkageChain shrinkage_chain(const material::Body&, const material::Model&, const material::Plaster&,
                               int generations);
Findings check_shrinkage(const std::string& body_name, const material::Body&);

// Linear from volume shrinkage: V on the plastic volume, b on the dry volume (older tables), and back.
double linear_from_plastic_volume(double shrunk);
double linear_from_dry_volume(double shrunk);
double volume_from_linear(Scale linear);

}  // namespace kerfkiln::urn
