#include "modeler/urn/capacity_describe.hpp"

#include <array>

namespace kerfkiln::urn {
namespace {

constexpr auto kBy = std::to_array<Choice>(
    {{"uniform", "in all directions alike"}, {"height", "in height alone"}, {"girth", "in girth alone"}});
constexpr auto kKeep = std::to_array<Choice>({{"nothing", "nothing"}, {"neck", "the neck, and with it the lid"}});

}  // namespace

void describe_capacity(Visitor& v, Spec& s) {
  quantity(v,
           {.key = "fill_below_lip",
            .label = "Fill line below the lip",
            .help = "Where the fill line runs.",
            .range = {0, 5000},
            .typical = {0, 25},
            .default_text = "0 mm",
            .source = "filled to the lip"},
           s.fill_below_lip);
  CapacitySpec& c = s.capacity;
  quantity(v,
           {.key = "target",
            .label = "Target",
            .help = "Fired capacity to the fill line; the outer form is scaled until it holds this much, wall, base "
                    "and fill distance kept. The drawn form as it is if nothing is said.",
            .range = {1e3, 1e9}},
           c.target);
  v.text({.key = "by",
          .label = "Scaled",
          .help = "How the form grows or shrinks to the target.",
          .default_text = "uniform",
          .source = "keeps the proportions",
          .choices = kBy},
         c.by);
  v.text({.key = "keep",
          .label = "Kept",
          .help = "What keeps its size while the form is scaled. The neck begins at the lowest corner above the belly.",
          .default_text = "nothing",
          .source = "keeps the proportions",
          .choices = kKeep},
         c.keep);
  quantity(
      v,
      {.key = "person",
       .label = "Person",
       .help = "Living mass of the adult whom the urn is for; the capacity is compared with the common rule of one "
               "cubic inch a pound.",
       .range = {1, 500},
       .typical = {45, 110}},
      c.person);
  quantity(v,
           {.key = "margin",
            .label = "Margin",
            .help = "Added to what the rule asks for.",
            .range = {0, 2},
            .default_text = "10 %",
            .source = "common practice"},
           c.margin);
  quantity(v,
           {.key = "remains",
            .label = "Filled with",
            .help = "Mass that is filled in, for the balance; 3.5 % of the person's mass if nothing is said, or as "
                    "much as the fill line allows.",
            .range = {0.001, 1000}},
           c.remains);
  quantity(v,
           {.key = "filling",
            .label = "Bulk density of the filling",
            .help = "Mass of a litre, loosely filled.",
            .range = {100, 5000},
            .default_text = "0.969 kg/L",
            .source = "implied by 1 in3/lb and 3.5 % of the body mass (Warren and Maples 1997); no measurement found"},
           c.filling);
}

void describe_throwing(Visitor& v, ThrowingSpec& t) {
  quantity(v,
           {.key = "stretch",
            .label = "Stretch",
            .help = "Perimeter of the squared section over that of the thrown round; above 1 where paddling draws the "
                    "wall out.",
            .range = {0.8, 1.5},
            .default_text = "1",
            .source = "the wall keeps its length"},
           t.stretch);
  quantity(v,
           {.key = "every",
            .label = "Stations every",
            .help = "Height between the diameters of the throwing guide, wet.",
            .range = {1, 1000},
            .default_text = "20 mm",
            .source = "common practice"},
           t.every);
}

}  // namespace kerfkiln::urn
