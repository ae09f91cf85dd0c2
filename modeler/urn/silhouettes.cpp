// The inside as lines for drawings.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/wall.hpp"
#include "modeler/urn/wall_round.hpp"

namespace kerfkiln::urn {
namespace {

// Halves an interval until its chord is near enough; the ends are exact.
template <class At>
void refine(double a, Vec2 pa, double b, Vec2 pb, double deviation, int depth, At&& at, std::vector<Vec2>& out) {
  const double m = 0.5 * (a + b);
  const Vec2 pm = at(m);
  const double chord = norm(pb - pa);
  const double off = chord > 0 ? std::abs(cross(pb - pa, pm - pa)) / chord : norm(pm - pa);
  // The first halvings are taken anyhow: an S-shape may cross its chord in the middle.
  if (depth > 0 && (off > deviation || depth > 12)) {
    refine(a, pa, m, pm, deviation, depth - 1, at, out);
    refine(m, pm, b, pb, deviation, depth - 1, at, out);
    return;
  }
  out.push_back(pb);
}

}  // namespace

std::vector<Vec2> Wall::inner_silhouette(bool depth, double deviation_mm) const {
  const double turn = depth ? std::numbers::pi / 2 : 0;
  const auto at = [&](double z) { return Vec2{inner_reach(turn, z), z}; };
  std::vector<double> stops{floor()};
  if (solver_ && form_.twisted()) {
    // Kinks run askew through an upright plane: halving finds them as near as asked.
    constexpr int kEven = 64;
    for (int i = 1; i < kEven; ++i) stops.push_back(floor() + (lip() - floor()) * i / kEven);
  } else if (solver_) {
    // Cut at the mitres, so that they are sharp in the drawing.
    constexpr int kScan = 64;
    const double bottom = in_units(floor()), top = in_units(lip());
    InnerSolver::At a{turn, bottom, solver_->solve(quarter_direction(turn), bottom)};
    for (int i = 1; i <= kScan && trimmed_; ++i) {
      InnerSolver::At b{turn, bottom + (top - bottom) * i / kScan, {}};
      b.point = solver_->solve(quarter_direction(turn), b.z);
      if (const auto k = solver_->kink(a, b, 0.1 * deviation_mm / unit_))
        stops.push_back(unit_ * (a.z + k->fraction * (b.z - a.z)));
      a = b;
    }
  } else {
    for (const InnerPiece& p : pieces_)
      if (p.z0 > floor()) stops.push_back(p.z0);
  }
  stops.push_back(lip());
  std::vector<Vec2> out{at(floor())};
  for (std::size_t i = 1; i < stops.size(); ++i)
    refine(stops[i - 1], at(stops[i - 1]), stops[i], at(stops[i]), deviation_mm, 14, at, out);
  return out;
}

}  // namespace kerfkiln::urn
