#include <array>

#include "modeler/cushion/rise_spec.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kCrown{0, 500};
constexpr Range kHeight{-500, 500};
constexpr Range kPlace{0, 10000};
constexpr auto kSides = std::to_array<Choice>(
    {{"both", "left and right"}, {"left", "the left side only"}, {"right", "the right side only"}});

void height_points(Visitor& v, const FieldInfo& info, std::vector<HeightPointSpec>& points) {
  list(v, info, points, [](Visitor& w, HeightPointSpec& p) {
    const auto pair = std::to_array<TupleItem>(
        {tuple_item({.label = "At", .help = "From the front, or from the left.", .range = kPlace, .typical = {0, 500}},
                    p.at),
         tuple_item({.label = "Height", .help = "Above the flat top.", .range = kHeight, .typical = {-10, 20}},
                    p.height)});
    w.tuple({.label = "Point", .help = "[place, height]."}, pair);
  });
}

void length(Visitor& v, std::string_view key, std::string_view label, std::string_view help, Range range, Range typical,
            Length& value, bool required = false) {
  quantity(v, {.key = key, .label = label, .help = help, .range = range, .typical = typical, .required = required},
           value);
}

}  // namespace

void describe(Visitor& v, CrownSpec& c) {
  length(v, "top", "Top crown", "How far the middle of the top stands above its rim, as a stretched skin bulges.",
         kCrown, {5, 25}, c.top);
  length(v, "bottom", "Bottom crown", "How far the middle of the underside bulges downward.", kCrown, {5, 25},
         c.bottom);
}

void describe(Visitor& v, ContourSpec& c) {
  height_points(v,
                {.key = "along_depth",
                 .label = "Along the depth",
                 .help = "Heights from front to back: a smooth curve through the points, level beyond them. "
                         "On a back rest the front is its lower end.",
                 .range = {0, 64}},
                c.along_depth);
  height_points(v,
                {.key = "across_width",
                 .label = "Across the width",
                 .help = "Heights from left to right: a smooth curve through the points, level beyond them.",
                 .range = {0, 64}},
                c.across_width);
  v.record({.key = "wedge", .label = "Wedge", .help = "A straight slope of the top.", .part = true}, [&c](Visitor& w) {
    length(w, "front", "At the front", "Height added at the front.", kHeight, {0, 15}, c.wedge.front);
    length(w, "back", "At the back", "Height added at the back.", kHeight, {0, 30}, c.wedge.back);
    length(w, "left", "At the left", "Height added at the left side.", kHeight, {0, 10}, c.wedge.left);
    length(w, "right", "At the right", "Height added at the right side.", kHeight, {0, 10}, c.wedge.right);
  });
  v.record({.key = "bolsters",
            .label = "Bolsters",
            .help = "Flanks that stand up along the left and right sides.",
            .part = true},
           [&c](Visitor& w) {
             length(w, "width", "Bolster width", "From the side to where the top is flat again.", {1, 5000}, {50, 90},
                    c.bolsters.width, true);
             length(w, "height", "Bolster height", "At the side.", {-500, 500}, {15, 40}, c.bolsters.height, true);
             w.text({.key = "sides",
                     .label = "On",
                     .help = "Which sides have one.",
                     .default_text = "both",
                     .source = "symmetry",
                     .choices = kSides},
                    c.bolsters.sides);
           });
  v.record({.key = "lumbar",
            .label = "Lumbar bulge",
            .help = "A bulge across the whole width that carries the small of the back.",
            .part = true},
           [&c](Visitor& w) {
             length(w, "at", "Crest", "From the front, on a back rest its lower end, to the crest.", kPlace, {150, 250},
                    c.lumbar.at, true);
             length(w, "height", "Bulge height", "At the crest; 10 to 25 mm is usual.", {-500, 500}, {10, 25},
                    c.lumbar.height, true);
             length(w, "width", "Bulge width", "From where it begins to where it ends.", {1, 5000}, {150, 250},
                    c.lumbar.width, true);
           });
}

}  // namespace kerfkiln::cushion
