// Booleans of line-arc regions in plain arithmetic, for boundaries that cross each other cleanly: the filter before the
// exact arithmetic of region.cpp.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/plane/region.hpp"

namespace kerfkiln::plane {

enum class Combining { united, intersected, subtracted };

// What region.hpp says, or nothing where rounding could have a say: a corner of one boundary within 1e-5 mm of the
// other, boundaries that touch or cross at less than a thousandth of a radian, crossings closer than 1e-5 mm to each
// other, outlines of one region that come as close. Loops that nothing crosses come back as they are; the others begin
// where they did as far as that is left, a's before b's. Precondition: each outline is simple.
std::optional<Region> combined_where_clear(const Region& a, const Region& b, Combining);

// Names of sides of several outlines, each once, in the order in which they are met.
class SideNames {
 public:
  // For each side of the outline its index among all names.
  std::vector<int> add(const Outline&);
  const std::vector<std::string>& all() const { return names_; }

 private:
  std::vector<std::string> names_;
};

}  // namespace kerfkiln::plane
