// Quantities as makers write them, and as documents print them.
#pragma once
#include <string>
#include <string_view>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/base/result.hpp"

namespace kerfkiln {

// What lengths without a unit are in, and what documents print lengths in.
enum class Units { mm, inch };

// Reads "18 mm", "1 1/2 in", "3/4 in", "65 kg/m3", "6 %", "35 lbf", "0.75 oz/ft2", "100 degC/h" into the canonical
// unit of the dimension. The whole text must be one finite number and one unit of that dimension; a unit may be left
// out of plain, ratio and money only. Findings have an empty path and one of the codes
//   quantity.empty  quantity.number  quantity.overflow  quantity.unit.missing  quantity.unit.unknown
//   quantity.dimension
// Units we promise are ours (exact factors); all others are asked of UDUNITS-2. Thread-safe.
Result<double> parse_quantity(std::string_view text, Dimension);

// A bare number of the file in canonical units: lengths are in `units`; only length, plain, ratio and money may be
// written without a unit (code "quantity.unit.missing").
Result<double> bare_quantity(double number, Dimension, Units);

// For documents: "12.5 mm", "0.4921 in", "3.6 L", "6 %", with as many decimals as the bench can use.
std::string format_quantity(double canonical, Dimension, Units);
// "0.5 mm to 50 mm", "more than 0 mm", "at most 40"; "any" when not limited.
std::string format_range(const Range&, Dimension, Units);
// The exact value in the canonical unit, to be read back bit for bit: "12.7 mm", "28.83 kg/m3", "0.06" for a ratio.
std::string exact_quantity(double canonical, Dimension);

// "a length such as \"18 mm\", \"4 cm\" or \"3/4 in\"": for messages, schema and help.
std::string_view expected_quantity(Dimension);
std::string_view dimension_name(Dimension);  // "length", "mass per area"
std::string_view canonical_unit(Dimension);  // "mm", "kg/m3", "" for plain

}  // namespace kerfkiln
