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

// Thousands set apart by a narrow space (ISO 80000-1, 7.3.1), where there are five digits or more.
std::string grouped(std::string digits) {
  const std::size_t sign = digits.starts_with('-') ? 1 : 0;
  if (digits.size() - sign < 5) return digits;
  for (std::size_t i = digits.size(); i > sign + 3;) digits.insert(i -= 3, "\u202f");
  return digits;
}

// Four significant digits, and no thousandths of what is measured in hundreds; counts stay counts.
std::string number(double x, std::string_view unit) {
  const double a = std::abs(x);
  if (unit.empty() && x == std::floor(x) && a < 1e15) return grouped(format_number(x, 0));
  if (a >= 1000) return grouped(format_number(x, 0));
  const int decimals = a >= 100 ? 1 : a >= 10 ? 2 : a >= 0.1 || a == 0 ? 3 : 4;
  return format_number(x, decimals);
}

constexpr std::array<std::string_view, 14> kLeading{
    "fired.capacity", "oversize.factor", "cavity.height", "fired.mass",    "core.volume",   "core.mass",  "sag",
    "cover.area",     "glue.mass",       "outline.area",  "thrown.height", "mould.plaster", "total.mass", "total.cost"};

}  // namespace

ShownFigure shown(const product::Figure& f, Units units) {
  double factor = 1;
  std::string_view unit = f.unit;
  if (units == Units::inch)
    for (const Conversion& c : kInches)
      if (c.from == f.unit) factor = c.factor, unit = c.to;
  ShownFigure s{number(f.value * factor, f.unit), written_unit(unit), ""};
  if (f.low && f.high) s.band = number(*f.low * factor, f.unit) + " to " + number(*f.high * factor, f.unit);
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

std::string spoken_path(const Field& tree, const std::string& path) {
  std::string out;
  const Field* at = &tree;
  for (std::size_t end = path.find('/');; end = path.find('/', end + 1)) {
    const std::string here = path.substr(0, end);
    if (const Field* next = find_field(*at, here)) {
      const bool inside_list = at->kind == Field::Kind::list;
      at = next;
      const auto name = std::find_if(at->children.begin(), at->children.end(),
                                     [&](const Field& c) { return c.path == here + "/name"; });
      if (name != at->children.end() && !name->written.empty())
        out = name->written;  // a named thing is known by its name alone
      else if (!at->label.empty())
        out += (out.empty() ? "" : inside_list ? " " : ", ") + at->label;
    }
    if (end == std::string::npos) break;
  }
  return out.empty() ? path : out;
}

}  // namespace kerfkiln::viewer
