// What an urn must hold, as the maker typed it. Defaults and ranges live in urn/capacity_describe.cpp.
#pragma once
#include <string>

#include "modeler/base/quantity.hpp"

namespace kerfkiln::urn {

struct CapacitySpec {
  Volume target;                 // fired, to the fill line; unknown: the form as drawn
  std::string by = "uniform";    // the form is scaled "uniform", in "height" or in "girth"
  std::string keep = "nothing";  // or "neck": what stands above the corner where the neck begins keeps its size
  Mass person;                   // living; unknown: no rule applies
  Ratio margin = 0.1;            // on the rule
  Mass remains;                  // what is filled in; unknown: from the person, or to the fill line
  Density filling = 969;         // bulk density
};

}  // namespace kerfkiln::urn
