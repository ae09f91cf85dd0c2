// The outline of the recess: the foot's outline inset by the width of the foot ring; what a wide ring cast by draining
// leaves hollow. Internal.
#pragma once
#include <memory>

#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

class FootInset {
 public:
  FootInset(const Form&, double inset);
  explicit FootInset(const Wall& w) : FootInset(w.form(), w.recess_inset()) {}
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

// The clay follows the recess at a wall's distance: what stays open between it and the side, below the floor and above
// the ring's own foot, mm3. 0 where the ring is filled. An upper bound where the side leans so far in that the hollow
// does not run all round.
double cast_hollow(const Form&, const WallSize&);

}  // namespace kerfkiln::urn
