// Where the lines, arrows and words of a dimension stand on the paper.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "export/drawing/sketch_painter.hpp"

namespace kerfkiln::output {

using Quad = std::array<Vec2, 4>;  // corners of a turned rectangle, in order round it
Quad text_quad(Vec2 baseline, const std::string&, const TextStyle&);
bool overlap(const Quad&, const Quad&);  // convex, touching does not count

struct DimensionGeometry {
  std::vector<std::array<Vec2, 2>> lines;      // dimension line, its extension, shoulder of a leader
  std::vector<std::array<Vec2, 2>> witnesses;  // from the part to the dimension line
  std::vector<std::array<Vec2, 3>> arrows;     // filled; the tip first
  std::vector<std::array<Vec2, 2>> ticks;      // oblique strokes instead of arrows where only the text fits
  std::string text;
  Vec2 baseline;
  TextStyle style;
  Quad box{};              // of the text
  double measured_mm = 0;  // model
};

// Layout by the rules of ISO 129-1: text along the line and above it as read from the bottom or the right, oblique
// strokes instead of arrows or arrows from outside where there is no room within. Dimensions that would stand on each
// other, or on one of the obstacles, move away from the part until they are free. Guarantees: no text box meets a line
// of its own dimension; the order of the result is that of the input.
std::vector<DimensionGeometry> lay_out(const std::vector<product::DimensionLine>&, const Placement&, const SketchStyle&,
                                       const std::vector<Quad>& obstacles);

}  // namespace kerfkiln::output
