// A cushion as the maker typed it. Defaults and ranges live in cushion/describe.cpp, the only place that names keys.
#pragma once
#include <map>
#include <string>
#include <variant>
#include <vector>

#include "modeler/base/kept.hpp"
#include "modeler/base/quantity.hpp"

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
using OutlineSpec = std::variant<RectangleSpec, VerticesSpec>;

// "square", "bullnose", {"round": r}, {"ellipse": [a, b]}, {"chamfer": [a, b]}: the type's id and its lengths in order.
struct EdgeSpec {
  std::string type = "square";
  std::vector<Length> lengths;
};
// By side name; "other" for all not named. A side named nowhere, and no "other": square.
struct EdgeSet {
  std::map<std::string, EdgeSpec> sides;
};

struct LayerSpec {
  std::string foam;
  Length thickness;
  Kept kept;  // zones
};

struct Spec {
  std::string name;
  int count = 1;
  bool mirrored = false;
  std::string given_at = "dressed";  // core, topped, dressed
  OutlineSpec outline;
  std::vector<LayerSpec> layers;  // bottom up
  EdgeSet top, bottom;
  std::string adhesive;  // empty: the built-in contact adhesive
  Length trim;           // around a blank, each side
  Length kerf;           // of the band knife
  // Skins over the core, which "topped" and "dressed" outlines are taken over (0 or unknown: none).
  Length topper_thickness;
  std::string topper_foam, batting, barrier, cover;
  Kept kept;          // creases, pockets, ...: read and saved, not computed yet
  Kept kept_outline;  // "frame" or "dxf", in place of outline
};

}  // namespace kerfkiln::cushion
