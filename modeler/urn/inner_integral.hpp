// Integrals over the inside, level by level. Internal to the measures.
#pragma once
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

struct InnerSums {
  double volume = 0, moment = 0, area = 0;  // mm3, about z = 0: mm4, side alone: mm2
  double error = 0;                         // of the volume, estimated; mm3
  InnerSums& operator+=(const InnerSums& b) {
    volume += b.volume, moment += b.moment, area += b.area, error += b.error;
    return *this;
  }
};
// Between two levels inside floor ... lip.
InnerSums integrate_inside(const Wall&, double z0, double z1);
// By a coarser rule, for the steps towards an answer. Untrimmed: 1e-9 as a rule, 1e-4 of the sharpest; trimmed: about
// 1e-4, 1e-3 at worst.
InnerSums integrate_inside_coarsely(const Wall&, double z0, double z1);
double inner_section_area(const Wall&, double z);  // mm2
double recess_area(const Wall&);                   // mm2, 0 without a recess

}  // namespace kerfkiln::urn
