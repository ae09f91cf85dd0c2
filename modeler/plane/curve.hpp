// One line or arc prepared for many questions: the working form of a segment inside the plane layer. Arcs are described
// by end, tangent and curvature, never by a centre, so that flat arcs lose no precision.
#pragma once
#include <array>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

struct Curve {
  Vec2 a, b;
  Vec2 ta, tb;  // unit tangents at the ends
  double bulge = 0;
  double curvature = 0;  // 1/mm, positive turns counter-clockwise, 0 a line
  double length = 0;

  bool is_line() const { return curvature == 0; }
  Segment segment() const { return {a, b, bulge}; }
};

// a != b. An arc that leaves its chord by less than 1e-10 mm becomes a line.
Curve curve(const Segment&);

double distance(const Curve&, Vec2);
Box box(const Curve&, double margin);  // contains the curve, not tight for arcs
Vec2 at_length(const Curve&, double s);
Vec2 tangent_at_length(const Curve&, double s);

// Places where two curves meet, as arc lengths along each. Curves that touch within 1e-11 mm meet once; curves that run
// on one another within 1e-9 mm meet at the ends of the shared stretch. Ends count, with 1e-8 mm to spare.
struct Meeting {
  double on_first = 0, on_second = 0;
  Vec2 at;
};
struct Meetings {
  std::array<Meeting, 4> list;
  int count = 0;
};
Meetings meetings(const Curve&, const Curve&);

}  // namespace kerfkiln::plane
