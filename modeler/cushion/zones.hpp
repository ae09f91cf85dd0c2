// Layers divided in plan: the region of each zone and of what is left of its layer.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/zone_spec.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {

struct ZonePlan {
  plane::Region region;  // within the core's outline
  // The same as typed, run past the outline where it ends there, so that a triangulation need not tell the two
  // boundaries apart. May hold more than `region` only outside the core.
  plane::Region reach;
};
struct ZonesOfLayer {
  std::vector<ZonePlan> zones;
  plane::Region rest;
};

// core: the core's outline, sides named as the edges name them; given: the plan's outline, whose middle line mirrors
// placed outlines for the other hand. Findings, all at once, paths "zones/<k>/...":
//   zones.where     neither or both of strip and outline, or half a place
//   zones.width     a strip that is not above 0 mm to 10 m wide
//   zones.side      no side of that name; the nearest is offered
//   zones.outside   nothing of the zone lies in the core
//   zones.overlap   two zones share part of the plan; the area is named
//   zones.nothing_left  the zones leave nothing of the layer: it is a layer of other foams
// and those of the outline typed.
Result<ZonesOfLayer> zones_of(const std::vector<ZoneSpec>&, const plane::Outline& core, const plane::Outline& given,
                              bool mirrored);

// The band within `width` of a side (an index of outline.sides) and `behind` mm past it; everything that lies so, also
// outside the outline. Past its ends the side is run on straight round a corner of the foam; where foam goes on beyond
// an end (a hollow corner, another side in line) the band ends square there.
Result<plane::Region> side_band(const plane::Outline&, int side, double width_mm, double behind_mm);

// The parts of the regions' boundaries that do not lie on the outline: joints between pieces, each met twice when all
// pieces of a layer are asked.
std::vector<plane::Segment> inner_boundary(const plane::Region&, const plane::Outline&);

}  // namespace kerfkiln::cushion
