// A stretch of boundary along which the drop heights of two sides blend: its strongest point as seen from the plan.
#pragma once
#include <array>
#include <vector>

#include "modeler/cushion/boundary.hpp"
#include "modeler/cushion/edge/drop_kernel.hpp"

namespace kerfkiln::cushion {

inline double smoothstep(double g) { return g * g * (3 - 2 * g); }

// drop(u, p) = (1 - w) from(|p - q(u)|) + w to(|p - q(u)|), w = smoothstep of the fraction of the run's length.
class BlendedPiece {
 public:
  // The part u0 ... u1 of `element`, at most two and a half times the larger inset long;
  // g0, g1: fractions of the run's length at the ends of the whole element.
  BlendedPiece(const Element& element, double u0, double u1, double g0, double g1, const DropKernel& from,
               const DropKernel& to);

  struct Peak {
    double drop = -1, u = 0;  // u on the element
    double slope = 0;         // of the drop with the distance from there
  };
  // The largest drop along the piece, if larger than `floor`, to better than `close` mm; near: distance of p from the
  // element.
  Peak peak(Vec2 p, double near, double close, double floor) const;

  // No point at this distance from the element or farther sees a larger drop.
  double bound(double near) const { return std::max(from_.drop(near), to_.drop(near)); }

  plane::Box box() const { return box_; }

 private:
  static constexpr int kSteps = 32, kPlaces = 36;  // places: one a step, filled up to whole vectors
  struct Jet {
    double drop, slope, bend;  // along u
    double fall;               // of the drop with the distance
  };
  struct Climb {
    double low, high, start;
  };
  template <class From, class To>
  void sample(float x, float y, float* value) const;
  void sample(Vec2 p, float* value) const;
  Jet jet(double u, Vec2 p) const;
  void climb(Climb, Vec2 p, double close, Peak&) const;

  const Element* e_;
  DropKernel from_, to_;
  double u0_, u1_, g0_, span_, step_;
  plane::Box box_;
  std::array<Vec2, kSteps + 1> at_;  // on the element
  Vec2 origin_;                      // of the places below
  alignas(16) std::array<float, kPlaces> x_, y_, w_;
};

}  // namespace kerfkiln::cushion
