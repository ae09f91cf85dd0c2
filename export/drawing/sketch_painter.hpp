// Sketches on paper: line weights and dashes by meaning, labels and dimensions at sizes a bench can read, at a
// standard scale. Model y points up, paper y down.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "export/drawing/canvas.hpp"
#include "modeler/product/sketch.hpp"

namespace kerfkiln::output {

// How a length in mm is written on a drawing: "482.5" or "19 in". The unit is named once, beside the scale.
using LengthText = std::function<std::string(double mm)>;
std::string millimetre_text(double mm);  // at most one decimal
std::string inch_text(double mm);        // to the nearest 1/32 in

struct SketchStyle {
  LengthText length = millimetre_text;
  double text_mm = 3.2;      // of dimensions
  bool plates = true;        // text interrupts every line; false: only lines that are not cut, sewn or scribed along
  bool paper_labels = true;  // labels keep their height; false: they shrink with the scale (page maps leave them out)
};

struct Placement {
  Vec2 origin;       // where the model's origin stands on the paper
  double scale = 1;  // paper mm for a model mm
  Vec2 paper(Vec2 model) const { return {origin.x + scale * model.x, origin.y - scale * model.y}; }
};

// The paper the sketch takes up at that scale, labels, dimensions and line widths included, about its origin (y down).
plane::Box sketch_bounds(const product::Sketch&, double scale, const SketchStyle& = {});
void paint(Canvas&, const product::Sketch&, const Placement&, const SketchStyle& = {});

struct Fit {
  double scale = 1;
  std::string text = "1:1";  // "1:2.5", "2:1"
  plane::Box box;            // sketch_bounds at that scale
};
// The largest standard scale (ISO 5455, with 1:2.5, 1:4 and 1:25 between) at which the sketch fits the box.
Fit fit(const product::Sketch&, double width_mm, double height_mm, const SketchStyle& = {});

LineStyle line_style(product::LineRole);
std::string role_name(product::LineRole);                         // a maker's word: "cut", "scribe", "fold"
std::vector<product::LineRole> roles_of(const product::Sketch&);  // those present, in order of meaning

}  // namespace kerfkiln::output
