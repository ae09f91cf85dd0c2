// A cushion as the maker typed it. Defaults and ranges live in cushion/describe.cpp, the only place that names keys.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "modeler/base/kept.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/cushion/coupon_spec.hpp"
#include "modeler/cushion/crease_spec.hpp"
#include "modeler/cushion/load_spec.hpp"
#include "modeler/cushion/outline_spec.hpp"
#include "modeler/cushion/pocket_spec.hpp"
#include "modeler/cushion/rise_spec.hpp"
#include "modeler/cushion/topper_spec.hpp"
#include "modeler/cushion/zone_spec.hpp"

namespace kerfkiln::cushion {

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
  std::vector<ZoneSpec> zones;
};

struct Spec {
  std::string name;
  int count = 1;
  bool mirrored = false;
  std::string hand;                  // "left", "right" or nothing: printed on every part
  std::string given_at = "dressed";  // core, topped, dressed
  OutlineSpec outline;
  std::vector<LayerSpec> layers;  // bottom up
  EdgeSet top, bottom;
  CrownSpec crown;
  ContourSpec contour;
  std::vector<CreaseSpec> creases;
  std::vector<PocketSpec> pockets;
  BoardSpec board;
  std::vector<UndersideSpec> underside;
  std::string adhesive;  // empty: the built-in contact adhesive
  Length trim;           // around a blank, each side
  Length kerf;           // of the band knife
  // Skins over the core, which "topped" and "dressed" outlines are taken over (0 or unknown: none).
  Length topper_thickness;
  DownToSpec topper_down_to;
  std::string topper_foam, batting, barrier, cover;
  LoadSpec load;
  std::vector<CouponSpec> coupons;
  Kept kept;  // read and saved, not computed yet
};

}  // namespace kerfkiln::cushion
