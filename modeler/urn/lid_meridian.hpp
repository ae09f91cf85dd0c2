// The lid's cut in the plane of its width: outside, hollow and knob as one line-arc loop. Internal to the lid.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/urn/lid.hpp"

namespace kerfkiln::urn {

// What the urn dictates, half widths in the cut.
struct LidSeatPlan {
  double seat_z = 0;
  double rim_z = 0;         // lowest: the end of flange or skirt
  double rim_in = 0;        // cap: inside of the skirt at its end; inset: inside of the flange
  double rim_out = 0;       // outside of skirt or flange at the end
  double shoulder_in = 0;   // where the dome leaves the level shoulder
  double shoulder_out = 0;  // cap: outside of the skirt at the shoulder; inset: edge of the rim
  double limit = 0;         // half width below which a parallel curve would fold
  double lowest_panel = 0;  // smallest half width at which a dome of our own ends
};

struct LidMeridian {
  plane::Loop loop;            // as in Lid
  std::size_t inside_end = 0;  // as in Lid
  double panel = 0;
};

// The wall holds between the outside above the rim and the hollow: the hollow is what lies at least the wall away from
// the outside. Errors "lid.profile", "lid.mouth", paths as in the design.
Result<LidMeridian> lid_meridian(const LidSize&, const LidSeatPlan&, const std::vector<LidPoint>& profile);

}  // namespace kerfkiln::urn
