// Seeded outlines for the property tests of the plane layer.
#pragma once
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "modeler/plane/corners.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

// A star-shaped outline about the origin with radii 60 to 260 mm: straight and arced segments, rounded corners where
// the radii fit, and in two of five a hole or two. Simple by construction: each segment stays within its sector.
inline Outline random_outline(std::mt19937& random) {
  std::uniform_real_distribution<double> u(0, 1);
  const int n = 3 + static_cast<int>(random() % 12);
  Outline out;
  std::vector<Corner> corners;
  for (int i = 0; i < n; ++i) {
    const double angle = 2 * std::numbers::pi * (i + 0.6 * u(random)) / n, r = 60 + 200 * u(random);
    Corner c{{r * std::cos(angle), r * std::sin(angle)}, 0, 0, i};
    if (u(random) < 0.5) c.radius = 30 * u(random);
    if (u(random) < 0.3) c.bulge = 0.12 * (u(random) - 0.3);
    corners.push_back(c);
  }
  for (int i = 0; i < n; ++i) out.sides.push_back("s" + std::to_string(i));
  auto loop = rounded(corners);
  if (!loop) {
    for (Corner& c : corners) c.radius = 0;
    loop = rounded(corners);
  }
  out.outer = *loop;
  if (u(random) < 0.4) {
    const double r = 8 + 25 * u(random);
    out.holes.push_back({{{r, 0}, -1, -1}, {{-r, 0}, -0.5 - 0.5 * u(random), -1}});
  }
  if (out.holes.empty()) return out;
  // A hole that the outline does not clear would break the precondition.
  for (const Vertex& v : out.holes[0])
    for (double a = 0; a < 6.3; a += 0.05)
      if (const Vec2 p = norm(v.at) * 1.05 * Vec2{std::cos(a), std::sin(a)}; winding(out.outer, p) == 0) {
        out.holes.clear();
        return out;
      }
  return out;
}

// A tangent-continuous outline whose radii of curvature are all at least least_radius: a star with generous corner
// arcs.
inline Outline smooth_outline(std::mt19937& random, double least_radius) {
  std::uniform_real_distribution<double> u(0, 1);
  while (true) {
    const int n = 4 + static_cast<int>(random() % 6);
    std::vector<Corner> corners;
    for (int i = 0; i < n; ++i) {
      const double angle = 2 * std::numbers::pi * (i + 0.4 * u(random)) / n, r = 220 + 120 * u(random);
      corners.push_back({{r * std::cos(angle), r * std::sin(angle)}, least_radius * (1 + u(random)), 0, i});
    }
    if (auto loop = rounded(corners)) return {*loop, {}, {}};
  }
}

}  // namespace kerfkiln::plane
