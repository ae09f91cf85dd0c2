// Where two flaps of a pattern meet: how far each runs beyond the end of its rim.
#pragma once
#include <cstddef>
#include <optional>
#include <vector>

#include "modeler/cushion/wrap_section.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// Of an arc, positive where the rim turns outward; 0: a line.
double signed_radius(const plane::Segment&);

// Coordinates of the flap at one end of an edge: along the rim beyond that end, nu outward.
struct FlapPoint {
  double u = 0, nu = 0, n = 0;
};

// What a corner makes of the flaps on both sides: their ends, from the apex outward.
struct Corner {
  std::vector<FlapPoint> first, second;             // u beyond the first edge's end, and before the second edge's start
  bool cut = false;                                 // the ends are to be joined
  std::size_t joined_first = 0, joined_second = 0;  // so many points of each: to the level where one of them ends
  std::optional<FlapPoint> tab_first, tab_second;   // where a flap's own lower edge ends, if its end is cut elsewhere
  bool slit = false;                                // one cut, opened
  std::vector<double> missing_first, missing_second;  // what the slit lacks on both sides, at its points
};

// Where the parallels of two rims meet that end in one vertex.
class Meeting {
 public:
  Meeting(const plane::Segment& a, const plane::Segment& b);
  double turn() const { return turn_; }
  struct Lengths {  // beyond the first's end and before the second's start, along them
    double first = 0, second = 0;
  };
  Lengths at(double na, double nb) const;

 private:
  Vec2 ta_, tb_;
  double ra_, rb_, turn_;
};

// Two edges that meet at an angle.
Corner sharp_corner(const WrapSection& a, const WrapSection& b, const Meeting&);
// A round corner that is notched: both flaps run straight on for half of what the middle needs. m: of the corner's arc.
Corner round_corner(const WrapSection& a, const WrapSection& m, const WrapSection& b, double radius, double turn,
                    bool mitred);
// A concave arc too small for the pattern's edge: as the sharp corner of both sides, moved back to the arc's ends.
Corner collapsed_corner(const WrapSection& a, const WrapSection& b, double radius, const Meeting&);

}  // namespace kerfkiln::cushion
