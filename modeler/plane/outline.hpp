// Plane outlines of straight lines and circular arcs, exact where the form is exact.
//
// Coordinates in mm. A loop is closed: the last vertex joins the first. The segment that starts at vertex i runs to
// vertex i + 1 and has bulge b = tan(sweep / 4), as drawings store it (DXF reference, LWPOLYLINE group 42): 0 a line,
// positive an arc that turns counter-clockwise, |b| <= 1. Outer loops run counter-clockwise, holes clockwise, so the
// material always lies on the left.
#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "modeler/base/vec.hpp"

namespace kerfkiln::plane {

struct Vertex {
  Vec2 at;
  double bulge = 0;
  int side = 0;  // index into Outline::sides of the segment that starts here; corner arcs belong to no side: -1
};
using Loop = std::vector<Vertex>;

struct Outline {
  Loop outer;
  std::vector<Loop> holes;
  std::vector<std::string> sides;  // names: "front", "right", "back", "left" of a rectangle, or the maker's own
};

// One segment seen by itself; t runs 0 ... 1 in proportion to length.
struct Segment {
  Vec2 a, b;
  double bulge = 0;
  bool is_line() const { return bulge == 0; }
  double sweep() const { return 4 * std::atan(bulge); }  // rad, signed
  Vec2 centre() const;                                   // arcs only
  double radius() const;                                 // arcs only, positive
  double length() const;
  Vec2 point(double t) const;
  Vec2 tangent(double t) const;  // unit
  Vec2 inward(double t) const { return left(tangent(t)); }
};
Segment segment(const Loop&, std::size_t i);

double area(const Loop&);       // signed, by Green's theorem, arcs exact
double area(const Outline&);    // holes subtracted (their loops run clockwise)
double perimeter(const Loop&);  // arcs exact
double perimeter(const Outline&);
Vec2 centroid(const Outline&);

struct Box {
  Vec2 low, high;
  double width() const { return high.x - low.x; }
  double depth() const { return high.y - low.y; }
};
Box bounds(const Loop&);  // exact, arcs included
Box bounds(const Outline&);

bool contains(const Outline&, Vec2);  // boundary points (within 1e-9 mm) count as inside
// How often a loop runs counter-clockwise around a point. Points on the loop get either neighbouring value.
int winding(const Loop&, Vec2);

// The nearest point of one segment and its distance. Accurate for arcs of any radius, however flat.
struct Foot {
  Vec2 point;
  double distance = 0;  // >= 0
  double t = 0;
};
Foot nearest(const Segment&, Vec2);

struct Nearest {
  Vec2 point;
  double distance = 0;  // >= 0
  int loop = 0;         // 0 the outer loop, 1 ... the holes
  int segment = 0;
  double t = 0;
};
Nearest nearest(const Outline&, Vec2);

Loop reversed(const Loop&);
Loop moved(const Loop&, Vec2 by);
Loop mirrored_x(const Loop&);  // x -> -x, the sense of rotation kept; a side stays with its segment
Outline moved(const Outline&, Vec2 by);
// The other hand: reflected about the vertical centre line of its bounds, so that the bounds stay. A side keeps its
// name on its segment: what was shaped on the left arm is shaped on the right one.
Outline mirrored(const Outline&);
// Vertices rounded to the plan grid (modeler/base/tolerance.hpp), for outlines that a maker typed or imported.
Outline snapped(Outline);
// Points along the loop at a chord deviation of at most `deviation_mm`; vertices kept; no point repeated at the end.
std::vector<Vec2> flattened(const Loop&, double deviation_mm);

// The part of a segment between two parameters, 0 <= t0 < t1 <= 1.
Segment part(const Segment&, double t0, double t1);

// A rectangle with its lower left corner at the origin, sides "front" (y = 0), "right", "back", "left", corner arcs
// with side -1. corner_radius 0 gives sharp corners. width, depth > 0, 2 corner_radius <= min(width, depth).
Outline rectangle(double width_mm, double depth_mm, double corner_radius_mm);

}  // namespace kerfkiln::plane
