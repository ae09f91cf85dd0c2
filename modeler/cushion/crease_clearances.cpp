#include "modeler/cushion/crease_clearances.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {
namespace {

// Reference part 4, common practice.
constexpr double kFloorMm = 20, kSpacingMm = 60;

class Clearances {
 public:
  Clearances(const Form& form, Findings& out) : form_(form), out_(out) {}

  // Precondition: runs. False where the crease goes through the foam.
  bool floor(Crease& c) {
    c.floor_min_mm = INFINITY;
    for (const CreaseRun& r : c.runs) {
      const CreasePath path(r.path, r.closed);
      const int n = 2 + static_cast<int>(path.length() / 3);
      for (int i = 0; i <= n; ++i)
        for (double side : {-0.5, 0.0, 0.5}) {
          const double s = path.length() * i / n;
          const Vec2 p = path.point(s) + side * c.width_mm * left(path.tangent(s));
          if (!plane::contains(form_.outline(), p)) continue;
          const double left_mm = form_.z_top(p) - c.depth_mm - form_.z_bottom(p);
          if (left_mm >= c.floor_min_mm) continue;
          c.floor_min_mm = left_mm;
          c.floor_min_at = p;
        }
    }
    if (c.floor_min_mm < kThroughMm) {
      out_.push_back(error(
          "crease.through", c.field + "/depth",
          c.name + ", " + mm_text(c.depth_mm) + " deep, " +
              (c.floor_min_mm > 0 ? "leaves only " + mm_text(c.floor_min_mm) + " of foam" : "goes through the foam") +
              " at " + place_text(c.floor_min_at) + "; permitted there is " +
              mm_text(std::max(0.0, c.depth_mm + c.floor_min_mm - kFloorMm)) + " or less, which leaves " +
              mm_text(kFloorMm),
          "make the crease shallower, end it before the edge or give the edge a smaller drop"));
      return false;
    }
    if (c.floor_min_mm < kFloorMm)
      out_.push_back(warning("crease.floor", c.field + "/depth",
                             c.name + " leaves " + mm_text(c.floor_min_mm) + " of foam under its floor at " +
                                 place_text(c.floor_min_at) + "; " + mm_text(kFloorMm) + " or more should stay",
                             "make the crease shallower or the foam thicker"));
    if (c.depth_mm > form_.height() / 2)
      out_.push_back(warning("crease.deep", c.field + "/depth",
                             c.name + " is " + mm_text(c.depth_mm) +
                                 " deep; practice stays below half the thickness, " + mm_text(form_.height() / 2),
                             "make the crease shallower or the foam thicker"));
    return true;
  }

  void edge(const Crease& c) {
    double least = INFINITY;
    Vec2 where;
    for (const CreaseRun& r : c.runs) {
      const CreasePath path(r.path, r.closed);
      const int n = 2 + static_cast<int>(path.length() / 5);
      for (int i = 0; i <= n; ++i) {
        const double s = path.length() * i / n, free = 1.5 * (kCreaseEdgeMm + form_.inset(Sheet::top));
        if ((r.out_at_start && s < free) || (r.out_at_end && path.length() - s < free)) continue;
        const Vec2 p = path.point(s);
        const plane::Nearest near = plane::nearest(form_.outline(), p);
        const plane::Loop& loop =
            near.loop == 0 ? form_.outline().outer : form_.outline().holes[static_cast<std::size_t>(near.loop - 1)];
        const int side = loop[static_cast<std::size_t>(near.segment)].side;
        const double start = near.distance - form_.edges(Sheet::top).of(side).inset - c.width_mm / 2;
        if (start >= least) continue;
        least = start;
        where = p;
      }
    }
    if (least >= kCreaseEdgeMm) return;
    out_.push_back(warning("crease.edge", c.field,
                           c.name + " comes within " + mm_text(std::max(least, 0.0)) +
                               " of where the rounding of the edge begins at " + place_text(where) + "; " +
                               mm_text(kCreaseEdgeMm) + " or more should stay",
                           "move it inward, or run it out squarely over the edge"));
  }

  void spacing(const std::vector<FittedCrease>& list) {
    for (std::size_t i = 0; i < list.size(); ++i)
      for (std::size_t j = i + 1; j < list.size(); ++j) {
        const Crease &a = list[i].crease, &b = list[j].crease;
        if (list[i].draft.pattern && list[j].draft.pattern && a.field == b.field && told(a.field)) continue;
        if (list[i].crossed && list[j].crossed) continue;
        Vec2 where;
        const double least = distance(list[i], list[j], where);
        if (least >= kSpacingMm) continue;
        told_.push_back(a.field);
        out_.push_back(warning("crease.spacing", b.field,
                               a.name + " and " + b.name + " come within " + mm_text(least) + " at " +
                                   place_text(where) + "; " + mm_text(kSpacingMm) + " or more should stay",
                               "move one of them"));
      }
  }

 private:
  static constexpr double kThroughMm = 1;
  bool told(const std::string& field) const { return std::find(told_.begin(), told_.end(), field) != told_.end(); }
  // Between the walls.
  static double distance(const FittedCrease& a, const FittedCrease& b, Vec2& where) {
    const double walls = (a.crease.width_mm + b.crease.width_mm) / 2;
    double least = INFINITY;
    const auto look = [&](const FittedCrease& x, const FittedCrease& y) {
      const int n = 2 + static_cast<int>((x.to - x.from) / 10);
      for (int i = 0; i <= n; ++i) {
        const Vec2 p = x.path.point(x.from + (x.to - x.from) * i / n);
        const double d = y.path.nearest(p).distance - walls;
        if (d >= least) continue;
        least = d;
        where = p;
      }
    };
    const auto ends = [](const FittedCrease& f) { return std::pair{f.path.point(f.from), f.path.point(f.to)}; };
    // Straight ones are nearest at an end.
    if (a.path.curves().size() == 1 && b.path.curves().size() == 1 && a.path.curves()[0].is_line() &&
        b.path.curves()[0].is_line()) {
      const auto at_ends = [&](const FittedCrease& x, const FittedCrease& y) {
        const auto [p, q] = ends(x);
        for (Vec2 v : {p, q})
          if (const double d = y.path.nearest(v).distance - walls; d < least) {
            least = d;
            where = v;
          }
      };
      at_ends(a, b);
      at_ends(b, a);
      return least;
    }
    look(a, b);
    look(b, a);
    return least;
  }

  const Form& form_;
  Findings& out_;
  std::vector<std::string> told_;
};

}  // namespace

bool check_crease_floor(const Form& form, Crease& c, Findings& out) { return Clearances(form, out).floor(c); }
void check_crease_edge(const Form& form, const Crease& c, Findings& out) { Clearances(form, out).edge(c); }
void check_crease_spacing(const Form& form, const std::vector<FittedCrease>& list, Findings& out) {
  Clearances(form, out).spacing(list);
}

}  // namespace kerfkiln::cushion
