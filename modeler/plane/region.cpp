#include "modeler/plane/region.hpp"

#include <CGAL/Boolean_set_operations_2.h>
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/General_polygon_set_2.h>
#include <CGAL/Gps_circle_segment_traits_2.h>

#include <algorithm>
#include <iterator>
#include <list>

#include "modeler/plane/quick_region.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

using Kernel = CGAL::Exact_predicates_exact_constructions_kernel;
using Traits = CGAL::Gps_circle_segment_traits_2<Kernel>;
using Set = CGAL::General_polygon_set_2<Traits>;
using Polygon = Traits::General_polygon_2;
using PolygonWithHoles = Traits::General_polygon_with_holes_2;

constexpr double kSliverMm = 1e-6;       // mean width of a loop that rounding left
constexpr double kSameMm = 1e-8;         // corners this close are one
constexpr double kHalfTurn = 3.1415926;  // just below pi: the bulge of an arc is at most 1
constexpr double kOnSourceMm = 1e-6;     // a piece this close to a source segment comes from it

Kernel::Point_2 exact(Vec2 p) { return {p.x, p.y}; }
// to_double of a lazy number is good to 1e-5 only; its exact value rounds right.
double rounded(const Kernel::FT& x) { return CGAL::to_double(x.exact()); }
double rounded(const Traits::Point_2::CoordNT& x) {
  return x.is_extended() ? rounded(x.a0()) + rounded(x.a1()) * std::sqrt(rounded(x.root())) : rounded(x.a0());
}
Vec2 rounded(const Traits::Point_2& p) { return {rounded(p.x()), rounded(p.y())}; }

Polygon polygon(const Loop& loop) {
  const Traits traits;
  std::vector<Traits::X_monotone_curve_2> pieces;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    if (s.a == s.b) continue;
    // Three rational points make the circle rational, so that both ends lie on it exactly. An arc so flat that its
    // middle rounds onto the chord is the chord.
    const Kernel::Point_2 a = exact(s.a), b = exact(s.b), m = exact(s.point(0.5));
    const bool straight = s.is_line() || CGAL::collinear(a, m, b);
    const Traits::Curve_2 curve = straight ? Traits::Curve_2(a, b) : Traits::Curve_2(a, m, b);
    std::list<CGAL::Object> objects;
    traits.make_x_monotone_2_object()(curve, std::back_inserter(objects));
    for (const CGAL::Object& o : objects) {
      Traits::X_monotone_curve_2 piece;
      if (CGAL::assign(piece, o)) pieces.push_back(piece);
    }
  }
  return Polygon(pieces.begin(), pieces.end());
}

// Holes are taken away rather than given with the outline: one that touches the outer loop may cross it by a rounding.
Set set_of(const Outline& o) {
  Set set(polygon(o.outer));
  for (const Loop& hole : o.holes) set.difference(polygon(reversed(hole)));
  return set;
}

Set set_of(const Region& region) {
  Set set;
  for (const Outline& o : region) set.join(set_of(o));
  return set;
}

double sweep_of(const Traits::X_monotone_curve_2& c, Vec2 a, Vec2 b) {
  if (c.is_linear()) return 0;
  const Vec2 centre{rounded(c.supporting_circle().center().x()), rounded(c.supporting_circle().center().y())};
  const Vec2 u = a - centre, v = b - centre;
  // Flat arcs lie far from their centre; chord over radius keeps their digits.
  const double half_sine = norm(b - a) / 2 / std::sqrt(rounded(c.supporting_circle().squared_radius()));
  const double angle = half_sine < 0.5 ? 2 * std::asin(half_sine) : std::atan2(cross(u, v), dot(u, v));
  // x-monotone arcs sweep half a circle at most; the sense is exact where the angle is near +-pi.
  return std::copysign(std::abs(angle), c.orientation() == CGAL::COUNTERCLOCKWISE ? 1. : -1.);
}

bool same_circle(const Traits::X_monotone_curve_2& p, const Traits::X_monotone_curve_2& q) {
  return p.is_circular() && q.is_circular() && p.orientation() == q.orientation() &&
         p.supporting_circle() == q.supporting_circle();
}

// Arcs that were divided only to be monotone are one again, up to half a circle.
Loop loop_of(const Polygon& polygon) {
  struct Piece {
    Traits::X_monotone_curve_2 curve;
    Vec2 at;
    double sweep;
  };
  std::vector<Piece> pieces;
  for (auto c = polygon.curves_begin(); c != polygon.curves_end(); ++c) {
    const Vec2 a = rounded(c->source()), b = rounded(c->target());
    if (norm(b - a) <= kSameMm) continue;
    const double sweep = sweep_of(*c, a, b);
    if (!pieces.empty() && same_circle(pieces.back().curve, *c) && std::abs(pieces.back().sweep + sweep) <= kHalfTurn)
      pieces.back().sweep += sweep;
    else
      pieces.push_back({*c, a, sweep});
  }
  while (pieces.size() > 2 && same_circle(pieces.back().curve, pieces.front().curve) &&
         std::abs(pieces.back().sweep + pieces.front().sweep) <= kHalfTurn) {
    pieces.back().sweep += pieces.front().sweep;
    pieces.erase(pieces.begin());
  }
  Loop loop;
  for (const Piece& p : pieces) loop.push_back({p.at, std::tan(p.sweep / 4), -1});
  return loop;
}

// Sides come back from the operands: a piece of the result lies on a segment of one of them.
class Sides {
 public:
  Sides(const Region& a, const Region& b) {
    for (const Region* r : {&a, &b})
      for (const Outline& o : *r) add(o);
  }
  const std::vector<std::string>& names() const { return names_.all(); }
  void carry(Loop& loop) const {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const Segment s = segment(loop, i);
      const Vec2 middle = s.point(0.5), along = s.tangent(0.5);
      for (const auto& [source, side] : sources_) {
        const Foot foot = nearest(source, middle);
        if (foot.distance > kOnSourceMm || std::abs(cross(source.tangent(foot.t), along)) > 1e-3) continue;
        loop[i].side = side;
        break;
      }
    }
  }

 private:
  void add(const Outline& o) {
    const std::vector<int> index = names_.add(o);
    const auto add_loop = [&](const Loop& loop) {
      for (std::size_t i = 0; i < loop.size(); ++i) {
        const int side = loop[i].side;
        if (side < 0 || side >= static_cast<int>(index.size())) continue;
        sources_.emplace_back(segment(loop, i), index[static_cast<std::size_t>(side)]);
      }
    };
    add_loop(o.outer);
    for (const Loop& hole : o.holes) add_loop(hole);
  }
  SideNames names_;
  std::vector<std::pair<Segment, int>> sources_;
};

bool sliver(const Loop& loop) { return loop.size() < 2 || std::abs(area(loop)) <= kSliverMm * perimeter(loop); }

bool pinched(const Loop& loop) {
  std::vector<Vec2> corners;
  for (const Vertex& v : loop) corners.push_back(v.at);
  std::sort(corners.begin(), corners.end(), [](Vec2 p, Vec2 q) { return p.x < q.x; });
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (std::size_t k = i + 1; k < corners.size() && corners[k].x - corners[i].x <= kSameMm; ++k)
      if (norm(corners[k] - corners[i]) <= kSameMm) return true;
  return false;
}

// A boundary may pass through a corner twice: cut there, the parts are loops that touch.
void cut_where_pinched(Loop loop, std::vector<Loop>& out) {
  const std::size_t n = pinched(loop) ? loop.size() : 0;
  for (std::size_t span = 1; span < n; ++span)
    for (std::size_t i = 0; i + span < n; ++i) {
      if (norm(loop[i].at - loop[i + span].at) > kSameMm) continue;
      const auto from = loop.begin() + static_cast<std::ptrdiff_t>(i), to = from + static_cast<std::ptrdiff_t>(span);
      out.emplace_back(from, to);  // the shortest first: it has no such corner itself
      loop.erase(from, to);
      return cut_where_pinched(std::move(loop), out);
    }
  out.push_back(std::move(loop));
}

Region region_of(const Set& set, const Sides& sides) {
  std::vector<PolygonWithHoles> parts;
  set.polygons_with_holes(std::back_inserter(parts));
  Region out;
  for (const PolygonWithHoles& part : parts) {
    std::vector<Loop> loops;
    cut_where_pinched(loop_of(part.outer_boundary()), loops);
    for (auto h = part.holes_begin(); h != part.holes_end(); ++h) cut_where_pinched(loop_of(*h), loops);
    std::erase_if(loops, sliver);
    for (Loop& loop : loops) sides.carry(loop);
    const std::size_t first = out.size();
    for (Loop& loop : loops)
      if (area(loop) > 0) out.push_back({std::move(loop), {}, sides.names()});
    for (Loop& loop : loops) {
      if (loop.empty()) continue;  // an outer one
      // A hole's corners may lie on the loop around it, the middles of its segments do not all.
      const auto around =
          std::find_if(out.begin() + static_cast<std::ptrdiff_t>(first), out.end(), [&](const Outline& o) {
            for (std::size_t i = 0; i < loop.size(); ++i)
              if (winding(o.outer, segment(loop, i).point(0.5)) == 0) return false;
            return true;
          });
      if (around != out.end()) around->holes.push_back(std::move(loop));
    }
  }
  return out;
}

// The results of these operations may have loops that touch each other at a corner. Loops that touch and no more
// enclose, put together, what each says by itself.
bool only_touching(const Outline& o) {
  if (!simple({o.outer, {}, {}})) return false;
  for (const Loop& hole : o.holes)
    if (!simple({reversed(hole), {}, {}})) return false;
  double whole = 0;
  for (const Outline& part : region_of(set_of(o), Sides({o}, {}))) whole += area(part);
  return std::abs(whole - area(o)) <= kSliverMm * perimeter(o);
}

// CGAL takes simple loops on trust; what is not simple is refused here.
struct Taken {
  Findings refused;
  bool touching = false;  // some loops touch themselves or each other
};
Taken taken(const Region& a, const Region& b) {
  Taken out;
  for (const Region* r : {&a, &b})
    for (const Outline& o : *r) {
      if (simple(o)) continue;
      out.touching = true;
      if (only_touching(o)) continue;
      for (Finding& f : check_outline(o))
        if (f.code != "outline.short") out.refused.push_back(std::move(f));
    }
  return out;
}

Result<Region> combined(const Region& a, const Region& b, Combining how) {
  Taken operands = taken(a, b);
  if (!operands.refused.empty()) return std::move(operands.refused);
  if (!operands.touching)
    if (std::optional<Region> clear = combined_where_clear(a, b, how)) return std::move(*clear);
  Set set = set_of(a);
  switch (how) {
    case Combining::united:
      set.join(set_of(b));
      break;
    case Combining::intersected:
      set.intersection(set_of(b));
      break;
    case Combining::subtracted:
      set.difference(set_of(b));
      break;
  }
  return region_of(set, Sides(a, b));
}

}  // namespace

Result<Region> united(const Region& a, const Region& b) { return combined(a, b, Combining::united); }
Result<Region> intersected(const Region& a, const Region& b) { return combined(a, b, Combining::intersected); }
Result<Region> subtracted(const Region& a, const Region& b) { return combined(a, b, Combining::subtracted); }

double area(const Region& region) {
  double sum = 0;
  for (const Outline& o : region) sum += area(o);
  return sum;
}

}  // namespace kerfkiln::plane
