#include <array>

#include "modeler/cushion/outline_sources.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kSize{0.1, 10000};
constexpr auto kUnits = std::to_array<Choice>(
    {{"mm", "millimetres"}, {"cm", "centimetres"}, {"m", "metres"}, {"in", "inches"}, {"ft", "feet"}});

void side(Visitor& v, std::string_view key, std::string_view label, std::string_view help, Length& length) {
  quantity(v, {.key = key, .label = label, .help = help, .range = kSize, .typical = {300, 700}, .required = true},
           length);
}

}  // namespace

void describe(Visitor& v, FrameSpec& f) {
  side(v, "front", "Front", "Measured length of the front side.", f.front);
  side(v, "back", "Back", "Measured length of the back side.", f.back);
  side(v, "left", "Left", "Measured length of the left side.", f.left);
  side(v, "right", "Right", "Measured length of the right side.", f.right);
  const auto diagonals = std::to_array<TupleItem>(
      {tuple_item(
           {.label = "First diagonal", .help = "Front left to back right.", .range = kSize, .typical = {400, 900}},
           f.diagonal),
       tuple_item(
           {.label = "Second diagonal", .help = "Front right to back left.", .range = kSize, .typical = {400, 900}},
           f.other_diagonal)});
  v.tuple({.key = "diagonals",
           .label = "Diagonals",
           .help = "[front left to back right, front right to back left], between the same corners as the sides.",
           .required = true},
          diagonals);
  quantity(v,
           {.key = "corner_radius",
            .label = "Corner radius",
            .help = "Of the four corners, seen from above; the measures run to the sharp corners.",
            .range = {0, 10000},
            .typical = {0, 60},
            .default_text = "0 mm",
            .source = "sharp corners"},
           f.corner_radius);
}

void describe(Visitor& v, DxfSpec& d) {
  v.text({.key = "file",
          .label = "File",
          .help = "Drawing file in DXF text form, in the design file's folder or below it.",
          .required = true},
         d.file);
  v.text(
      {.key = "layer",
       .label = "Layer",
       .help = "Layer that holds the outline and its holes; may be left out where the drawing has lines on one only."},
      d.layer);
  v.text({.key = "unit",
          .label = "Unit",
          .help = "Of the drawing's numbers; left out, the drawing must say it.",
          .choices = kUnits},
         d.unit);
  quantity(v,
           {.key = "gap",
            .label = "Gap",
            .help = "Ends up to this far apart are joined; each joint is reported.",
            .range = {0, 5},
            .typical = {0, 1},
            .default_text = "0.1 mm",
            .source = "common practice"},
           d.gap);
}

double drawing_unit_mm(std::string_view word) {
  return word == "mm" ? 1 : word == "cm" ? 10 : word == "m" ? 1000 : word == "in" ? 25.4 : word == "ft" ? 304.8 : 0;
}

}  // namespace kerfkiln::cushion
