#include <array>

#include "modeler/cushion/pocket_spec.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kPlace{-10000, 10000};
constexpr Range kSize{0.1, 10000};

void length(Visitor& v, std::string_view key, std::string_view label, std::string_view help, Range range,
            std::string_view otherwise, std::string_view source, Length& value) {
  quantity(v, {.key = key, .label = label, .help = help, .range = range, .default_text = otherwise, .source = source},
           value);
}
std::array<TupleItem, 2> place(Length& x, Length& y) {
  return {tuple_item({.label = "Across", .help = "To the right of the origin.", .range = kPlace}, x),
          tuple_item({.label = "Back", .help = "Behind the origin.", .range = kPlace}, y)};
}

}  // namespace

void describe(Visitor& v, PocketSpec& p) {
  v.text({.key = "from",
          .label = "From",
          .help = "bottom, top, or the name of a straight side that the pocket is cut into.",
          .default_text = "bottom",
          .source = "common practice"},
         p.from);
  describe(v, p.outline,
           "Of the pocket, seen from above; of a pocket from a side, seen from outside: along the side and up from the "
           "underside.",
           true);
  quantity(v,
           {.key = "depth",
            .label = "Depth",
            .help = "From the face of the foam to the pocket's floor, a lid included.",
            .range = {0.1, 5000},
            .required = true},
           p.depth);
  v.record({.key = "lid",
            .label = "Lid",
            .help = "A lid of board and foam, flush with the top: the pocket becomes a storage cavity.",
            .part = true},
           [&p](Visitor& w) {
             w.text(
                 {.key = "foam", .label = "Lid foam", .help = "On the board.", .required = true, .refers_to = "foams"},
                 p.lid.foam);
             length(w, "foam_thickness", "Foam on the lid", "Above the board.", kSize, "40 mm", "common practice",
                    p.lid.foam_thickness);
             w.text({.key = "board",
                     .label = "Board of the lid",
                     .help = "What the lid's board is of, such as \"ply\".",
                     .default_text = "ply",
                     .source = "common practice"},
                    p.lid.board);
             length(w, "board_thickness", "Lid board", "Of the board.", {1, 100}, "9 mm",
                    "common practice: 9 mm ply or more", p.lid.board_thickness);
             length(w, "lip", "Lip", "How far the lid rests on the foam around the cavity.", {1, 500}, "10 mm",
                    "common practice", p.lid.lip);
           });
  v.flag({.key = "lining",
          .label = "Lining",
          .help = "Draws the lining panels of the pocket's walls and floor.",
          .default_text = "false",
          .source = "unlined"},
         p.lining);
}

void describe(Visitor& v, BoardSpec& b) {
  v.text({.key = "material", .label = "Board", .help = "What the board is of, such as \"ply\".", .required = true},
         b.material);
  length(v, "thickness", "Thickness", "Of the board.", {1, 100}, "9 mm", "common practice", b.thickness);
  quantity(v,
           {.key = "density",
            .label = "Density",
            .help = "For the mass of the board; that of the material of the same name if nothing is said.",
            .range = above_zero(3000)},
           b.density);
  length(v, "inset", "Inset", "How much smaller than the core the board is, each side.", {0, 1000}, "0 mm",
         "as large as the core", b.inset);
  list(v, {.key = "holes", .label = "Holes", .help = "Vent and fixing holes.", .range = {0, 1000}}, b.holes,
       [](Visitor& w, BoardHoleSpec& h) {
         w.record({}, [&h](Visitor& x) {
           x.tuple({.key = "at", .label = "Place", .help = "[across, back] of its middle.", .required = true},
                   place(h.x, h.y));
           quantity(
               x,
               {.key = "diameter", .label = "Diameter", .help = "Of the hole.", .range = {0.5, 1000}, .required = true},
               h.diameter);
           x.text({.key = "insert", .label = "Insert", .help = "What is driven into it, such as \"M6 T-nut\"."},
                  h.insert);
         });
       });
  quantity(v,
           {.key = "wrap_under",
            .label = "Wrap under",
            .help = "How far the cover is turned under the board and stapled.",
            .range = {1, 500}},
           b.wrap_under);
}

void describe(Visitor& v, UndersideSpec& u) {
  length(v, "tape", "Tape", "Width of the tape.", {1, 500}, "50 mm", "common practice", u.tape);
  list(v,
       {.key = "path",
        .label = "Path",
        .help = "Points [across, back] of the tape's middle line, seen from above.",
        .range = {2, 1000},
        .required = true},
       u.path,
       [](Visitor& w, TapePointSpec& p) { w.tuple({.label = "Point", .help = "[across, back]."}, place(p.x, p.y)); });
}

}  // namespace kerfkiln::cushion
