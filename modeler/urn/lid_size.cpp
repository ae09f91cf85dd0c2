#include "modeler/urn/lid_size.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

// A lid's own sizes where the maker says nothing; common practice unless said otherwise.
constexpr double kFormedClearance = 1.5, kDrainedClearance = 2.0;  // a side: 2 to 3 mm on the diameter of 100 mm
constexpr double kFlange = 14;
constexpr double kGalleryDepth = 4;
constexpr double kNeckShare = 0.6, kKnobRise = 0.8;  // of the knob's diameter

double or_else(const Quantity& q, double otherwise) { return q.known() ? q.value : otherwise; }

}  // namespace

LidSize lid_size(const Spec& spec) {
  const LidSpec& l = spec.lid;
  LidSize s;
  s.style = l.style == "inset" ? LidStyle::inset : LidStyle::cap;
  s.drained = l.formed == "drained";
  s.wall = or_else(l.wall, spec.wall.value);
  s.flange = or_else(l.flange, kFlange);
  s.seat = l.seat.value;
  s.height = l.height.value;
  if (l.knob.diameter.known() && l.knob.diameter.value > 0) {
    s.knob_diameter = l.knob.diameter.value;
    s.knob_height = or_else(l.knob.height, kKnobRise * s.knob_diameter);
    s.knob_neck = or_else(l.knob.neck, kNeckShare * s.knob_diameter);
  }
  if (s.style == LidStyle::inset && l.gallery.width.known() && l.gallery.width.value > 0) {
    s.gallery_width = l.gallery.width.value;
    s.gallery_depth = or_else(l.gallery.depth, kGalleryDepth);
    s.gallery_height = or_else(l.gallery.height, spec.wall.value);
  }
  // A cap is guided by its own inside against the mould's face of the neck; an inset lid by the neck's inside, which
  // draining forms, or by a gallery, which is made apart.
  s.guide_drained = s.style == LidStyle::cap ? s.drained : !s.gallery();
  s.clearance = or_else(l.clearance, s.guide_drained ? kDrainedClearance : kFormedClearance);
  s.resist = l.resist == "flange" ? Resist::flange : Resist::seat;
  return s;
}

Findings check_lid_size(const Spec& spec, const LidSize& s) {
  Findings f;
  constexpr double kGrip = 15, kGripHeight = 8;  // two fingers and a thumb; common practice
  constexpr double kThin = 2.5, kThick = 25;     // what survives the kiln; common practice
  if (s.knob()) {
    if (s.knob_neck > s.knob_diameter)
      f.push_back({Severity::error, "lid.knob", "lid/knob/neck",
                   "the knob's neck of " + mm(s.knob_neck) + " is wider than the knob (" + mm(s.knob_diameter) + ")",
                   "make the neck at most " + mm(s.knob_diameter)});
    if (s.knob_diameter < kGrip)
      f.push_back({Severity::warning, "lid.knob", "lid/knob/diameter",
                   "a knob of " + mm(s.knob_diameter) + " is hard to grip; fingers want " + mm(kGrip) + " or more",
                   "make the knob wider"});
    if (s.knob_height < kGripHeight)
      f.push_back(
          {Severity::warning, "lid.knob", "lid/knob/height",
           "a knob " + mm(s.knob_height) + " high leaves no room for fingers; " + mm(kGripHeight) + " or more would",
           "make the knob higher"});
    if (s.knob_diameter > kThick)
      f.push_back({Severity::note, "lid.knob_thick", "lid/knob/diameter",
                   "a solid knob of " + mm(s.knob_diameter) + " is thicker than " + mm(kThick) +
                       ": it dries slowly and may burst in the kiln",
                   "hollow it from below and pierce it, or dry it slowly"});
  } else {
    f.push_back({Severity::note, "lid.no_knob", "lid/knob",
                 "the lid has no knob to lift it by; fingers want " + mm(kGrip) + " or more",
                 "give the knob a diameter, or leave it as it is if the rim can be grasped"});
  }
  if (s.wall < kThin)
    f.push_back({Severity::warning, "lid.thin", "lid/wall",
                 "a wall of " + mm(s.wall) + " is thin for a lid; " + mm(kThin) + " or more bears handling",
                 "make the lid's wall thicker"});
  if (s.style == LidStyle::cap && spec.lid.gallery.width.known())
    f.push_back(
        {Severity::warning, "lid.gallery", "lid/gallery",
         "a gallery of " + mm(spec.lid.gallery.width.value) + " does nothing: a cap rests on the lip and has none",
         "leave the gallery out, or make the lid inset"});
  if (s.gallery() && s.gallery_width < s.clearance + 2.5)
    f.push_back({Severity::error, "lid.gallery", "lid/gallery/width",
                 "a ledge of " + mm(s.gallery_width) + " carries nothing: the rim of the lid ends " +
                     mm(s.clearance + 0.5) + " before the neck; from " + mm(s.clearance + 2.5) + " up it would",
                 "make the ledge wider or the clearance smaller"});
  if (s.gallery() && s.flange < s.gallery_height * 0.5)
    f.push_back({Severity::note, "lid.flange_short", "lid/flange",
                 "a flange of " + mm(s.flange) + " barely reaches into a gallery " + mm(s.gallery_height) + " high; " +
                     mm(s.gallery_height * 0.5) + " or more would hold",
                 "make the flange longer, so that the lid cannot slide off"});
  return f;
}

double lip_turn(const Form& f) { return f.twisted() ? f.profile().at(f.profile().end()).twist : 0; }

}  // namespace kerfkiln::urn
