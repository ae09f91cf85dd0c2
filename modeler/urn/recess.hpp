// The outline of the recess: the foot's outline inset by the width of the foot ring. Internal.
#pragma once
#include <memory>

#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

class FootInset {
 public:
  explicit FootInset(const Wall&);
  double area() const;                 // mm2
  double reach(Vec2 direction) const;  // distance from the axis, any direction of space
 private:
  SectionSize foot_;
  double twist_ = 0;  // of the foot
  const SectionType* type_;
  double inset_;
  bool round_;
  std::shared_ptr<const InnerSolver> upright_;  // the inside of an upright wall on the foot's outline
};

}  // namespace kerfkiln::urn
