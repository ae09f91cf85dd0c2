// Printers that do not draw to scale, by what the check square of 100 mm measures.
#pragma once
#include <string>
#include <string_view>

#include "modeler/base/result.hpp"

namespace kerfkiln::output {

inline constexpr double kCheckSquareMm = 100;
// Further off, and the print was fitted to the page: that is to be switched off, not made up for. The sheets' words
// stand 4 mm from the edge, so no more could be made up for either.
inline constexpr double kLeastReadingMm = 97, kMostReadingMm = 103;

struct PrintScale {
  double across_mm = kCheckSquareMm;  // the check square as printed, along the short side of the paper
  double along_mm = kCheckSquareMm;   // along its long side
  bool corrects() const { return across_mm != kCheckSquareMm || along_mm != kCheckSquareMm; }
};

// "99.2 mm", or "99.2 mm x 99.6 mm": short side of the paper first. Findings: those of a length, "print.reading".
Result<PrintScale> parse_print_scale(std::string_view);
std::string print_reading(const PrintScale&);  // "99.2 mm", "99.2 x 99.6 mm"

double print_factor(double reading_mm);                     // by which to draw larger: 100 / reading
double printed_error(double reading_mm, double length_mm);  // how much longer a length comes out, mm

}  // namespace kerfkiln::output
