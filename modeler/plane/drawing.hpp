// Outlines from drawing files in the DXF text format (DXF reference: ENTITIES, BLOCKS, $INSUNITS).
//
// Two steps, so that the costly one happens once a file: read_drawing turns bytes into placed lines and curves,
// outline_of turns those of one layer into an outline in mm. Both are pure; who owns the file reads it.
#pragma once
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

inline constexpr std::size_t kLargestDrawing = 32u << 20;  // bytes
inline constexpr double kDrawingFitMm = 0.01;              // ellipses and splines become arcs this close to them
inline constexpr double kDrawingSameMm = 0.005;  // ends this close are one point: rounding of the file's numbers
inline constexpr double kUsualGapMm = 0.1;       // wider gaps are the maker's to judge

struct DrawingLayer {
  std::string name;
  bool shown = true;  // neither off nor frozen
  int curves = 0;     // lines and curves that could bound an outline, blocks expanded
};

struct DrawingData;

// LINE, ARC, CIRCLE, ELLIPSE, SPLINE, LWPOLYLINE and 2D POLYLINE of the model space, blocks expanded through INSERT
// (scale, rotation, arrays, nesting), seen from above. Copies share one content.
class Drawing {
 public:
  explicit Drawing(std::shared_ptr<const DrawingData> data) : data_(std::move(data)) {}
  const std::vector<DrawingLayer>& layers() const;  // those that hold curves, by name
  double unit_mm() const;                           // of the header; 0: it names none, or none that is known here
  std::uint64_t digest() const;                     // of the file's bytes
  const DrawingData& data() const { return *data_; }

 private:
  std::shared_ptr<const DrawingData> data_;
};

// Any bytes give a drawing or findings:
//   drawing.size      larger than kLargestDrawing, or empty
//   drawing.binary    not text
//   drawing.syntax    a line that is no group code, or a value that is no number where one must stand; the line is
//   named drawing.cut_off   the file does not end with its EOF group drawing.empty     no line or curve in it
//   drawing.block     blocks that hold themselves, or expand to more than 200 000 curves
//   drawing.reader    the reading library failed
Result<Drawing> read_drawing(std::string_view bytes);

struct DrawingChoice {
  std::string layer;            // empty: the only one that is shown and holds curves
  double unit_mm = 0;           // 0: as the header says
  double gap_mm = kUsualGapMm;  // 0 ... 5: ends this far apart are joined, each joint reported
};

// Sides are named so that edges can be given by them:
//   - A rectangle parallel to the axes, sharp or with rounded corners, has front, right, back and left.
//   - Otherwise "side 1", "side 2", ... counter-clockwise from the one farthest to the front. A side ends where the
//     outline turns by more than 10 degrees and where straight lines change into a drawn curve; so a curve drawn as
//     many short lines, or fitted with many arcs, is one side.
//   - An arc that runs on smoothly into both neighbours, turns 20 to 120 degrees and has at most a third of their
//   radius
//     rounds a corner: it belongs to no side (-1), as the corner arcs of typed outlines.
//   - Inner loops are holes through the piece: "hole 1", "hole 2", ... by place, front to back.
// The outer loop is the one with the largest area; the origin is the front-left of its box.
struct DrawnOutline {
  Outline outline;  // passes check_outline
  Findings notes;   // what was closed, dropped or left out; paths as below
};
// Errors, all at once; places are those of the drawing, in its own unit. Paths "", "layer", "unit", "gap":
//   drawing.unit      no unit in the header and none chosen
//   drawing.layer     no such layer (the nearest is offered), several to choose from, or nothing on it
//   drawing.size      wider or deeper than 10 m, or below 0.1 mm: is the unit right?
//   drawing.open      an end that nothing continues; the nearest other end is named
//   drawing.branch    a point where more than two lines meet
//   drawing.loops     a loop beside the outer one
//   drawing.curve     a spline whose numbers make no curve
//   drawing.vertices  more than 10 000 segments
//   and those of check_outline.
// Notes and warnings: drawing.gap, drawing.duplicate, drawing.tiny, drawing.left_out (texts, hatches and so on),
// drawing.tilted, drawing.height, drawing.through (a spline given by points to pass through), drawing.unit (the chosen
// unit is not the header's).
Result<DrawnOutline> outline_of(const Drawing&, const DrawingChoice&);

}  // namespace kerfkiln::plane
