#include "modeler/urn/lid_describe.hpp"

#include <array>

namespace kerfkiln::urn {
namespace {

constexpr auto kStyles = std::to_array<Choice>({{"cap", "over the neck"}, {"inset", "into the mouth"}});
constexpr auto kFormed =
    std::to_array<Choice>({{"pressed", "both faces formed"}, {"drained", "the inside as draining leaves it"}});
constexpr auto kResist =
    std::to_array<Choice>({{"seat", "on the seat alone"}, {"flange", "on the seat and the faces that guide"}});

void describe_knob(Visitor& v, KnobSpec& k) {
  quantity(v,
           {.key = "diameter",
            .label = "Knob diameter",
            .help = "At its widest; round whatever the lid is.",
            .range = {2, 500},
            .typical = {18, 34},
            .required = true},
           k.diameter);
  quantity(v,
           {.key = "height",
            .label = "Knob height",
            .help = "Above the top of the lid; eight tenths of its diameter if nothing is said.",
            .range = {2, 500},
            .typical = {12, 30}},
           k.height);
  quantity(v,
           {.key = "neck",
            .label = "Knob neck",
            .help = "Diameter where it stands on the lid; six tenths of its own if nothing is said.",
            .range = {2, 500},
            .typical = {10, 18}},
           k.neck);
}

void describe_gallery(Visitor& v, GallerySpec& g) {
  quantity(v,
           {.key = "width",
            .label = "Ledge",
            .help = "How far the ring stands out from the neck's inside.",
            .range = {1, 200},
            .typical = {5, 8},
            .required = true},
           g.width);
  quantity(v,
           {.key = "depth",
            .label = "Gallery depth",
            .help = "From the lip down to the ledge; 4 mm if nothing is said.",
            .range = {0, 500},
            .typical = {3, 8}},
           g.depth);
  quantity(v,
           {.key = "height",
            .label = "Gallery height",
            .help = "Of the ring, top to underside; the urn's wall if nothing is said.",
            .range = {1, 500},
            .typical = {5, 9}},
           g.height);
}

void describe_fit(Visitor& v, FitSpec& f) {
  quantity(v,
           {.key = "least",
            .label = "Least gap",
            .help = "A side, net of glaze: with less the lid binds.",
            .range = {0, 50},
            .typical = {0.2, 0.5},
            .default_text = "0.3 mm",
            .source = "common practice"},
           f.least);
  quantity(v,
           {.key = "most",
            .label = "Largest gap",
            .help = "A side, net of glaze: with more the lid rattles.",
            .range = {0.1, 100},
            .typical = {2.5, 4},
            .default_text = "3 mm",
            .source = "common practice"},
           f.most);
  quantity(v,
           {.key = "correlation",
            .label = "Correlation",
            .help = "Of the shrinkage of urn and lid: 0 for strangers, about 0.9 for the same slip in the same kiln.",
            .range = {0, 1},
            .typical = {0, 0.95},
            .default_text = "0.5",
            .source = "half way between strangers and one batch in one kiln"},
           f.correlation);
  quantity(
      v,
      {.key = "scatter",
       .label = "Scatter of the shrinkage",
       .help = "Standard deviation of the total shrinkage from piece to piece, in points of per cent; used where the "
               "body has no test bars.",
       .range = {0, 0.05},
       .typical = {0.001, 0.004},
       .default_text = "0.2 %",
       .source = "ten bars of a worked example; common practice"},
      f.scatter);
  quantity(v,
           {.key = "wall_scatter",
            .label = "Scatter of a drained wall",
            .help = "Standard deviation of the thickness of a wall that draining forms, fired.",
            .range = {0, 10},
            .typical = {0.1, 0.5},
            .default_text = "0.3 mm",
            .source = "a tenth of the casting time is a twentieth of the wall (growth law); common practice"},
           f.wall_scatter);
  quantity(v,
           {.key = "ovality",
            .label = "Ovality",
            .help = "Largest less smallest diameter of one ring after firing.",
            .range = {0, 50},
            .typical = {0, 0.6},
            .default_text = "0.4 mm",
            .source = "common practice"},
           f.ovality);
}

void describe_point(Visitor& v, LidPoint& p) {
  quantity(v,
           {.key = "height",
            .label = "Height",
            .help = "Above the seat.",
            .range = {0, 5000},
            .typical = {6, 40},
            .required = true},
           p.height);
  quantity(v,
           {.key = "half_width",
            .label = "Half width",
            .help = "Half of the outside width of the lid at this height.",
            .range = {0, 5000},
            .typical = {5, 60},
            .required = true},
           p.half_width);
  v.flag({.key = "corner",
          .label = "Corner",
          .help = "The curve breaks here; between two corners it is straight.",
          .default_text = "false",
          .source = "a smooth curve"},
         p.corner);
}

}  // namespace

void describe(Visitor& v, LidSpec& l) {
  v.text({.key = "style",
          .label = "Style",
          .help = "cap: over the neck, resting on the lip. inset: dropped into the mouth, resting on the lip or on a "
                  "gallery (a ledge inside the neck).",
          .required = true,
          .choices = kStyles},
         l.style);
  v.text({.key = "formed",
          .label = "Formed",
          .help = "pressed, or cast between two faces: the inside is as true as the outside. drained: slip-cast, the "
                  "inside as the slip leaves it.",
          .default_text = "pressed",
          .source = "both faces formed",
          .choices = kFormed},
         l.formed);
  quantity(v,
           {.key = "clearance",
            .label = "Clearance a side",
            .help = "Between the guiding faces, clay to clay, fired; 1.5 mm if nothing is said, 2 mm where draining "
                    "forms one of the faces.",
            .range = {0.1, 50},
            .typical = {1, 2.5}},
           l.clearance);
  quantity(v,
           {.key = "flange",
            .label = "Flange",
            .help = "How far a cap overlaps the neck, or an inset lid drops in; 14 mm if nothing is said.",
            .range = {1, 500},
            .typical = {6, 18}},
           l.flange);
  quantity(v,
           {.key = "height",
            .label = "Height over the seat",
            .help = "Of the lid without its knob; a dome about a third as high as its run if nothing is said.",
            .range = {0.5, 1000},
            .typical = {8, 35}},
           l.height);
  quantity(v,
           {.key = "wall",
            .label = "Wall",
            .help = "Of the lid, along the normal, fired; the urn's if nothing is said.",
            .range = {0.5, 200},
            .typical = {4, 8}},
           l.wall);
  quantity(v,
           {.key = "seat",
            .label = "Seat",
            .help = "Width of the contact with the lip; a wall for a cap, the whole lip for an inset lid if nothing is "
                    "said.",
            .range = {0.5, 200},
            .typical = {4, 8}},
           l.seat);
  list(v,
       {.key = "profile",
        .label = "Own profile",
        .help = "Outside of the lid from the shoulder up, instead of the dome; a smooth curve runs through the points "
                "and the top is level.",
        .range = {0, 100}},
       l.profile, [](Visitor& w, LidPoint& p) { w.record({}, [&p](Visitor& x) { describe_point(x, p); }); });
  v.record({.key = "knob", .label = "Knob", .help = "What the lid is lifted by.", .part = true},
           [&l](Visitor& w) { describe_knob(w, l.knob); });
  v.record(
      {.key = "gallery",
       .label = "Gallery",
       .help = "A ring inside the neck that an inset lid rests on; made apart and joined, since no outer mould can "
               "form it.",
       .part = true},
      [&l](Visitor& w) { describe_gallery(w, l.gallery); });
  v.text({.key = "resist",
          .label = "Resist",
          .help = "Where wax keeps the glaze off: on the seat alone, or on the guiding faces too.",
          .default_text = "seat",
          .source = "common practice",
          .choices = kResist},
         l.resist);
  v.record({.key = "fit", .label = "Fit", .help = "What counts as fitting, and what scatters."},
           [&l](Visitor& w) { describe_fit(w, l.fit); });
}

}  // namespace kerfkiln::urn
