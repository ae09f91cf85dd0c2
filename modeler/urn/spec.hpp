// An urn as the maker typed it. Defaults and ranges live in urn/describe.cpp, the only place that names keys.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/kept.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/urn/capacity_spec.hpp"
#include "modeler/urn/lid_spec.hpp"
#include "modeler/urn/throwing_spec.hpp"

namespace kerfkiln::urn {

struct ProfilePoint {
  Length height;
  Length half_width;
  Length half_depth;             // unknown: as half_width (round)
  Plain squareness;              // superellipse exponent n >= 1; unknown: 2
  Length corner_radius;          // of rounded rectangles and polygons; unknown: as SectionType says
  bool corner = false;           // the curve breaks here; between two corners it is a straight line
  std::string tangent = "free";  // or "level": the curve runs horizontally here
  Angle twist;                   // of the section about the axis; unknown: between the points that say one
};
struct BaseSpec {
  std::string made = "solid";  // solid, drain-cast, added
  Length thickness;            // unknown: the wall
  Length foot_width;           // unknown or 0: flat foot
  Length recess;
};
struct BowSpec {
  Length flats;  // crown of model and cavity in the middle of the flats; unknown: none
};
struct MouldSpec {
  std::string model;    // name of a model material; empty: built-in leather-hard clay
  std::string plaster;  // empty: built-in pottery plaster
  int generations = 1;  // of plaster between model and ware
};
struct Spec {
  std::string name;
  int count = 1;
  std::string body;                      // clay body; empty: the built-in one
  std::string given_at = "fired";        // fired
  std::string section = "superellipse";  // or "rounded rectangle", "hexagon", ...
  std::vector<ProfilePoint> profile;     // bottom up, heights rising; half sizes of the outside
  Length wall;                           // along the normal, fired
  BaseSpec base;
  BowSpec bow;
  Length fill_below_lip;
  CapacitySpec capacity;
  ThrowingSpec throwing;
  std::string glaze;  // name; empty: none
  MouldSpec mould;
  LidSpec lid;
  Kept kept;  // firings, ...: read and saved, not computed yet
};

}  // namespace kerfkiln::urn
