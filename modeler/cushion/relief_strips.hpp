// Strips of quads along the boundary: where one fits, and the distances from the boundary at which it has vertices.
#pragma once
#include <map>
#include <utility>
#include <vector>

#include "modeler/cushion/drop.hpp"
#include "modeler/cushion/relief_blocks.hpp"

namespace kerfkiln::cushion {

// The deviation is shared between the direction along the boundary and that across it.
inline constexpr double kStripAcross = 0.5, kStripAlong = 0.47;
inline constexpr double kClosestStations = 0.02;  // mm
inline constexpr double kCollapsedArc = 1e-4;     // an inner arc smaller than this is a point, mm

struct Stations {
  std::vector<double> d, top, bottom;
  double widest = 0;  // of the steps from one to the next
  double depth() const { return d.back(); }
};

// The part of an element, from 0 to 1, that has a strip.
struct Stretch {
  const Stations* stations = nullptr;  // nullptr: no block
  double from = 0, to = 1;
};

class StripFitter {
 public:
  StripFitter(const Form&, const ReliefHeights&, double deviation_mm);

  // The longest part of the element that only its own profile shapes; stations live as long as the fitter.
  Stretch stretch(int element);
  // No other source shows on the ray from q along n, from element id (or the corner it shares with id2), within depth.
  bool clean_ray(Vec2 q, Vec2 n, int id, int id2, double depth) const;

 private:
  const Stations* stations_of(int id);
  Stations make_stations(const EdgeProfile&, const EdgeProfile&) const;
  bool end_clean(int id, int neighbour, bool at_end, double depth) const;
  bool clean_at(int id, double u, double depth) const;
  double bound(int id, double dirty, double clean, double depth) const;

  const Form& form_;
  const ReliefHeights& heights_;
  double deviation_;
  const DropField& top_;
  const DropField& bottom_;
  const Boundary& boundary_;
  bool uniform_ = false;
  std::map<std::pair<const DropCurve*, const DropCurve*>, Stations> stations_;
};

}  // namespace kerfkiln::cushion
