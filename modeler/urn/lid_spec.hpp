// A lid as the maker typed it. Defaults and ranges live in urn/lid_describe.cpp.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/quantity.hpp"

namespace kerfkiln::urn {

struct LidPoint {
  Length height;      // above the seat
  Length half_width;  // of the outside
  bool corner = false;
};
struct KnobSpec {
  Length diameter;  // unknown: no knob
  Length height;
  Length neck;  // diameter where it stands on the lid
};
struct GallerySpec {
  Length width;   // of the ledge; unknown: no gallery, an inset lid rests on the lip
  Length depth;   // of its top below the lip
  Length height;  // of the ring that carries it
};
struct FitSpec {
  Length least, most;   // gap a side that still fits, net of glaze
  Plain correlation;    // of the shrinkage of urn and lid, 0 ... 1
  Ratio scatter;        // standard deviation of the total shrinkage, where the body has no bars
  Length wall_scatter;  // standard deviation of a wall that draining forms
  Length ovality;       // largest less smallest diameter of one ring
};
struct LidSpec {
  std::string style;               // "cap" over the neck, "inset" into the mouth; empty: no lid
  std::string formed = "pressed";  // both faces formed; "drained": the inside as the slip leaves it
  Length clearance;                // a side, fired, clay to clay; unknown: 1.5 mm, 2 mm where a face is drained
  Length flange;                   // how far a cap overlaps the neck, or an inset lid drops in
  Length height;                   // above the seat, without the knob
  Length wall;                     // unknown: the urn's
  Length seat;                     // width of the contact
  std::vector<LidPoint> profile;   // own outside above the shoulder, bottom up; empty: a dome
  KnobSpec knob;
  GallerySpec gallery;
  std::string resist = "seat";  // where no glaze goes: "seat" alone, or "flange": the guiding faces too
  FitSpec fit;
  bool written() const { return !style.empty(); }
};

}  // namespace kerfkiln::urn
