// Triangulation of the hole that a corridor of removed triangles leaves, with lines that must become edges of it.
// Constrained Delaunay (CGAL) behind plain types.
#pragma once
#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

struct RefillRequest {
  // Directed edges around the hole, the hole on their left, and lines within it (what runs outside does no harm). Edges
  // and lines meet in their ends only.
  std::vector<std::array<std::uint32_t, 2>> border, lines;
  std::vector<std::uint32_t> inner;  // vertices to keep, off the lines
  double spacing = 0.02;             // smallest distance of an added vertex from others, mm
  std::size_t most = 4'000'000;      // triangles
  // As of FillRequest.
  std::function<Vec2(Vec2)> added;
  std::function<std::optional<Vec2>(const Triangle&)> wanting;
};

// Appends to `points` and returns counter-clockwise triangles. No vertex is added on the border or the lines.
// "cells.crossing": border or lines cross; "relief.deviation": more than `most` triangles would be needed.
Result<std::vector<Triangle>> refill(std::vector<Vec2>& points, const RefillRequest&);

}  // namespace kerfkiln::solid
