// Seeded cushions with creases and pockets, for property tests.
#pragma once
#include <cstdint>
#include <vector>

#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/spec.hpp"

namespace kerfkiln::test {

// random_cushion(seed) with slits and trenches (straight, bent, arcs, closed, out over the edge or ending inside,
// crossing one another; now and then a pattern) and pockets from top, bottom and sides. What would be refused by itself
// is drawn again, a few times; nearly every design has a cut.
cushion::Spec random_cut_cushion(std::uint64_t seed);

// The same without the product: its exact form, the layers' levels and what is cut.
struct CutForm {
  cushion::Form form;
  std::vector<double> levels;
  cushion::Cuts cuts;
};
CutForm random_cut_form(std::uint64_t seed);

}  // namespace kerfkiln::test
