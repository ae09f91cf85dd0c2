// Seeded designs for property tests: valid by construction, sizes out of the usual ranges of the parameter tables, so
// that a new field or edge profile is drawn without a change here. The same seed gives the same design on any machine.
#pragma once
#include <cstdint>
#include <string>

#include "modeler/cushion/spec.hpp"
#include "modeler/job/design.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::test {

// SplitMix64 (Steele, Lea, Flood 2014): one 64-bit state, the same sequence everywhere.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next();
  double between(double low, double high);  // uniform, low <= x < high
  int below(int n);                         // 0 ... n - 1
  bool chance(double p) { return between(0, 1) < p; }

 private:
  std::uint64_t state_;
};

// Rectangles with corner radii, L and T outlines by vertices (some corners rounded, some segments bulged), holes;
// 1 ... 4 layers; every edge profile, by side, top and bottom, also with radii larger than the corner radius; given at
// the core without skins, or dressed with cover and batting; some with zones of other foam.
cushion::Spec random_cushion(std::uint64_t seed);
// Round, elliptic, superellipse and rounded-rectangle sections, 3 ... 8 profile points, corners, foot with recess.
urn::Spec random_urn(std::uint64_t seed);
// A whole design of 1 ... 4 such pieces with materials, in millimetres or inches, written in many spellings.
job::Design random_design(std::uint64_t seed);

}  // namespace kerfkiln::test
