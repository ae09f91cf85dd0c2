#include <array>

#include "modeler/cushion/load_spec.hpp"

namespace kerfkiln::cushion {

void describe(Visitor& v, LoadSpec& l) {
  constexpr Range kPlace{-10000, 10000};
  quantity(v,
           {.key = "person",
            .label = "Person",
            .help = "Mass of who uses it; 85 kg is usual.",
            .range = {1, 1000},
            .typical = {50, 115},
            .required = true},
           l.person);
  quantity(v,
           {.key = "heavy_person",
            .label = "Heavy person",
            .help = "Mass of the heaviest user to reckon with.",
            .range = {1, 1000},
            .typical = {90, 140},
            .default_text = "115 kg",
            .source = "95th percentile of men in chair loads, 253 lb (BIFMA G1)"},
           l.heavy_person);
  quantity(v,
           {.key = "share",
            .label = "Share",
            .help = "Of the body's weight that this piece carries: 0.65 to 0.8 on a seat, 0.2 to 0.3 on a back rest, "
                    "0.1 to 0.15 on two arm rests together.",
            .range = {0.001, 1},
            .typical = {0.1, 0.8},
            .default_text = "0.75",
            .source = "seats 0.65 to 0.80 (from memory)"},
           l.share);
  quantity(v,
           {.key = "contact_area",
            .label = "Contact area",
            .help = "Over which the load is spread evenly.",
            .range = {100, 4e6},
            .typical = {90000, 140000},
            .default_text = "0.11 m2",
            .source = "0.09 to 0.14 m2 on a soft seat (from memory)"},
           l.contact_area);
  const auto at = std::to_array<TupleItem>(
      {tuple_item({.label = "Across", .help = "To the right of the origin.", .range = kPlace, .typical = {0, 900}},
                  l.x),
       tuple_item({.label = "Back", .help = "Behind the origin.", .range = kPlace, .typical = {0, 800}}, l.y)});
  v.tuple({.key = "at",
           .label = "Place",
           .help = "[across, back] of the middle of the load; the middle of the outline's extent if left out."},
          at);
  quantity(v,
           {.key = "height",
            .label = "Height above the floor",
            .help = "Of the unloaded top at the load; with it the loaded seat height is reported.",
            .range = {0, 3000},
            .typical = {380, 520}},
           l.height);
}

}  // namespace kerfkiln::cushion
