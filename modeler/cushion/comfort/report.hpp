// What a person feels and what the foam bears: sag, strain and margin of each layer under the design's load.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/cushion/comfort/stack.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/spec.hpp"

namespace kerfkiln::cushion {

struct ComfortLayer {
  std::string key;   // of figures: "layer.2", "topper"
  std::string name;  // "layer 2", "topper"
  std::string foam;
  std::string path;  // below the piece: "layers/1"
};

struct Comfort {
  std::vector<ComfortLayer> layers;  // top down, as in the stack
  std::vector<StackLayer> stack;
  double force_n = 0, pressure_kpa = 0, heavy_kpa = 0, peak_kpa = 0;
  double low_ratio_factor = 1, high_ratio_factor = 1;  // hardness at an indentation ratio of 1.2 and of 1.6
  double indentation_ratio = kUsualIndentationRatio;   // of the top layer: what the effective grade is said with
  double seat_height_mm = 0;                           // 0: not said
};

// Nothing where the design has no load, or a foam no usable hardness. The stack is that under the middle of the load:
// heights there, of each layer the foam that carries most of the contact area (a disc), the topper on top. Findings,
// all warnings and notes, paths below the piece:
//   comfort.hardness  a foam without hardness: no sag is computed
//   comfort.fit       hardness that no foam has
//   comfort.place     the load lies outside the piece
//   comfort.area      the contact area is larger than the piece
//   comfort.layer     a layer near or at bottoming, at which load
//   comfort.stack     the whole stack near or at bottoming; sag beyond is not given
//   comfort.under     zones, creases and pockets under the load
//   seat.height, seat.width, seat.depth  against published body sizes (notes; only where the height is given)
std::optional<Comfort> comfort_of(const Core&, const Spec&, const material::Library&, Findings&);

void add_comfort_figures(const Comfort&, std::vector<product::Figure>&);
product::Table comfort_table(const Comfort&);

}  // namespace kerfkiln::cushion
