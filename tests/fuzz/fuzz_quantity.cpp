// Any text as a quantity: a finite value or findings with a code, never more.
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "modeler/base/number_text.hpp"
#include "modeler/base/units.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace kerfkiln;
  if (size == 0) return 0;
  const auto dimension = static_cast<Dimension>(data[0] % (static_cast<int>(Dimension::money) + 1));
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  const Result<double> value = parse_quantity(text, dimension);
  if (value ? !std::isfinite(*value) : value.findings().empty() || value.findings().front().code.empty()) std::abort();
  if (value) {
    // What is printed exactly is read back exactly.
    const Result<double> again = parse_quantity(exact_quantity(*value, dimension), dimension);
    if (!again || *again != *value) std::abort();
    if (format_quantity(*value, dimension, Units::inch).empty()) std::abort();
  }
  if (const auto number = parse_number(text); number && parse_number(shortest_number(*number)) != number) std::abort();
  return 0;
}
