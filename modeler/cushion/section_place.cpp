#include "modeler/cushion/section_place.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>
#include <vector>

#include "modeler/cushion/region_rays.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr double kClearMm = 3;     // from the wall of a cut
constexpr double kAlongMm = 30;    // a crossing on the slant is shorter
constexpr double kAlongTimes = 4;  // the width of the cut

bool runs_along(const Core& core, bool across, double place) {
  const plane::Box box = plane::bounds(core.outline());
  const double low = across ? box.low.x : box.low.y, high = across ? box.high.x : box.high.y;
  const Vec2 from = across ? Vec2{low - 1, place} : Vec2{place, low - 1}, along = across ? Vec2{1, 0} : Vec2{0, 1};
  for (const Crease& c : core.cuts.creases)
    for (const CreaseRun& run : c.runs) {
      std::vector<RegionRays::Part> parts;
      std::uint64_t label = 0;
      RegionRays(std::span(&run.strip, 1)).along(from, along, high - low + 2, parts, label);
      for (const RegionRays::Part& p : parts)
        if (p.to - p.from > std::max(kAlongMm, kAlongTimes * c.width_mm)) return true;
    }
  return false;
}

}  // namespace

SectionPlace section_place(const Core& core, bool across) {
  const plane::Box box = plane::bounds(core.outline());
  const double low = across ? box.low.y : box.low.x, size = across ? box.depth() : box.width();
  const double middle = low + size / 2;
  const auto clear = [&](double place) {
    return !runs_along(core, across, place) && !runs_along(core, across, place - kClearMm) &&
           !runs_along(core, across, place + kClearMm);
  };
  if (!clear(middle)) {
    constexpr int kSteps = 30;  // to a quarter of the size, either way
    for (int i = 1; i <= kSteps; ++i)
      for (const double way : {-1.0, 1.0}) {
        const double place = low + std::round(middle - low + way * i * size / 4 / kSteps);  // in whole millimetres
        if (clear(place)) return {place, mm_text(place - low) + (across ? " from the front" : " from the left")};
      }
  }
  return {middle, across ? "at mid depth" : "at mid width"};
}

}  // namespace kerfkiln::cushion
