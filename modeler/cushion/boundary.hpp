// The outline as a flat list of segments with the queries the form needs: distance, inward rays, the distance along a
// ray at which another part of the boundary becomes as near (the medial axis).
#pragma once
#include <span>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// A line or an arc of at most a half turn. u = 0 ... 1 in proportion to length, material on the left.
struct Element {
  Vec2 a, b;
  bool arc = false;
  bool ccw = false;   // arcs: turning left, the centre on the material's side
  Vec2 centre;        // arcs
  double radius = 0;  // arcs
  double sweep = 0;   // arcs, signed
  Vec2 dir;           // lines: unit tangent
  Vec2 start, end;    // arcs: unit vectors from the centre to a and b
  double length = 0;
  int loop = 0, segment = 0, side = 0;
  int next = 0, previous = 0;  // neighbours along the loop

  Vec2 point(double u) const;
  Vec2 inward(double u) const;  // unit normal into the material
  double curvature() const { return arc ? (ccw ? 1 / radius : -1 / radius) : 0.0; }
  double distance2(Vec2 p) const;
  double foot(Vec2 p) const;     // u of the nearest point
  Vec2 from_foot(Vec2 p) const;  // unit: along the line through p and the nearest point, either way
  bool in_sector(Vec2 from_centre) const;
};

// Where an element begins at a corner that opens into the material (interior angle over a half turn) rays fan out from
// the vertex. turn > 0 is the angle between the two end normals.
struct Fan {
  Vec2 at;
  Vec2 from, to;  // unit: inward normal at the end of the previous element, at the start of the next
  double turn = 0;
  int before = 0, after = 0;  // elements
};

class Boundary {
 public:
  explicit Boundary(const plane::Outline&);
  std::span<const Element> elements() const { return elements_; }
  std::span<const Fan> fans() const { return fans_; }
  plane::Box box() const { return box_; }
  bool convex() const { return convex_; }  // one loop that never turns right

  struct Near {
    double distance;
    int element;
  };
  Near nearest(Vec2 p) const;

  // Smallest d in (0, limit) at which some element other than `except` and those that only touch the ray's own point
  // comes within d of q + d n; `limit` and -1 if none. A ball that grows from q with its centre on the ray touches it.
  struct Contact {
    double d;
    int element;
  };
  Contact contact(Vec2 q, Vec2 n, double limit, int except, int except2) const;

 private:
  std::vector<Element> elements_;
  std::vector<Fan> fans_;
  plane::Box box_;
  bool convex_ = false;
  std::vector<plane::Box> tree_;  // of elements in loop order; see range_tree.hpp
};

plane::Box box_of(const Element&);

}  // namespace kerfkiln::cushion
