#include "modeler/urn/describe.hpp"

#include <array>

#include <numbers>
#include <vector>
#include "modeler/urn/capacity_describe.hpp"
#include "modeler/urn/lid_describe.hpp"

#include "modeler/urn/section/section_type.hpp"

namespace kerfkiln::urn {
namespace {

constexpr Range kHalfSize{0.1, 5000};
constexpr auto kGivenAt = std::to_array<Choice>({{"fired", "the fired piece"}});
constexpr auto kTangents = std::to_array<Choice>({{"free", "as the curve runs"}, {"level", "horizontal"}});
// The table of sections is the one list.
std::span<const Choice> sections() {
  static const std::vector<Choice> list = [] {
    std::vector<Choice> c;
    for (const SectionType* s : section_types()) c.push_back({s->id, s->id});
    return c;
  }();
  return list;
}
constexpr auto kMade = std::to_array<Choice>({{"solid", "solid, its own thickness"},
                                              {"drain-cast", "drain-cast, as thick as the wall"},
                                              {"added", "added afterwards"}});

void describe_base(Visitor& v, BaseSpec& b) {
  v.text({.key = "made",
          .label = "Base",
          .help = "How the base is made.",
          .default_text = "solid",
          .source = "a base of its own thickness",
          .choices = kMade},
         b.made);
  quantity(v,
           {.key = "thickness",
            .label = "Base thickness",
            .help = "Above the recess, fired; as thick as the wall if nothing is said.",
            .range = {0.5, 200},
            .typical = {4, 10}},
           b.thickness);
  v.record({.key = "foot", .label = "Foot ring", .help = "A ring to stand on, around a recess.", .part = true},
           [&b](Visitor& w) {
             quantity(w,
                      {.key = "width",
                       .label = "Foot width",
                       .help = "Of the ring, outside to recess.",
                       .range = {0.5, 1000},
                       .typical = {6, 12},
                       .required = true},
                      b.foot_width);
             quantity(w,
                      {.key = "recess",
                       .label = "Recess",
                       .help = "Depth of the recess inside the ring.",
                       .range = {0, 200},
                       .typical = {1, 4},
                       .required = true},
                      b.recess);
           });
}

void describe_mould(Visitor& v, Spec& s) {
  v.text({.key = "model",
          .label = "Model",
          .help = "What the prototype is made of; leather-hard clay if nothing is said.",
          .refers_to = "models"},
         s.mould.model);
  v.text({.key = "plaster",
          .label = "Plaster",
          .help = "Of the mould; the built-in pottery plaster if nothing is said.",
          .refers_to = "plasters"},
         s.mould.plaster);
  v.integer({.key = "generations",
             .label = "Plaster generations",
             .help = "Plaster casts between model and ware: 1 for a mould taken off the model, 3 by way of a case.",
             .range = {1, 9},
             .typical = {1, 3},
             .default_text = "1",
             .source = "a mould taken off the model"},
            s.mould.generations);
  later(v, s.kept, "mould/parting", "parting", "Parting", "flats or corners.");
  later(v, s.kept, "mould/wall", "wall", "Mould wall", "Plaster around the cavity.");
  later(v, s.kept, "mould/base", "base", "Base piece", "Thickness of the base piece.");
  later(v, s.kept, "mould/keys", "keys", "Keys", "Radius of the keys.");
  later(v, s.kept, "mould/spare", "spare", "Spare", "Height and flare of the pouring reservoir.");
  later(v, s.kept, "mould/strap_grooves", "strap_grooves", "Strap grooves", "How many.");
}

}  // namespace

void describe(Visitor& v, ProfilePoint& p) {
  quantity(v,
           {.key = "height",
            .label = "Height",
            .help = "Above the foot.",
            .range = {0, 10000},
            .typical = {0, 400},
            .required = true},
           p.height);
  quantity(v,
           {.key = "half_width",
            .label = "Half width",
            .help = "Half of the outside width at this height.",
            .range = kHalfSize,
            .typical = {40, 140},
            .required = true},
           p.half_width);
  quantity(
      v,
      {.key = "half_depth",
       .label = "Half depth",
       .help = "Half of the outside depth; as the half width if nothing is said. Polygons are regular and take none.",
       .range = kHalfSize,
       .typical = {40, 140}},
      p.half_depth);
  quantity(v,
           {.key = "squareness",
            .label = "Squareness",
            .help = "Exponent n of |x/a|^n + |y/b|^n = 1: 2 an ellipse, larger is squarer.",
            .range = {1, kLargestSquareness},
            .typical = {2, 7}},
           p.squareness);
  quantity(
      v,
      {.key = "corner_radius",
       .label = "Corner radius",
       .help = "Of a rounded rectangle or of the arrises of a polygon, seen from above. A rectangle that says nothing "
               "is as round as it can be, a polygon a tenth of its half width.",
       .range = {0, 5000},
       .typical = {8, 40}},
      p.corner_radius);
  v.flag({.key = "corner",
          .label = "Corner",
          .help = "The curve breaks here; between two corners it is straight.",
          .default_text = "false",
          .source = "a smooth curve"},
         p.corner);
  v.text(
      {.key = "tangent",
       .label = "Tangent",
       .help = "level: the curve runs horizontally here, as at the top of a shoulder. Between two points of the same "
               "height it is level anyhow.",
       .default_text = "free",
       .source = "a smooth curve",
       .choices = kTangents},
      p.tangent);
  quantity(v,
           {.key = "twist",
            .label = "Twist",
            .help = "Turn of the section about the axis at this height, counter-clockwise from above; steady between "
                    "the points that say one. Round sections show none.",
            .range = {-2 * std::numbers::pi, 2 * std::numbers::pi},
            .typical = {-1, 1}},
           p.twist);
}

void describe(Visitor& v, Spec& s) {
  v.text({.key = "name",
          .label = "Name",
          .help = "Of the piece; each piece of a design has its own.",
          .required = true,
          .form = TextForm::name},
         s.name);
  v.integer({.key = "count",
             .label = "Count",
             .help = "How many are made.",
             .range = {1, 100000},
             .typical = {1, 24},
             .default_text = "1",
             .source = "one piece"},
            s.count);
  v.text({.key = "body",
          .label = "Clay body",
          .help = "The built-in stoneware if nothing is said.",
          .refers_to = "bodies"},
         s.body);
  v.text({.key = "given_at",
          .label = "Sizes given at",
          .help = "The state that the sizes describe.",
          .default_text = "fired",
          .source = "what the customer receives",
          .choices = kGivenAt},
         s.given_at);
  v.text({.key = "section",
          .label = "Section",
          .help = "Family of the level sections.",
          .default_text = "superellipse",
          .source = "round and squared forms alike",
          .choices = sections()},
         s.section);
  list(v,
       {.key = "profile",
        .label = "Profile",
        .help = "Outside half sizes from the foot up, heights rising; a smooth curve runs through them.",
        .range = {2, 200},
        .required = true},
       s.profile, [](Visitor& w, ProfilePoint& p) { w.record({}, [&p](Visitor& x) { describe(x, p); }); });
  quantity(v,
           {.key = "wall",
            .label = "Wall",
            .help = "Thickness along the normal, fired.",
            .range = {0.5, 200},
            .typical = {4, 9},
            .required = true},
           s.wall);
  v.record({.key = "base", .label = "Base", .help = "Floor and foot."}, [&s](Visitor& w) { describe_base(w, s.base); });
  v.record({.key = "bow", .label = "Bow", .help = "Crown of model and cavity, so that flats dry and fire flat."},
           [&s](Visitor& w) {
             quantity(
                 w,
                 {.key = "flats",
                  .label = "Bow of the flats",
                  .help = "How far model and cavity stand out, fired size, in the middle of the flattest flat; nothing "
                          "at corners, foot, lip and where the section is round. The fired piece is as drawn.",
                  .range = {0, 50},
                  .typical = {0.5, 2}},
                 s.bow.flats);
           });
  v.record({.key = "capacity", .label = "Capacity", .help = "What it holds."},
           [&s](Visitor& w) { describe_capacity(w, s); });
  v.record({.key = "throwing", .label = "Throwing", .help = "How the prototype is thrown and pushed square."},
           [&s](Visitor& w) { describe_throwing(w, s.throwing); });
  v.record({.key = "mould", .label = "Mould", .help = "Plaster mould for slip casting."},
           [&s](Visitor& w) { describe_mould(w, s); });
  v.record({.key = "lid", .label = "Lid", .help = "What closes it.", .part = true},
           [&s](Visitor& w) { describe(w, s.lid); });
  later(v, s.kept, "moulds", "moulds", "Moulds", "How many moulds are in use.");
  v.text({.key = "glaze", .label = "Glaze", .help = "None if nothing is said.", .refers_to = "glazes"}, s.glaze);
  later(v, s.kept, "firings", "firings", "Firings", "Firing schedules by segment.");
}

}  // namespace kerfkiln::urn
