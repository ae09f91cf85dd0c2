#include "modeler/base/units.hpp"

#include <array>
#include <numbers>
#include <optional>

#include "modeler/base/number_text.hpp"
#include "modeler/base/udunits.hpp"

namespace kerfkiln {
namespace {

using enum Dimension;

struct UnitRow {
  std::string_view name;
  Dimension dimension;
  double scale;  // canonical = scale * number + offset
  double offset = 0;
};

// Exact by definition: the inch is 25.4 mm, the pound 0.45359237 kg (international yard and pound agreement, 1959;
// NIST Special Publication 811, appendix B); standard gravity 9.80665 m/s2 (BIPM, SI brochure); the ounce is 1/16 lb.
constexpr double kInch = 25.4, kFoot = 304.8, kPound = 0.45359237, kOunce = kPound / 16, kGravity = 9.80665;
constexpr double kSquareFoot_m2 = 0.3048 * 0.3048, kCubicFoot_m3 = 0.3048 * 0.3048 * 0.3048;
constexpr double kSquareYard_m2 = 9 * kSquareFoot_m2, kSquareInch_m2 = 0.0254 * 0.0254;
constexpr double kUsGallon_mm3 = 231 * 25.4 * 25.4 * 25.4;  // 231 in3 (NIST Handbook 44, appendix C)

constexpr auto kUnits = std::to_array<UnitRow>({
    {"", plain, 1},
    {"", ratio, 1},
    {"", money, 1},
    {"%", ratio, 0.01},
    {"mm", length, 1},
    {"cm", length, 10},
    {"m", length, 1000},
    {"um", length, 0.001},
    {"in", length, kInch},
    {"inch", length, kInch},
    {"\"", length, kInch},
    {"ft", length, kFoot},
    {"'", length, kFoot},
    {"yd", length, 3 * kFoot},
    {"mm2", area, 1},
    {"cm2", area, 100},
    {"m2", area, 1e6},
    {"in2", area, kInch* kInch},
    {"ft2", area, kFoot* kFoot},
    {"yd2", area, 9 * kFoot* kFoot},
    {"mm3", volume, 1},
    {"cm3", volume, 1e3},
    {"m3", volume, 1e9},
    {"mL", volume, 1e3},
    {"ml", volume, 1e3},
    {"cL", volume, 1e4},
    {"L", volume, 1e6},
    {"l", volume, 1e6},
    {"in3", volume, kInch* kInch* kInch},
    {"ft3", volume, kFoot* kFoot* kFoot},
    {"gal", volume, kUsGallon_mm3},
    {"qt", volume, kUsGallon_mm3 / 4},
    {"kg", mass, 1},
    {"g", mass, 1e-3},
    {"t", mass, 1e3},
    {"lb", mass, kPound},
    {"oz", mass, kOunce},
    {"kg/m3", density, 1},
    {"g/cm3", density, 1e3},
    {"kg/L", density, 1e3},
    {"kg/l", density, 1e3},
    {"g/L", density, 1},
    {"g/mL", density, 1e3},
    {"lb/ft3", density, kPound / kCubicFoot_m3},
    {"kg/m2", mass_per_area, 1},
    {"g/m2", mass_per_area, 1e-3},
    {"oz/ft2", mass_per_area, kOunce / kSquareFoot_m2},
    {"oz/yd2", mass_per_area, kOunce / kSquareYard_m2},
    {"lb/ft2", mass_per_area, kPound / kSquareFoot_m2},
    {"N", force, 1},
    {"kN", force, 1e3},
    {"lbf", force, kPound* kGravity},
    {"kgf", force, kGravity},
    {"kPa", pressure, 1},
    {"Pa", pressure, 1e-3},
    {"MPa", pressure, 1e3},
    {"bar", pressure, 100},
    {"psi", pressure, kPound* kGravity / kSquareInch_m2 / 1e3},
    {"s", Dimension::time, 1},
    {"min", Dimension::time, 60},
    {"h", Dimension::time, 3600},
    {"d", Dimension::time, 86400},
    {"degC", temperature, 1},
    {"degF", temperature, 5.0 / 9, -32 * 5.0 / 9},
    {"K", temperature, 1, -273.15},
    {"degC/h", heating_rate, 1},
    {"K/h", heating_rate, 1},
    {"degF/h", heating_rate, 5.0 / 9},
    {"degC/min", heating_rate, 60},
    {"K/min", heating_rate, 60},
    {"degF/min", heating_rate, 60 * 5.0 / 9},
    {"rad", angle, 1},
    {"deg", angle, std::numbers::pi / 180},
});

struct DimensionRow {
  std::string_view name, unit, expected;
};
constexpr DimensionRow row(Dimension d) {
  switch (d) {
    case plain:
      return {"plain number", "", "a number such as 2 or 4.5"};
    case ratio:
      return {"share", "", "a share such as 0.06 or \"6 %\""};
    case length:
      return {"length", "mm", "a length such as \"18 mm\", \"4 cm\" or \"1 1/2 in\""};
    case area:
      return {"area", "mm2", "an area such as \"0.11 m2\" or \"170 in2\""};
    case volume:
      return {"volume", "mm3", "a volume such as \"3.6 L\" or \"200 in3\""};
    case mass:
      return {"mass", "kg", "a mass such as \"85 kg\" or \"190 lb\""};
    case density:
      return {"density", "kg/m3", "a density such as \"65 kg/m3\" or \"1.8 lb/ft3\""};
    case mass_per_area:
      return {"mass per area", "kg/m2", "a mass per area such as \"80 g/m2\" or \"0.75 oz/ft2\""};
    case force:
      return {"force", "N", "a force such as \"150 N\" or \"35 lbf\""};
    case pressure:
      return {"pressure", "kPa", "a pressure such as \"4 kPa\" or \"0.6 psi\""};
    case Dimension::time:
      return {"time", "s", "a time such as \"30 min\" or \"2 h\""};
    case temperature:
      return {"temperature", "degC", "a temperature such as \"1000 degC\""};
    case heating_rate:
      return {"heating rate", "degC/h", "a heating rate such as \"100 degC/h\""};
    case angle:
      return {"angle", "rad", "an angle such as \"15 deg\""};
    case money:
      return {"price", "", "a number such as 120"};
  }
  return {};
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t'; }
std::string_view trimmed(std::string_view s) {
  while (!s.empty() && is_blank(s.front())) s.remove_prefix(1);
  while (!s.empty() && is_blank(s.back())) s.remove_suffix(1);
  return s;
}
std::string quoted(std::string_view s) { return "\"" + std::string(s.substr(0, 80)) + "\""; }

Finding complaint(std::string code, std::string message, Dimension d) {
  return {Severity::error, std::move(code), "", std::move(message), "Write " + std::string(expected_quantity(d)) + "."};
}

std::size_t digits(std::string_view s, std::size_t at) {
  std::size_t n = 0;
  while (at + n < s.size() && is_digit(s[at + n])) ++n;
  return n;
}

// "12", "-0.5e3": the length of the decimal number at the start, 0 if there is none. The e of an exponent counts only
// with digits behind it.
std::size_t decimal_length(std::string_view s) {
  std::size_t i = !s.empty() && (s[0] == '-' || s[0] == '+') ? 1 : 0;
  const std::size_t whole = digits(s, i);
  i += whole;
  std::size_t part = 0;
  if (i < s.size() && s[i] == '.') {
    part = digits(s, i + 1);
    if (whole + part > 0) i += 1 + part;
  }
  if (whole + part == 0) return 0;
  if (i < s.size() && (s[i] == 'e' || s[i] == 'E')) {
    const std::size_t sign = i + 1 < s.size() && (s[i + 1] == '-' || s[i + 1] == '+') ? 1 : 0;
    if (const std::size_t n = digits(s, i + 1 + sign); n > 0) i += 1 + sign + n;
  }
  return i;
}

struct Number {
  enum class State { read, malformed, overflow } state = State::malformed;
  double value = 0;
  std::string_view rest;
};

// "3/4" at the start of s, both parts whole numbers; nothing if it is no fraction.
std::optional<std::pair<double, std::size_t>> fraction(std::string_view s) {
  const std::size_t top = digits(s, 0);
  if (top == 0 || top >= s.size() || s[top] != '/') return std::nullopt;
  const std::size_t bottom = digits(s, top + 1);
  if (bottom == 0) return std::nullopt;
  const std::optional<double> a = parse_number(s.substr(0, top)), b = parse_number(s.substr(top + 1, bottom));
  if (!a || !b || *b == 0) return std::pair{std::numeric_limits<double>::quiet_NaN(), std::size_t{0}};
  return std::pair{*a / *b, top + 1 + bottom};
}

// A decimal, a fraction, or a whole number and a fraction ("1 1/2", "1-1/2").
Number read_number(std::string_view s) {
  const double sign = s.starts_with('-') ? -1 : 1;
  const std::string_view bare = s.substr(s.starts_with('-') || s.starts_with('+') ? 1 : 0);
  if (const auto f = fraction(bare)) {
    if (f->second == 0) return {};
    return {Number::State::read, sign * f->first, bare.substr(f->second)};
  }
  const std::size_t n = decimal_length(s);
  if (n == 0) return {};
  const std::optional<double> value = parse_number(s.substr(0, n));
  if (!value) return {Number::State::overflow, 0, {}};
  std::string_view rest = s.substr(n);
  std::size_t gap = 0;
  while (gap < rest.size() && is_blank(rest[gap])) ++gap;
  if (gap == 0 && rest.starts_with('-')) gap = 1;
  if (gap < rest.size() && is_digit(rest[gap])) {
    const auto f = fraction(rest.substr(gap));
    const bool whole = s.substr(0, n).find_first_of(".eE") == std::string_view::npos;
    if (!f || f->second == 0 || !whole || f->first >= 1) return {};
    return {Number::State::read, sign * (std::abs(*value) + f->first), rest.substr(gap + f->second)};
  }
  return {Number::State::read, *value, rest};
}

}  // namespace

std::string_view expected_quantity(Dimension d) { return row(d).expected; }
std::string_view dimension_name(Dimension d) { return row(d).name; }
std::string_view canonical_unit(Dimension d) { return row(d).unit; }

Result<double> parse_quantity(std::string_view text, Dimension d) {
  const std::string_view s = trimmed(text);
  if (s.empty()) return complaint("quantity.empty", "nothing is written", d);
  const Number number = read_number(s);
  if (number.state == Number::State::overflow)
    return complaint("quantity.overflow", quoted(s) + " is a number beyond all limits", d);
  if (number.state == Number::State::malformed)
    return complaint("quantity.number", quoted(s) + " does not start with a number this program reads", d);
  if (number.rest.starts_with(',')) {
    Finding f = complaint("quantity.number", quoted(s) + " has a comma in its number", d);
    f.remedy = "Write a decimal point; no thousands separators.";
    return f;
  }
  const std::string_view unit = trimmed(number.rest);

  std::optional<UnitConversion> conversion;
  std::string_view other;
  for (const UnitRow& u : kUnits) {
    if (u.name != unit) continue;
    if (u.dimension == d) {
      conversion = {u.scale, u.offset};
      break;
    }
    if (other.empty()) other = row(u.dimension).name;
  }
  if (!conversion && unit.empty()) return complaint("quantity.unit.missing", quoted(s) + " has no unit", d);
  if (!conversion && other.empty() && d != money) {
    // To UDUNITS-2 "rad" is a dose.
    const std::string canonical(d == plain || d == ratio ? "1" : d == angle ? "radian" : row(d).unit);
    const UnitLookup lookup = ask_udunits(std::string(unit), canonical);
    conversion = lookup.conversion;
    if (!conversion && lookup.failure == UnitFailure::other_dimension) other = "quantity of another kind";
  }
  if (!conversion && other.empty())
    return complaint("quantity.unit.unknown", quoted(s) + " has the unit " + quoted(unit) + ", which is not known", d);
  if (!conversion)
    return complaint("quantity.dimension",
                     quoted(s) + " is a " + std::string(other) + ", not a " + std::string(row(d).name), d);
  const double value = conversion->scale * number.value + conversion->offset;
  if (!std::isfinite(value)) return complaint("quantity.overflow", quoted(s) + " is a number beyond all limits", d);
  return value;
}

Result<double> bare_quantity(double number, Dimension d, Units units) {
  if (d == length) return units == Units::inch ? number * kInch : number;
  if (d == plain || d == ratio || d == money) return number;
  return complaint("quantity.unit.missing", shortest_number(number) + " has no unit", d);
}

std::string format_quantity(double x, Dimension d, Units units) {
  if (!std::isfinite(x)) return std::isnan(x) ? "unknown" : x > 0 ? "no limit" : "minus no limit";
  const bool inch = units == Units::inch;
  switch (d) {
    case length:
      return inch ? trimmed_number(x / kInch, 4) + " in" : trimmed_number(x, 2) + " mm";
    case area:
      if (inch) return trimmed_number(x / (kInch * kInch), 2) + " in2";
      return std::abs(x) >= 1e4 ? trimmed_number(x / 1e6, 4) + " m2" : trimmed_number(x, 1) + " mm2";
    case volume:
      return trimmed_number(x / 1e6, 3) + " L";
    case mass:
      return trimmed_number(x, 3) + " kg";
    case density:
      return trimmed_number(x, 2) + " kg/m3";
    case mass_per_area:
      return trimmed_number(x * 1e3, 1) + " g/m2";
    case force:
      return trimmed_number(x, 1) + " N";
    case pressure:
      return trimmed_number(x, 3) + " kPa";
    case Dimension::time:
      if (std::abs(x) >= 7200) return trimmed_number(x / 3600, 2) + " h";
      return std::abs(x) >= 120 ? trimmed_number(x / 60, 1) + " min" : trimmed_number(x, 1) + " s";
    case temperature:
      return trimmed_number(x, 0) + " degC";
    case heating_rate:
      return trimmed_number(x, 1) + " degC/h";
    case angle:
      return trimmed_number(x * 180 / std::numbers::pi, 2) + " deg";
    case ratio:
      return trimmed_number(x * 100, 2) + " %";
    case plain:
      return trimmed_number(x, 4);
    case money:
      return format_number(x, 2);
  }
  return {};
}

std::string format_range(const Range& r, Dimension d, Units units) {
  const std::string low = format_quantity(r.low, d, units), high = format_quantity(r.high, d, units);
  const std::string from = (r.open_low ? "more than " : "at least ") + low;
  const std::string to = (r.open_high ? "less than " : "at most ") + high;
  if (r.low > -kNoLimit && r.high < kNoLimit)
    return r.open_low || r.open_high ? from + " and " + to : low + " to " + high;
  if (r.low > -kNoLimit) return from;
  return r.high < kNoLimit ? to : "any";
}

std::string exact_quantity(double canonical, Dimension d) {
  const std::string_view unit = row(d).unit;
  return shortest_number(canonical) + (unit.empty() ? "" : " " + std::string(unit));
}

}  // namespace kerfkiln
