#include "modeler/cushion/steps.hpp"

#include <algorithm>

#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

namespace {

// "30 min", "2 h"
std::string duration_text(double seconds) {
  return seconds < 2 * 3600 ? number_text(seconds / 60, 0) + " min" : number_text(seconds / 3600, 1) + " h";
}

}  // namespace

// The order of work is common practice of foam shops: glue oversize blanks, saw the stack, shape last.
std::vector<product::Step> work_steps(const StepFacts& facts) {
  std::vector<product::Step> steps;
  const bool laminated = facts.layers.size() > 1;
  std::string stack;
  for (std::size_t i = 0; i < facts.layers.size(); ++i)
    stack += (i ? "; " : "") + std::to_string(i + 1) + " " + facts.layers[i];
  steps.push_back({"Cut blanks", "Cut each layer's blank from the cut list, " + mm_text(facts.trim_mm) +
                                     " larger than the core on every side. Let sheets lie flat and uncompressed before "
                                     "measuring their thickness. From the bottom up: " +
                                     stack + "."});
  if (!facts.slit.empty())
    steps.push_back({"Slit stock", "Slit on the flat bed: " + listed(facts.slit) +
                                       ". Cut the blanks first; keep the offcuts, named, for thin layers."});
  const bool glued = laminated || !facts.zones.empty();
  // What a joint asks for, said once.
  std::string wait;
  if (facts.waiting_s > 0) wait += " Let it flash off for " + duration_text(facts.waiting_s) + " before joining.";
  if (facts.open_s > 0) wait += " Join within " + duration_text(facts.open_s) + " of coating.";
  if (facts.waiting_s <= 0) wait += " Let it flash off as its supplier says.";
  const std::string coat = std::string(facts.faces == 2 ? "both faces" : "one face") +
                           " of each joint with the adhesive \"" + facts.adhesive + "\", " +
                           number_text(facts.coverage_g_m2, 0) + " g/m2 a face." + wait;
  if (!facts.zones.empty())
    steps.push_back({"Join zones",
                     "Lay the zone template on each blank of a divided layer and cut along its joint lines, blade "
                     "square: " +
                         listed(facts.zones) + ". Coat " + coat +
                         " Join the upright faces flat on the bench, so that both sides of the layer stay even."});
  if (glued)
    steps.push_back({"Laminate", "Coat " + coat +
                                     " Leave a dry band of 10 to 15 mm along the sawn outline, so that the edge stays "
                                     "soft; press from the middle outward. Keep the stack square: there are only " +
                                     mm_text(facts.trim_mm) + " to spare on each side."});
  if (glued)
    steps.push_back(
        {"Wait", "Leave it under light, even weight as long as the adhesive's supplier says, and at least " +
                     duration_text(std::max(facts.waiting_s, 600.0)) + ", before it is cut."});
  steps.push_back({"Slit", "Measure the stack at its four corners and the middle; slit it to " +
                               mm_text(facts.height_mm) + " overall."});
  steps.push_back({"Trace",
                   "Lay the plan template on with the face named on it up, centre lines square to the stack. "
                   "Trace the outline, the centre lines and the station marks."});
  steps.push_back({"Saw",
                   "Saw along the outside of the traced line, blade square to the table; carry the station "
                   "marks down the side."});
  if (facts.shaped) {
    std::string drops;
    for (const std::string& e : facts.edges) drops += (drops.empty() ? "" : "; ") + e;
    steps.push_back({"Scribe run and drop",
                     "Transfer the scribe lines of the template to the top and the underside: "
                     "the run, where each edge begins on the face. Mark the drop on the sides "
                     "from the gauges. " +
                         drops + "."});
    steps.push_back({"Shape",
                     "Take off the waste between the two marks in flat cuts, then grind to the curve, working "
                     "from the sides into the corners."});
  }
  steps.push_back({"Check", "Hold each gauge at its stations, heel against the underside, without pressing the foam: " +
                                listed(facts.gauges) + ". Measure overall width, depth and height against the sheet."});
  if (facts.skins)
    steps.push_back({"Hand over",
                     "The core is smaller than the dressed cushion by the skins of the compensation "
                     "chain; fit them in that order, the innermost first."});
  return steps;
}

// Dust, heat, solvents, fire load, blades: reference part 8 (industrial-hygiene pages; common practice for blades).
std::vector<std::string> work_cautions(bool glued) {
  std::vector<std::string> cautions{
      "Foam dust from sawing and grinding irritates eyes and lungs: extract at the tool, wear a mask and glasses.",
      "Do not cut polyurethane with a hot wire without extraction: heated foam gives off toxic gases.",
      "Band and electric knives: guards in place, a cut-resistant glove on the free hand, blade off when clearing.",
      "Stacked foam is a high fire load: no flame, sparks or smoking near it; keep exits and extinguishers clear."};
  if (glued)
    cautions.insert(cautions.begin() + 1,
                    "Contact adhesive: prefer water-based; with solvent types ventilate well, keep ignition sources "
                    "away and follow the supplier's safety data sheet.");
  cautions.push_back(
      "Flammability of the finished cushion is a matter of tests on the whole build: evidence is "
      "recorded, not certified, here. Local codes and licensed practice decide.");
  return cautions;
}

}  // namespace kerfkiln::cushion
