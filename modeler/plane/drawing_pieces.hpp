// The stages between a drawing's placed curves and an outline.
#pragma once
#include <span>
#include <string>
#include <vector>

#include "modeler/plane/drawing_data.hpp"

namespace kerfkiln::plane {

// From the drawing's unit to mm, the lower left corner of what was chosen at the origin: small numbers keep their
// digits. Messages go the other way, so that a place is found in the drawing.
struct DrawingFrame {
  double unit_mm = 1;
  Vec2 low;  // in the drawing's unit
  Vec2 to_mm(Vec2 p) const { return unit_mm * (p - low); }
  std::string place(Vec2 mm) const;  // "(12.5, 3)"
};

struct PieceSource {
  int entity = 0;
  bool fitted = false;  // an arc that stands for a part of an ellipse or spline
};
struct Piece {
  Segment segment;  // mm
  PieceSource source;
};

Box drawn_box(const DrawnCurve&);  // contains it, in the drawing's unit

// Lines and arcs for the curves, ellipses and splines within kDrawingFitMm. Findings drawing.curve and drawing.vertices
// stop; drawing.through is a note.
std::vector<Piece> pieces_of(std::span<const DrawnCurve* const>, const DrawingFrame&, Findings&);

// A closed loop with where each segment comes from; sources[i] belongs to the segment that starts at loop[i].
struct TracedLoop {
  Loop loop;
  std::vector<PieceSource> sources;
};
TracedLoop reversed(const TracedLoop&);

// The loops that the pieces close, in the order of their first piece. Findings drawing.gap, drawing.duplicate,
// drawing.tiny (notes and warnings), drawing.open, drawing.branch (errors).
std::vector<TracedLoop> loops_of(const std::vector<Piece>&, const DrawingFrame&, double gap_mm, Findings&);

// Sides of the outer loop as drawing.hpp says; the loop is turned so that it begins with the first side.
void name_sides(TracedLoop& outer, Outline&);

}  // namespace kerfkiln::plane
