// The shape of a membrane over an outline under even pressure: the crown of a cushion.
//
//   -laplace u = 1 inside, u = 0 on the outline (Prandtl's membrane of the twisted bar), scaled to a largest value
//   of 1.
//
// Solved once an outline in bicubic splines on a uniform grid that the outline cuts through: Galerkin with Nitsche's
// boundary terms (Nitsche 1971), integrals over cut cells on the exact lines and arcs, and a penalty on the third
// derivatives' jumps that keeps sparsely cut cells well-posed (Burman, Ghost penalty, C. R. Acad. Sci. Paris 348,
// 2010). So the crown is twice continuously differentiable everywhere, whatever mesh is shown of it. Where an outline
// turns into the material in a sharp corner the true membrane is infinitely steep; the spline rounds that off over a
// cell.
#pragma once
#include <memory>

#include "modeler/cushion/spline_grid.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

class Membrane {
 public:
  // Precondition: the loop is simple, counter-clockwise. The last few loops are remembered: the same loop gives the
  // same object. cells: across the mean width 2 area / perimeter of the loop; 0: as many as the crown needs.
  static std::shared_ptr<const Membrane> over(const plane::Loop& outer, double cells = 0);

  double value(Vec2 p) const { return grid_.value(p); }
  SplineGrid::At at(Vec2 p) const { return grid_.at(p); }
  const SplineGrid& grid() const { return grid_; }

  Vec2 top() const { return top_; }          // where the membrane is highest
  double peak_mm2() const { return peak_; }  // largest value of u before scaling
  double content_mm4() const {
    return content_;
  }  // integral of u over the outline: a quarter of the torsion constant's
     // double, J = 4 content for phi = 2 u

 private:
  Membrane(SplineGrid grid, Vec2 top, double peak, double content)
      : grid_(std::move(grid)), top_(top), peak_(peak), content_(content) {}
  SplineGrid grid_;
  Vec2 top_;
  double peak_ = 0, content_ = 0;
};

}  // namespace kerfkiln::cushion
