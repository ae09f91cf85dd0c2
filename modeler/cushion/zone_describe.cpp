#include "modeler/cushion/zone_spec.hpp"

namespace kerfkiln::cushion {

void describe(Visitor& v, ZoneSpec& z) {
  v.text({.key = "foam", .label = "Foam", .help = "Foam of this zone.", .required = true, .refers_to = "foams"},
         z.foam);
  v.record({.key = "strip", .label = "Strip", .help = "The band along one side of the core.", .part = true},
           [&z](Visitor& w) {
             w.text({.key = "side",
                     .label = "Side",
                     .help = "Along which the band lies; the side is run on straight round corners.",
                     .required = true},
                    z.strip.side);
             quantity(w,
                      {.key = "width",
                       .label = "Width",
                       .help = "Of the band, from the side of the core.",
                       .range = {1, 10000},
                       .typical = {40, 150},
                       .required = true},
                      z.strip.width);
           });
  describe(v, z.outline, "Of the zone, seen from above, in place of a strip; what lies outside the core is cut off.",
           false);
}

}  // namespace kerfkiln::cushion
