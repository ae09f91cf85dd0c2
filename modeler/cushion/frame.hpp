// A measured frame: four sides and two diagonals determine a quadrilateral once too often, so that they check each
// other. The sides are fitted by least squares, every measure with the same weight.
#pragma once
#include <array>

#include "modeler/base/result.hpp"
#include "modeler/base/vec.hpp"

namespace kerfkiln::cushion {

// In this order everywhere: front, right, back, left, diagonal from front left to back right, diagonal from front right
// to back left. mm.
using FrameMeasures = std::array<double, 6>;
inline constexpr std::array<const char*, 6> kFrameMeasureNames{
    "front", "right", "back", "left", "diagonal front left - back right", "diagonal front right - back left"};

struct FrameFit {
  std::array<Vec2, 4> corners;  // front left, front right, back right, back left; the front along x from the origin
  FrameMeasures residual{};     // fitted - measured
  std::array<double, 4> angle_rad{};  // inside, at the corners
  double worst_mm = 0;                // largest |residual|
  // Largest |angle - 90 degrees|, and what it amounts to over the shorter side at that corner.
  double out_of_square_rad = 0, out_of_square_mm = 0;
};

// Gauss-Newton steps, damped after Levenberg and Marquardt (Nocedal and Wright, Numerical Optimization, 10.3, from
// memory), from the triangles that front, sides and diagonals make. At the result the residuals are orthogonal to every
// way the corners could move.
// Findings, paths "": frame.impossible: the measures fit no convex quadrilateral to within a tenth of the shortest
// side. Precondition: measures finite and above zero.
Result<FrameFit> fitted_frame(const FrameMeasures&);

}  // namespace kerfkiln::cushion
