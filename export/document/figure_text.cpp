#include "export/document/figure_text.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {

namespace {

struct Shown {
  double factor = 1;
  std::string unit;
  int decimals = 3;
};

// Decimals by what the bench can use: a tenth of a millimetre, a gram, a millilitre.
Shown shown(const std::string& unit, double value, job::Units units) {
  const double size = std::abs(value);
  const bool inch = units == job::Units::inch;
  if (unit == "mm") return inch ? Shown{1 / 25.4, "in", size < 25.4 ? 3 : 2} : Shown{1, "mm", size < 10 ? 2 : 1};
  if (unit == "mm2") return inch ? Shown{1 / 645.16, "in²", 1} : Shown{1, "mm²", size < 1000 ? 1 : 0};
  if (unit == "m2") return {1, "m²", 3};
  if (unit == "L" || unit == "kg") return {1, unit, size < 10 ? 3 : size < 100 ? 2 : 1};
  if (unit == "in3") return {1, "in³", 1};
  if (unit == "%") return {1, "%", 2};
  if (unit == "deg") return {1, "°", 1};
  if (unit == "h" || unit == "min") return {1, unit, 1};
  if (unit.empty()) return {1, "", 4};
  return {1, unit, 3};
}

// "total.cost", "foam.keel.cost_sheets": money has no unit of its own.
bool names_money(const std::string& key) {
  const std::size_t dot = key.rfind('.');
  return key.compare(dot == std::string::npos ? 0 : dot + 1, 4, "cost") == 0;
}

}  // namespace

std::string rounded(double value, int most_decimals) {
  std::string text = format_number(value, most_decimals);
  if (most_decimals > 0) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  const std::size_t start = text[0] == '-' ? 1 : 0;
  const std::size_t point = std::min(text.find('.'), text.size());
  if (point - start >= 5)
    for (std::size_t i = point; i > start + 3; i -= 3) text.insert(i - 3, "\u202f");
  return text;
}

FigureText figure_text(const product::Figure& f, job::Units units) {
  Shown s = shown(f.unit, f.value, units);
  if (f.unit.empty() && names_money(f.key)) s.decimals = 2;
  FigureText out;
  out.value = rounded(f.value * s.factor, s.decimals);
  out.unit = s.unit;
  if (f.low && f.high) {
    // A band too narrow to show is none to the bench.
    const std::string low = rounded(*f.low * s.factor, s.decimals), high = rounded(*f.high * s.factor, s.decimals);
    if (low != high) out.band = low + " to " + high;
  } else if (f.low) {
    out.band = "at least " + rounded(*f.low * s.factor, s.decimals);
  } else if (f.high) {
    out.band = "at most " + rounded(*f.high * s.factor, s.decimals);
  }
  return out;
}

LengthText length_text(job::Units units) { return units == job::Units::inch ? inch_text : millimetre_text; }
std::string length_unit(job::Units units) { return units == job::Units::inch ? "in" : "mm"; }

}  // namespace kerfkiln::output
