#include <array>

#include "modeler/cushion/crease_spec.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kPlace{-10000, 10000};
constexpr Range kSize{0.1, 10000};
constexpr auto kCuts = std::to_array<Choice>(
    {{"slit", "a saw cut; the tape stands on edge"}, {"trench", "a trench with a floor; the tape lies flat"}});
constexpr auto kDirections = std::to_array<Choice>(
    {{"front to back", "creases run from front to back"}, {"left to right", "creases run across"}});

std::array<TupleItem, 2> place(CreasePoint& p) {
  return {tuple_item({.label = "Across", .help = "To the right of the origin.", .range = kPlace, .typical = {60, 400}},
                     p.x),
          tuple_item({.label = "Back", .help = "Behind the origin.", .range = kPlace, .typical = {60, 400}}, p.y)};
}

void describe_ways(Visitor& v, CreaseSpec& c) {
  list(v,
       {.key = "path",
        .label = "Path",
        .help = "Points [across, back] of a straight or bent crease, as the outline is given. An end beyond the "
                "outline runs out over the edge.",
        .range = {0, 1000}},
       c.path, [](Visitor& w, CreasePoint& p) { w.tuple({.label = "Point", .help = "[across, back]."}, place(p)); });
  list(v,
       {.key = "points",
        .label = "Points",
        .help = "In place of a path where the crease has arcs: each point says how the crease goes on from it.",
        .range = {0, 1000}},
       c.points, [](Visitor& w, CreasePoint& p) {
         w.record({}, [&p](Visitor& x) {
           x.tuple({.key = "at", .label = "Place", .help = "[across, back].", .required = true}, place(p));
           quantity(x,
                    {.key = "bulge",
                     .label = "Bulge",
                     .help = "Of the stretch that starts here: tangent of a quarter of the arc's angle, positive "
                             "counter-clockwise, 0 straight.",
                     .range = {-1, 1}},
                    p.bulge);
         });
       });
  v.flag({.key = "closed",
          .label = "Closed",
          .help = "The last point joins the first.",
          .default_text = "false",
          .source = "open"},
         c.closed);
}

void describe_patterns(Visitor& v, CreaseSpec& c) {
  const auto margin = [](Visitor& w, Length& m) {
    quantity(w,
             {.key = "margin",
              .label = "Margin",
              .help = "Left free along the outline; if nothing is said the creases run out over the edge.",
              .range = {0, 5000}},
             m);
  };
  v.record({.key = "diamonds",
            .label = "Diamonds",
            .help = "In place of a path: two families of slanting creases, one diamond about the middle of the piece.",
            .part = true},
           [&](Visitor& w) {
             quantity(
                 w,
                 {.key = "width", .label = "Width", .help = "Of a diamond, across.", .range = kSize, .required = true},
                 c.diamonds.width);
             quantity(w,
                      {.key = "length",
                       .label = "Length",
                       .help = "Of a diamond, front to back.",
                       .range = kSize,
                       .required = true},
                      c.diamonds.length);
             margin(w, c.diamonds.margin);
           });
  v.record(
      {.key = "channels",
       .label = "Channels",
       .help = "In place of a path: parallel creases, one channel about the middle of the piece.",
       .part = true},
      [&](Visitor& w) {
        quantity(
            w,
            {.key = "spacing", .label = "Spacing", .help = "From crease to crease.", .range = kSize, .required = true},
            c.channels.spacing);
        w.text({.key = "direction",
                .label = "Direction",
                .help = "Which way the creases run.",
                .default_text = "front to back",
                .source = "common practice",
                .choices = kDirections},
               c.channels.direction);
        margin(w, c.channels.margin);
      });
}

}  // namespace

void describe(Visitor& v, CreaseSpec& c) {
  describe_ways(v, c);
  describe_patterns(v, c);
  v.text({.key = "cut",
          .label = "Cut",
          .help = "slit: one saw cut. trench: wide enough for the tape, the topper and the cover folded in.",
          .default_text = "slit",
          .source = "common practice",
          .choices = kCuts},
         c.cut);
  quantity(v,
           {.key = "depth",
            .label = "Depth",
            .help = "Below the top of the shaped foam.",
            .range = {0.1, 2000},
            .typical = {15, 40},
            .default_text = "40 mm",
            .source = "common practice"},
           c.depth);
  quantity(v,
           {.key = "kerf",
            .label = "Kerf",
            .help = "Width of the saw cut of a slit.",
            .range = {0.1, 100},
            .typical = {2, 8},
            .default_text = "4 mm",
            .source = "common practice"},
           c.kerf);
  quantity(v,
           {.key = "tape",
            .label = "Tape",
            .help = "Width of the tape that holds the cover down.",
            .range = {1, 500},
            .typical = {16, 38},
            .default_text = "20 mm",
            .source = "common practice"},
           c.tape);
}

}  // namespace kerfkiln::cushion
