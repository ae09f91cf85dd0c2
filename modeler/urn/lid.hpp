// The lid of an urn: a moulding. One profile in the plane normal to an outline (the lip's for a cap, the mouth's for an
// inset lid) is carried around it, so that wall, clearance and seat are plane geometry and exact all round; in the
// middle it closes with a level panel, on which a round knob stands. Heights are those of the urn: z = 0 is its foot.
// Everything is at the fired size.
#pragma once
#include <optional>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/urn/lid_outline.hpp"
#include "modeler/urn/spec.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

enum class LidStyle { cap, inset };
enum class Resist { seat, flange };

// What the maker typed, gaps filled. mm, fired.
struct LidSize {
  LidStyle style = LidStyle::cap;
  bool drained = false;        // the lid's inside is formed by draining
  bool guide_drained = false;  // one of the two guiding faces is
  double clearance = 0;        // a side, clay to clay
  double flange = 0, wall = 0, seat = 0;
  double height = 0;                                                // above the seat, without the knob
  double knob_diameter = 0, knob_height = 0, knob_neck = 0;         // 0: no knob
  double gallery_width = 0, gallery_depth = 0, gallery_height = 0;  // 0: no gallery
  Resist resist = Resist::seat;
  bool knob() const { return knob_diameter > 0; }
  bool gallery() const { return gallery_width > 0; }
};

// How a segment of the meridian becomes a surface: carried around the outline; the level panel between the moulding
// and the middle; turned about the axis; or no surface at all.
enum class LidFace { moulding = 0, panel = 1, turned = 2, axis = 3 };

struct LidMeasure {
  double volume = 0, centroid_z = 0;         // mm3, mm
  double outside_area = 0, inside_area = 0;  // mm2: upper side down to the rim, knob included; under side
  double half_width = 0, half_depth = 0;     // of the widest parallel curve
  double low = 0, high = 0;                  // z
  double seat_length = 0, seat_area = 0;     // of the contact with the urn: mm along its middle, mm2
};

// The ring inside the neck that carries an inset lid: between the urn's inside and a parallel curve.
struct LidGallery {
  double inner = 0;         // distance of its free face from the outline, negative
  double low = 0, top = 0;  // z
  double volume = 0;        // mm3
  double centroid_z = 0;
};

struct Lid {
  LidSize size;
  LidOutline outline;
  // The cut in the plane y = 0, x >= 0, counter-clockwise from the axis, in (x, z); the side of a vertex is the LidFace
  // of its segment. A moulding point (x, z) stands at the distance x - outline.half_width() from the outline.
  plane::Loop meridian;
  std::size_t inside_end = 0;  // segments before it are the under side, from the middle to the rim
  double panel = 0;            // half width at which the moulding ends
  double turn = 0;             // of the lip of a twisted urn about the axis, rad; the lid turns with it
  double seat_z = 0, seat_from = 0, seat_to = 0;  // the contact: height, distances from the outline
  // The guiding gap: between the faces that keep the lid in place, a side, clay to clay.
  double guide_urn = 0, guide_lid = 0;  // half widths of the two faces where they are nearest
  double gap_least = 0, gap_most = 0;   // normal to the faces, over the flange and all round
  double rim_gap = 0;                   // gallery: between rim and neck; else 0
  LidMeasure measure;
  std::optional<LidGallery> gallery;
  double displaced = 0;  // mm3, see lid_displaced
  Findings findings;     // notes and warnings, paths as in the design ("lid/flange")

  // Area (or length) of the horizontal section whose edge stands at half width x.
  double section_area(LidFace, double x) const;
  double section_perimeter(LidFace, double x) const;
};

// Errors (no lid): "lid.corner", "lid.flange", "lid.shoulder", "lid.seat", "lid.height", "lid.knob", "lid.profile",
// "lid.gallery", "lid.mouth". Precondition: spec.lid.written().
Result<Lid> make_lid(const Spec&, const Wall&);

// Of the outer form with everything under the rim's plane filled, mm3: what a cavity for a drained lid holds.
double lid_form_volume(const Lid&);

// What the lid takes from the room below the lip, mm3: clay of lid and gallery below the lip plane, and with a sunk
// lid everything above its seat. 0 for a cap, without a lid, and for a lid that cannot be made. The wall is the fired
// one; usable capacity = brim - this.
double lid_displaced(const Spec&, const Wall&);

}  // namespace kerfkiln::urn
