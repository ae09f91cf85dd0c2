// Triangles of a trimmed inside that a kink crosses unseen, split until they are as near as asked. Internal to the
// mesh.
//
// The grid's lines see a mitre where it crosses them. Where one begins or ends within a cell (a cusp), or bends between
// two lines, a triangle can cut it off.
#pragma once
#include <cstdint>
#include <vector>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {

// A vertex in the chart (turn, height) of the inside.
struct ChartPoint {
  double turn = 0, z = 0;
  InnerPoint inner;
  bool kink = false;  // on a mitre: `inner` is one of its branches
};

// The triangles of all sheets of an inside, which share vertices; vertex `first` + i of the sector is chart[i].
struct ChartMesh {
  std::uint32_t first = 0;
  std::vector<ChartPoint> chart;
  std::vector<solid::Triangle> triangles;
};

// Splits edges with points of the inside, conforming, in the mesh, the sector's points and seams, and the rings, whose
// new points lie in the rings' planes. `deviation` in the solver's lengths, `unit` what one is in mm.
void refine_sheets(const InnerSolver&, double unit, double deviation, ChartMesh&, Sector&, std::vector<InnerSheet>&);

}  // namespace kerfkiln::urn
