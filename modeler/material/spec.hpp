// What the workshop works with: the typed form of the design's "materials". Maps are ordered by first mention.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "modeler/base/kept.hpp"
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
// Indentation hardness as a test house reports it (ISO 2439 or ASTM D3574 B1): forces on a flat round foot of 50 in2.
struct Hardness {
  Force indentation_25, indentation_65;  // at 25 and 65 % of the sample's thickness
  Plain support_factor;                  // indentation_65 / indentation_25, in place of indentation_65
  Force indentation_40;                  // a third measured point
  std::string method;                    // "ISO 2439 B", ...: printed
  Length sample_thickness;               // printed
  Plain indentation_ratio;               // stress under the foot over uniaxial stress
  bool known() const { return indentation_25.known(); }
};
struct Foam {
  Density density;
  std::string colour = "#c9b458";  // of the drawing, #rrggbb
  std::string hatch = "none";      // none, lines, cross, dots, waves
  FoamSheet sheet;
  Money price;  // a cubic metre
  Hardness hardness;
  Ratio set;            // thickness lost in use
  Ratio hardness_loss;  // hardness lost in use
  Kept kept;
};
struct Adhesive {
  MassPerArea coverage;  // a face
  int faces = 2;
  Ratio loss;
  Time waiting_time;
  Time open_time;  // in which the coated faces still join
  Money price;     // a kilogram
  Kept kept;
};
struct Cover {
  Length thickness;
  Kept kept;
};
struct Batting {
  MassPerArea mass_per_area;
  Length loft;          // free
  Ratio compressed_to;  // under the cover, of the loft
  Kept kept;
};
struct Barrier {
  Length thickness;
  MassPerArea mass_per_area;
  Kept kept;
};

struct Board {
  Density density;
  Money price;  // a square metre
  Kept kept;
};

// A test bar: the length between its marks before and after a stage.
struct Bar {
  Length before, after;
};
// One stage of shrinkage: before -> after, as a fraction of the size before (ASTM C326). What it shrinks is said once:
// by test bars, by a linear figure or by a volume figure.
struct ShrinkageStage {
  std::string name;
  Ratio shrinkage;         // girth, and height too unless given apart
  Ratio height_shrinkage;  // unknown: as girth
  std::vector<Bar> bars;   // girth, and height too unless given apart
  std::vector<Bar> height_bars = {};
  Ratio volume_shrinkage = {};
  std::string volume_of = "before";  // or "after": what the volume figure is a share of (older tables)
};
struct Slip {
  Plain specific_gravity;
  Plain dry_specific_gravity;
  Ratio cast_water;  // of the wet mass, when the piece leaves the mould
  bool written() const {
    return !specific_gravity.written.empty() || !dry_specific_gravity.written.empty() || !cast_water.written.empty();
  }
};
struct WaterTest {  // a boiled fired bar weighed dry, under water and wet (ASTM C373)
  Mass dry, suspended, saturated;
  bool written() const { return dry.known() && suspended.known() && saturated.known(); }
};
struct Body {
  std::vector<ShrinkageStage> stages;
  Density fired_density;
  Ratio loss_on_ignition;
  Slip slip;
  WaterTest water_test;
  Kept kept;
};
struct Model {            // what the prototype is made of
  Ratio shrinkage;        // between making and moulding
  std::vector<Bar> bars;  // instead of the figure
  Kept kept;
};
struct Glaze {
  MassPerArea dry_coat;
  Length fired_coat;
  Density slop_dry_content;  // dry glaze in a litre of slop
  Kept kept;
};
struct Plaster {
  Plain consistency;
  Plain specific_gravity;
  Ratio setting_expansion;  // linear, each generation
  Kept kept;
};

struct Library {
  Named<Foam> foams;
  Named<Adhesive> adhesives;
  Named<Cover> covers;
  Named<Batting> battings;
  Named<Barrier> barriers;
  Named<Board> boards;
  Named<Body> bodies;
  Named<Model> models;
  Named<Plaster> plasters;
  Named<Glaze> glazes;
  Kept kept;  // tapes, threads
};

// What an empty name stands for.
inline constexpr const char* kDefaultAdhesive = "contact";
inline constexpr const char* kDefaultBoard = "ply";
inline constexpr const char* kDefaultBody = "stoneware";
inline constexpr const char* kDefaultModel = "clay, leather-hard";
inline constexpr const char* kDefaultPlaster = "pottery";

// Generic entries, no brands: what a design falls back on for names it does not define (source beside each number).
const Library& built_in();
// The design's own entries, then the built-in ones whose names it does not define.
Library completed(const Library& own);

}  // namespace kerfkiln::material
