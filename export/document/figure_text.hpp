// Figures as a bench reads them: few digits, the user's length unit, signs for units.
#pragma once
#include <string>

#include "export/document/job_info.hpp"
#include "export/drawing/sketch_painter.hpp"

namespace kerfkiln::output {

struct FigureText {
  std::string value;  // "560", "1.204", "302 400" (narrow spaces)
  std::string unit;   // "mm", "m²", "°", ""
  std::string band;   // "1.1 to 1.3"; empty without one
  // With a no-break space before the unit.
  std::string joined() const { return unit.empty() ? value : value + (unit == "°" ? "" : "\u00a0") + unit; }
};
// Lengths and small areas follow the user's unit (mm, mm2 -> in, in2); litres, kilograms and square metres stay.
FigureText figure_text(const product::Figure&, job::Units);

LengthText length_text(job::Units);                    // of dimensions on a drawing
std::string length_unit(job::Units);                   // "mm", "in"
std::string rounded(double value, int most_decimals);  // trailing zeros dropped, thousands apart from 10 000 on

}  // namespace kerfkiln::output
