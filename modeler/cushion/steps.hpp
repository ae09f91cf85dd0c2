// How the foam shop goes about it, and what it should look out for.
#pragma once
#include <string>
#include <vector>

#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct StepFacts {
  std::vector<std::string> layers;  // bottom up, "firm 50 mm"
  std::vector<std::string> zones;   // "layer 2, zone 1 soft"
  std::vector<std::string> slit;    // "layer 2 to 40 mm from 50 mm"
  double trim_mm = 0;
  double height_mm = 0;
  std::string adhesive;
  int faces = 2;
  double coverage_g_m2 = 0;
  double waiting_s = 0;             // from coating to joining
  double open_s = 0;                // in which coated faces still join; 0: not said
  std::vector<std::string> gauges;  // labels
  std::vector<std::string> edges;   // "front: top ellipse 60 x 40, bottom square"
  bool shaped = true;               // some edge is not square
  bool skins = false;               // something lies over the core
};

std::vector<product::Step> work_steps(const StepFacts&);

// Foam dust, adhesive, blades, stacked foam; each defers to local rules. Sources in the source file.
std::vector<std::string> work_cautions(bool glued);

}  // namespace kerfkiln::cushion
