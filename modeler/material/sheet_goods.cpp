// Barrier cloths and boards.
#include "modeler/material/describe.hpp"
#include "modeler/material/kept_fields.hpp"

namespace kerfkiln::material {

void describe(Visitor& v, Barrier& b) {
  quantity(v,
           {.key = "thickness",
            .label = "Thickness",
            .help = "Of the barrier cloth between cover and foam.",
            .range = {0.01, 20},
            .typical = {0.2, 1},
            .required = true},
           b.thickness);
  quantity(v,
           {.key = "mass_per_area",
            .label = "Mass per area",
            .help = "Of the barrier cloth, for the mass of the bag.",
            .range = {0.005, 5},
            .typical = {0.08, 0.4}},
           b.mass_per_area);
  unit_price(v, b.kept);
  evidence(v, b.kept);
}

void describe(Visitor& v, Board& b) {
  quantity(v,
           {.key = "density",
            .label = "Density",
            .help = "Of the board.",
            .range = above_zero(3000),
            .typical = {400, 900},
            .required = true},
           b.density);
  quantity(v,
           {.key = "price",
            .label = "Price",
            .help = "Of a square metre of the board, in the money the job is reckoned in.",
            .range = {0, 1e9},
            .typical = {10, 60}},
           b.price);
  evidence(v, b.kept);
}

}  // namespace kerfkiln::material
