// Crease paths: chains of lines and arcs walked by arc length, and the strip that a cut along one takes.
#pragma once
#include <optional>
#include <vector>

#include "modeler/plane/curve.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// A chain of curves, each starting where the last one ended. s is arc length from the start.
class CreasePath {
 public:
  CreasePath() = default;
  // An open chain ignores the last vertex's bulge. Precondition: neighbouring vertices differ.
  CreasePath(const plane::Loop&, bool closed);
  double length() const { return at_.empty() ? 0 : at_.back(); }
  bool closed() const { return closed_; }
  const std::vector<plane::Curve>& curves() const { return curves_; }
  double start_of(std::size_t curve) const { return at_[curve]; }
  Vec2 point(double s) const;
  Vec2 tangent(double s) const;
  struct Near {
    double distance = 0, s = 0;
  };
  Near nearest(Vec2) const;
  // Between two lengths, 0 <= from < to <= length(), as an open chain.
  plane::Loop part(double from, double to) const;

 private:
  std::size_t curve_at(double& s) const;
  std::vector<plane::Curve> curves_;
  std::vector<double> at_;  // start of each curve, and the end
  bool closed_ = false;
};

// All within width / 2 of the path, square to it at its ends, joints round on the outside: exact lines and arcs. Closed
// paths give a ring. Nothing where the path turns too tightly or its pieces are too short for the width.
std::optional<plane::Outline> strip_along(const CreasePath&, double width_mm);

}  // namespace kerfkiln::cushion
