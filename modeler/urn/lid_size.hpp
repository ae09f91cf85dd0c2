// From what the maker typed to the lid's sizes and to what neck and mouth dictate. Internal to the lid.
#pragma once
#include "modeler/urn/lid_meridian.hpp"

namespace kerfkiln::urn {

// Sizes that no geometry is needed for; height, seat and gallery as typed (NaN: to be found).
LidSize lid_size(const Spec&);
// "lid.knob", "lid.knob_thick", "lid.no_knob", "lid.thin", "lid.gallery", "lid.flange_short": what can be said from the
// numbers alone.
Findings check_lid_size(const Spec&, const LidSize&);

// Seat, guide and outline for a neck or a mouth.
struct LidPlan {
  LidSize size;  // complete
  LidOutline outline;
  LidSeatPlan seat;
  double seat_from = 0, seat_to = 0;
  double guide_urn = 0, guide_lid = 0, gap_least = 0, gap_most = 0, rim_gap = 0;
  double mouth = 0;  // clear width that is left of the opening, mm: lip or gallery
  Findings findings;
};
// Errors as in make_lid.
Result<LidPlan> plan_cap(const Spec&, const Wall&, LidSize);
Result<LidPlan> plan_inset(const Spec&, const Wall&, LidSize);

// Coordinates of the lip: a twisted form's lip is turned, and the lid with it. Radians.
double lip_turn(const Form&);

}  // namespace kerfkiln::urn
