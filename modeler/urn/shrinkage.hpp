// From the size the fired ware must have back to the sizes of cavity, model and thrown prototype.
//
// A shrinkage s is linear and a fraction of the size BEFORE its stage (ASTM C326): after = before (1 - s). Stages
// compound, they never add: 1 - total = product of (1 - s). Girth and height are carried apart. Where test bars say
// how much a shrinkage scatters, the sizes carry prediction intervals.
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

// Test bars of one stage, or of the same bars through all stages: the shrinkage's mean and standard deviation (n - 1).
struct BarSample {
  int n = 0;
  double mean = 0, deviation = 0;  // fractions of the size before
};
BarSample bar_sample(const std::vector<double>& shrinkages);

// How far one future piece lies from its nominal size. A prediction interval of the normal distribution:
// half width = t(1 - 0.025 / pieces, freedom) x relative, Bonferroni for several pieces. Stages whose bars are not the
// same ones combine as independent quantities with effective degrees of freedom (JCGM 100:2008 (GUM), 5.1.2 and G.4.1).
struct Spread {
  bool known = false;
  int bars = 0;          // of the stage with the fewest
  double deviation = 0;  // s of the total shrinkage, a fraction of the size before
  double relative = 0;   // standard uncertainty of a future piece's size, over the size: s sqrt(1 + 1/n) / (1 - total)
  double freedom = 0;
  bool whole = false;      // every stage has bars
  bool same_bars = false;  // one set of bars through all stages: nothing was combined
  double half_width(int pieces, double confidence = 0.95) const;  // relative; 0 where nothing is known
};
struct Spreads {
  Spread girth, height;
};

struct ShrinkageChain {
  std::vector<State> states;                        // from fired back to thrown
  Scale total;                                      // shrinkage from cast to fired, fractions
  Scale oversize;                                   // cavity over fired
  Scale model;                                      // shrinkage of the model until it is moulded
  Spreads body;                                     // of the fired size from a given cavity
  Spreads with_model;                               // of the fired size, the model's own scatter included
  const State& state(const std::string& id) const;  // of the five ids above that every chain has, except "dry"
};

// The shrinkage that a stage says: mean of its bars, else its figure, else from its volume figure.
Scale stage_shrinkage(const material::ShrinkageStage&);
double model_shrinkage(const material::Model&);

// generations: casts of plaster between model and ware, each growing by the setting expansion (0: none).
// Preconditions: 0 <= s < 0.5 in each stage, 0 <= expansion < 0.05; check_shrinkage says so in findings.
ShrinkageChain shrinkage_chain(const material::Body&, const material::Model&, const material::Plaster&,
                               int generations);
// Errors "shrinkage.missing", "shrinkage.range" (0, or half and more), "shrinkage.bars_few" (fewer than three),
// "shrinkage.bars_grow" (after not shorter than before), "shrinkage.two_values" (a figure and a volume figure);
// warning "shrinkage.two_values" (a figure that the bars contradict); note "shrinkage.bars_differ" (bars of the stages
// are not the same ones). path: the field of the piece that names the material.
Findings check_shrinkage(const std::string& body_name, const material::Body&);
Findings check_shrinkage(const std::string& model_name, const material::Model&);

// Linear from volume shrinkage: V on the plastic volume, b on the dry volume (older tables), and back.
double linear_from_plastic_volume(double shrunk);
double linear_from_dry_volume(double shrunk);
double volume_from_linear(Scale linear);

}  // namespace kerfkiln::urn
