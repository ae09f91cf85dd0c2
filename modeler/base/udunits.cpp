#include "modeler/base/udunits.hpp"

#include <udunits2.h>

#include <cmath>
#include <memory>
#include <mutex>

namespace kerfkiln {
namespace {

struct FreeUnit {
  void operator()(ut_unit* u) const { ut_free(u); }
};
struct FreeConverter {
  void operator()(cv_converter* c) const { cv_free(c); }
};
using Unit = std::unique_ptr<ut_unit, FreeUnit>;

ut_system* units_of_the_world() {
  static ut_system* const system = [] {
    ut_set_error_message_handler(ut_ignore);
    return ut_read_xml(nullptr);
  }();
  return system;
}

// UDUNITS reads far more than units: numbers, products by juxtaposition, time stamps. We pass on unit words only.
bool is_plain_unit(const std::string& text) {
  if (text.empty() || text.size() > 40) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const char before = i == 0 ? ' ' : text[i - 1];
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
    const bool letter_before = (before >= 'a' && before <= 'z') || (before >= 'A' && before <= 'Z');
    const bool exponent = c >= '1' && c <= '9' && (letter_before || before == '^' || before == '-');
    const bool sign = c == '-' && (letter_before || before == '^');
    if (!(letter || exponent || sign || c == '/' || c == '.' || c == '*' || c == '^')) return false;
  }
  return true;
}

}  // namespace

UnitLookup ask_udunits(const std::string& unit, const std::string& canonical) {
  if (!is_plain_unit(unit)) return {};
  static std::mutex mutex;
  const std::lock_guard lock(mutex);
  ut_system* const system = units_of_the_world();
  if (system == nullptr) return {};
  const Unit from(ut_parse(system, unit.c_str(), UT_ASCII));
  const Unit to(ut_parse(system, canonical.c_str(), UT_ASCII));
  if (!from || !to) return {};
  if (ut_are_convertible(from.get(), to.get()) == 0) return {std::nullopt, UnitFailure::other_dimension};
  const std::unique_ptr<cv_converter, FreeConverter> converter(ut_get_converter(from.get(), to.get()));
  if (!converter) return {std::nullopt, UnitFailure::other_dimension};
  const double offset = cv_convert_double(converter.get(), 0);
  const double scale = cv_convert_double(converter.get(), 1) - offset;
  // A reciprocal ("m-1") or logarithmic unit converts too, but not by a straight line.
  if (!std::isfinite(offset) || !std::isfinite(scale) ||
      std::abs(cv_convert_double(converter.get(), 8) - (offset + 8 * scale)) >
          1e-9 * (std::abs(offset) + 8 * std::abs(scale)))
    return {std::nullopt, UnitFailure::other_dimension};
  return {UnitConversion{scale, offset}, UnitFailure::unknown};
}

}  // namespace kerfkiln
