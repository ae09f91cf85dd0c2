#include "viewer/state/show.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::viewer {
namespace {

struct Conversion {
  std::string_view from, to;
  double factor;  // to per from
};
// Exact definitions: inch 25.4 mm, pound 0.45359237 kg (NIST SP 811, appendix B).
constexpr std::array kInches{
    Conversion{"mm", "in", 1 / 25.4},        Conversion{"mm2", "in2", 1 / 645.16},
    Conversion{"m2", "ft2", 1 / 0.09290304}, Conversion{"L", "in3", 1e6 / 16387.064},
    Conversion{"kg", "lb", 1 / 0.45359237},  Conversion{"kg/L", "lb/in3", 0.016387064 / 0.45359237}};

std::string written_unit(std::string_view unit) {
  std::string out;
  for (const char c : unit) {
    if (c == '2')
      out += "²";
    else if (c == '3')
      out += "³";
    else
      out += c;
  }
  if (out == "deg") return "°";
  return out;
}

// Four significant digits, and no thousandths of what is measured in hundreds.
std::string number(double x) {
  const double a = std::abs(x);
  const int decimals = a >= 1000 ? 0 : a >= 100 ? 1 : a >= 10 ? 2 : a >= 0.1 || a == 0 ? 3 : 4;
  return format_number(x, decimals);
}

constexpr std::array<std::string_view, 14> kLeading{
    "fired.capacity", "oversize.factor", "cavity.height", "fired.mass",     "core.volume",       "core.mass",
    "sag",            "cover.area",      "glue.mass",     "outline.area",   "thrown.height",     "mould.plaster",
    "total.mass",     "total.cost"};

}  // namespace

ShownFigure shown(const product::Figure& f, Units units) {
  double factor = 1;
  std::string_view unit = f.unit;
  if (units == Units::inch)
    for (const Conversion& c : kInches)
      if (c.from == f.unit) factor = c.factor, unit = c.to;
  ShownFigure s{number(f.value * factor), written_unit(unit), ""};
  if (f.low && f.high) s.band = number(*f.low * factor) + " to " + number(*f.high * factor);
  return s;
}

std::vector<const product::Figure*> leading_figures(const product::Product& p, std::size_t most) {
  std::vector<const product::Figure*> out;
  for (const std::string_view key : kLeading)
    for (const product::Figure& f : p.figures)
      if (f.key == key && out.size() < most) out.push_back(&f);
  if (out.empty())
    for (std::size_t i = 0; i < std::min(most, p.figures.size()); ++i) out.push_back(&p.figures[i]);
  return out;
}

std::string spoken_path(const std::string& path) {
  std::string out;
  std::size_t start = 0;
  while (start <= path.size() && !path.empty()) {
    const std::size_t end = std::min(path.find('/', start), path.size());
    std::string part = path.substr(start, end - start);
    if (const auto n = parse_number(part); n && *n == std::floor(*n)) part = format_number(*n + 1, 0);
    std::replace(part.begin(), part.end(), '_', ' ');
    out += (out.empty() ? "" : ", ") + part;
    start = end + 1;
  }
  return out;
}

}  // namespace kerfkiln::viewer
