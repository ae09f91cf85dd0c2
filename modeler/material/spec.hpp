// What the workshop works with: the typed form of the design's "materials". Maps are ordered by first mention.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "modeler/base/quantity.hpp"

namespace kerfkiln::material {

template <class T>
using Named = std::vector<std::pair<std::string, T>>;
template <class T>
const T* find(const Named<T>& list, const std::string& name) {
  for (const auto& [key, value] : list)
    if (key == name) return &value;
  return nullptr;
}

struct FoamSheet {
  Length width, length;
  std::vector<Length> thicknesses;
};
struct Foam {
  Density density;
  std::string colour = "#c9b458";  // of the drawing, #rrggbb
  std::string hatch = "none";      // none, lines, cross, dots, waves
  FoamSheet sheet;
  Money price;  // a cubic metre
};
struct Adhesive {
  MassPerArea coverage;  // a face
  int faces = 2;
  Ratio loss;
  Time waiting_time;
};
struct Cover { Length thickness; };
struct Batting { MassPerArea mass_per_area; Length loft; Ratio compressed_to; };
struct Barrier { Length thickness; };

// One stage of shrinkage: before -> after, as a fraction of the size before (ASTM C326).
struct ShrinkageStage {
  std::string name;
  Ratio shrinkage;         // girth, and height too unless given apart
  Ratio height_shrinkage;  // unknown: as girth
};
struct Body {
  std::vector<ShrinkageStage> stages;
  Density fired_density;
  Ratio loss_on_ignition;
};
struct Model { Ratio shrinkage; };  // of the prototype, between making and moulding
struct Plaster {
  Plain consistency;
  Plain specific_gravity;
  Ratio setting_expansion;  // linear, each generation
};

struct Library {
  Named<Foam> foams;
  Named<Adhesive> adhesives;
  Named<Cover> covers;
  Named<Batting> battings;
  Named<Barrier> barriers;
  Named<Body> bodies;
  Named<Model> models;
  Named<Plaster> plasters;
};

// Generic entries, no brands: what a design falls back on for names it does not define (source beside each number).
const Library& built_in();

}  // namespace kerfkiln::material
