#include "export/document/print_scale.hpp"

#include "modeler/base/number_text.hpp"
#include "modeler/base/units.hpp"

namespace kerfkiln::output {
namespace {

Result<double> reading(std::string_view text) {
  const Result<double> mm = parse_quantity(text, Dimension::length);
  if (mm && !(*mm >= kLeastReadingMm && *mm <= kMostReadingMm))
    return Finding{Severity::error, "print.reading", "",
                   "the check square measures " + trimmed_number(*mm, 3) + " mm; permitted is " +
                       trimmed_number(kLeastReadingMm, 0) + " mm to " + trimmed_number(kMostReadingMm, 0) + " mm",
                   "Print at actual size (100 %), not fitted to the page, and measure again."};
  return mm;
}

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && s.front() == ' ') s.remove_prefix(1);
  while (!s.empty() && s.back() == ' ') s.remove_suffix(1);
  return s;
}

}  // namespace

Result<PrintScale> parse_print_scale(std::string_view text) {
  const std::size_t cross = text.find('x');
  const Result<double> across = reading(trimmed(text.substr(0, cross)));
  const Result<double> along = cross == std::string_view::npos ? across : reading(trimmed(text.substr(cross + 1)));
  Findings wrong;
  if (!across) append(wrong, across.findings());
  if (!along && cross != std::string_view::npos) append(wrong, along.findings());
  if (!wrong.empty()) return wrong;
  return PrintScale{*across, *along};
}

std::string print_reading(const PrintScale& p) {
  const std::string across = trimmed_number(p.across_mm, 2), along = trimmed_number(p.along_mm, 2);
  return across == along ? across + " mm" : across + " x " + along + " mm";
}

double print_factor(double reading_mm) { return kCheckSquareMm / reading_mm; }
double printed_error(double reading_mm, double length_mm) { return length_mm * (reading_mm / kCheckSquareMm - 1); }

}  // namespace kerfkiln::output
