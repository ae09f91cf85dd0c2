// Plane drawings in model millimetres: what templates, sections and dimensioned views are made of.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::product {

// What a line means at the bench; a writer turns each meaning into one layer, line weight and dash.
enum class LineRole { cut, scribe, fold, sew, centre, hidden, visible, section, construction, station };

struct Stroke {
  plane::Loop path;  // bulge arcs; an open path ignores the last vertex's bulge
  bool closed = true;
  LineRole role = LineRole::visible;
};
struct Colour {
  double r = 0, g = 0, b = 0;
};  // 0 ... 1
enum class Hatch { none, lines, cross, dots, waves };
struct Fill {
  plane::Outline area;
  Colour colour;
  Hatch hatch = Hatch::none;
};
enum class Anchor { left, centre, right };
struct Label {
  Vec2 at;  // on the baseline: the left end, the middle or the right end of the text by `anchor`
  std::string text;
  double height_mm = 3.5;  // on paper in a view, at the bench on a 1:1 part
  Anchor anchor = Anchor::centre;
  double turn_rad = 0;
};
// A measured dimension. linear: between a and b, the line lying `away_mm` (on paper) to the left of a -> b; horizontal
// and vertical: only that component; radius: a the centre, b on the arc; diameter: a and b opposite each other, drawn
// as linear with a diameter sign; leader: text at b pointing to a.
enum class DimensionKind { linear, horizontal, vertical, radius, diameter, leader };
struct DimensionLine {
  DimensionKind kind = DimensionKind::linear;
  Vec2 a, b;
  double away_mm = 8;
  std::string text;   // empty: the measured length, in the user's unit
  std::string field;  // path of the design field it edits; empty: derived
};
struct Sketch {
  std::vector<Fill> fills;
  std::vector<Stroke> strokes;
  std::vector<Label> labels;
  std::vector<DimensionLine> dimensions;
};

}  // namespace kerfkiln::product
