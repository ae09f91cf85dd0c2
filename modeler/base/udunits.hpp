// The one door to UDUNITS-2: units that our own table does not promise.
#pragma once
#include <optional>
#include <string>

namespace kerfkiln {

struct UnitConversion {
  double scale = 1, offset = 0;  // canonical = scale * number + offset
};
enum class UnitFailure { unknown, other_dimension };

// Converts from `unit` to the unit `canonical`. Locked: UDUNITS-2 is not thread-safe. The first call reads its unit
// database from disk (some milliseconds), so nothing on the usual path comes here.
struct UnitLookup {
  std::optional<UnitConversion> conversion;
  UnitFailure failure = UnitFailure::unknown;
};
UnitLookup ask_udunits(const std::string& unit, const std::string& canonical);

}  // namespace kerfkiln
