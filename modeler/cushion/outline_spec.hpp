// Outlines as the maker typed them: of the piece itself, and of what lies inside it (pockets, zones).
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/base/result.hpp"
#include "modeler/cushion/outline_sources.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

struct RectangleSpec {
  Length width, depth, corner_radius;
};
struct VertexSpec {
  Length x, y;
  Length radius;     // rounds this corner; 0 or unknown: sharp
  std::string side;  // names the segment that starts here; empty: "side 1", "side 2", ...
  Plain bulge;       // of the segment that starts here
};
struct VerticesSpec {
  std::vector<VertexSpec> outer;
  std::vector<std::vector<VertexSpec>> holes;
};
using OutlineSpec = std::variant<RectangleSpec, VerticesSpec, FrameSpec, DxfSpec>;

// An outline that lies in the piece's plan. `at` is where the middle of its bounding box lies; unknown: its own
// coordinates are those of the plan.
struct PlacedOutlineSpec {
  std::optional<OutlineSpec> shape;
  Length x, y;
  bool placed() const { return x.known() && y.known(); }
};

// The members "outline" (rectangle or vertices) and "at". `help` lives as long as the program.
void describe(Visitor&, PlacedOutlineSpec&, std::string_view help, bool required);

// Precondition: a shape. In plan coordinates of a piece that is not mirrored. Findings as plan_of, paths "outline/...",
// and outline.place at "at": a rectangle needs a place.
Result<plane::Outline> placed_outline(const PlacedOutlineSpec&);

}  // namespace kerfkiln::cushion
