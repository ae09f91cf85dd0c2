// Sums along lines across a trimmed inside, cut where its branches meet and where a branch passes from one smooth part
// of the outside to the next. Internal to the measures.
#pragma once
#include <optional>
#include <vector>

#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {

// A step that starts and ends level, and its slope.
inline double ease(double f) { return f * f * (3 - 2 * f); }
inline double ease_slope(double f) { return 6 * f * (1 - f); }

// Lines one after the other: how a panel of a line is cut is looked for once and then followed from line to line; where
// that leads nowhere, or a nearer branch shows up, it is looked for again.
class InnerLines {
 public:
  // `panels`: into how many equal parts a line is divided.
  InnerLines(const InnerSolver& solver, int panels) : solver_(solver), cuts_(static_cast<std::size_t>(panels)) {}

  // Half the square of the reach (volume), that by the height (moment), and the area by unit of turn and height, all
  // over the line's own parameter 0 ... 1 between two places. `eased`: heights run by a smooth step, because the inside
  // is level at an end and its rate infinite there.
  InnerSums sums(InnerSolver::At from, InnerSolver::At to, bool eased);
  // Where the last line is cut.
  struct Cut {
    double at = 0;
    bool kink = false;
  };
  std::vector<Cut> cuts() const;

 private:
  // A stretch of one branch on one part of the outside.
  struct Stretch {
    enum class Join { fixed, kink, seam } join = Join::fixed;  // how it begins
    double from = 0, to = 0;
    InnerPoint begin, end;
    int part = 0;
  };
  using Join = Stretch::Join;

  using Panel = std::vector<Stretch>;

  InnerSums search(double fa, const InnerSolver::At& a, double fb, const InnerSolver::At& b, Panel&) const;
  void panels_between(double fa, const InnerSolver::At& a, double fb, const InnerSolver::At& b, int halvings, Join,
                      Panel&, InnerSums&) const;
  bool smooth(double a, InnerPoint pa, double b, const InnerPoint& pb, Join, Panel&, InnerSums&) const;

  std::optional<InnerSums> along_known_cuts(const InnerSolver::At& a, const InnerSolver::At& b, Panel&) const;
  struct Tie {
    double at = 0;
    InnerPoint first, second;
  };
  std::optional<Tie> tied_before(double at, InnerPoint first, InnerPoint second, double from) const;
  std::optional<Tie> tied(InnerPoint first, InnerPoint second) const;
  bool tie_again(Stretch& before, Stretch& after) const;
  bool seam_again(Stretch& before, Stretch& after) const;
  bool corner_seam_again(Stretch& before, Stretch& after) const;
  bool level() const { return from_.z == to_.z; }
  double off_line(Vec3) const;
  double off_line_rate(Vec3 at, Vec3 step) const;
  double parameter(Vec3) const;

  InnerSolver::At between(double f) const;
  InnerSolver::At at(double f) const;
  Vec2 direction(const InnerSolver::At& x) const { return solver_.direction(x.turn, x.z); }
  double uneased(double g) const;
  int part(const InnerPoint&) const;
  double seam_between(const InnerPoint& a, const InnerPoint& b, double bias) const;
  struct Walk {
    InnerSums sums;
    InnerPoint middle, last;
    double at_middle = 0;
    double flattest = 1, at_flattest = 0, flat_reach = 0;  // of the nodes: normal by direction
    bool one_part = true, one_branch = true, calm = true;
  };
  Walk walk(double a, double b, const InnerPoint& begin, Vec3 last_normal, bool anew = false) const;
  std::optional<Walk> stretch(double a, double b, const InnerPoint& begin, const InnerPoint& end) const;
  bool arrives(const Walk&, double b, const InnerPoint& end) const;

  static constexpr double kNearer = 1e-7;  // of the wall: a branch that is nearer than the known one
  const InnerSolver& solver_;
  InnerSolver::At from_, to_;
  bool eased_ = false;
  std::vector<Panel> cuts_;
};

}  // namespace kerfkiln::urn
