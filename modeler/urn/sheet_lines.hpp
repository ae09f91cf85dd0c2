// Where the rows and columns of a trimmed inside's mesh stand. Internal to the mesh.
#pragma once
#include <vector>

#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {

// Heights of a sheet. `stops` are its ends and the places between where the inside runs level: there, and at an end
// where a level ceiling begins, the rows crowd (`eased`, one a stretch between stops).
struct SheetRange {
  std::vector<double> stops;
  std::vector<bool> eased;
  double height(double f) const;  // f from 0 to 1 runs through the stops evenly
};
struct SheetLines {
  std::vector<double> heights;  // rows
  std::vector<double> by_turn;  // stations a radian that the columns need, at evenly spread turns
};
// Lengths are the solver's.
SheetLines sheet_lines(const InnerSolver&, double deviation, const SheetRange&);
// Lines by a density at evenly spread places from ... to, both ends included.
std::vector<double> spread_lines(const std::vector<double>& density, double from, double to);

}  // namespace kerfkiln::urn
