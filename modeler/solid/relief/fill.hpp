// Triangulation of a plane region bounded by polygons, refined where the caller asks. Constrained Delaunay (CGAL)
// behind plain types.
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

struct FillRequest {
  // Closed loops of distinct vertices of `points`, the region on their left. Loops may share vertices, not cross.
  std::vector<std::vector<std::uint32_t>> loops;
  std::vector<Vec2> seeds;       // wished for inside; those closer than `spacing` to another vertex are left out
  double spacing = 0.02;         // smallest distance of an added vertex from others, mm
  std::size_t most = 4'000'000;  // triangles
  // Called once for each added vertex in order: its index will be that of the call plus points.size() at the start.
  // Returns the position to use, such as one rounded to float.
  std::function<Vec2(Vec2)> added;
  // Where a triangle misses what it should show; nothing: it is good enough.
  std::function<std::optional<Vec2>(const Triangle&)> wanting;
  std::vector<char>* good = nullptr;  // filled, if there: of each triangle returned, whether `wanting` found it so
};

// Appends to `points` and returns counter-clockwise triangles of the region. No vertex is added on the loops.
// "relief.crossing": loops cross; "relief.deviation": more than `most` triangles would be needed.
Result<std::vector<Triangle>> fill(std::vector<Vec2>& points, const FillRequest&);

}  // namespace kerfkiln::solid
