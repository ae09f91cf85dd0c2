// The urn both sides build: a clamped cubic B-spline of 12 control points (r, z) mm with even knots, height 300,
// wall 6.
#pragma once
#include <array>
#include <cstddef>
#include <utility>
#include <vector>

#include "modeler/base/vec.hpp"

namespace kerfkiln::bench {

inline constexpr double kWall = 6, kHeight = 300;
inline constexpr std::array<std::pair<double, double>, 12> kControl{{{60, 0},
                                                                     {62, 10},
                                                                     {80, 40},
                                                                     {105, 85},
                                                                     {120, 135},
                                                                     {122, 180},
                                                                     {110, 220},
                                                                     {85, 250},
                                                                     {62, 268},
                                                                     {55, 280},
                                                                     {58, 292},
                                                                     {62, 300}}};
// By 1-D quadrature in another program, the same for 1 ... 32 panels of 16 points a span (pi Int r^2 dz, Pappus).
inline constexpr double kClayVolume = 1202190.880618;

struct PeerResult {
  double milliseconds = 0;  // median of the runs: revolve, mesh, volume
  std::size_t triangles = 0;
  double volume = 0;
};
// OCCT: the profile and its offset curve revolved, BRepMesh at `deviation`, BRepGProp volume.
PeerResult occt_urn(double deviation, double offset_t0, double offset_t1, int runs);

// Closed level sections, bottom up, counter-clockwise from corresponding points.
using Rings = std::vector<std::vector<Vec3>>;
// OCCT: one spline through each ring, a smooth solid loft through the splines, BRepMesh at `deviation`. The outside
// alone. `side`: the mesh's points away from foot and lip, for how far the loft is from the form.
PeerResult occt_loft(const Rings&, double deviation, int runs, std::vector<Vec3>* side);

}  // namespace kerfkiln::bench
