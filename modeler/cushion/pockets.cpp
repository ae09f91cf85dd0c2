#include "modeler/cushion/pockets.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/hollow.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kWallMm = 40, kFloorMm = 40, kCreaseMm = 40;  // reference parts 3 and 4, common practice
constexpr double kThroughMm = 1;

std::string place_text(Vec2 p) { return "(" + number_text(p.x, 1) + ", " + number_text(p.y, 1) + ") mm"; }

template <class See>
void along_boundary(const plane::Outline& o, double step, const See& see) {
  const auto walk = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      const int n = 1 + static_cast<int>(s.length() / step);
      for (int k = 0; k < n; ++k) see(s.point(static_cast<double>(k) / n));
    }
  };
  walk(o.outer);
  for (const plane::Loop& hole : o.holes) walk(hole);
}

// Distance in plan, 0 where they overlap.
struct Gap {
  double mm = INFINITY;
  Vec2 at;
};
Gap gap(const plane::Outline& a, const plane::Outline& b) {
  Gap g;
  const auto look = [&](const plane::Outline& x, const plane::Outline& y) {
    along_boundary(x, 3, [&](Vec2 p) {
      const double d = plane::contains(y, p) ? 0 : plane::nearest(y, p).distance;
      if (d >= g.mm) return;
      g = {d, p};
    });
  };
  look(a, b);
  look(b, a);
  return g;
}

class Making {
 public:
  Making(const plane::Outline& given, bool mirrored, const Form& form, const std::vector<std::string>& side_names,
         double cover, const std::vector<Crease>& creases, Findings& out)
      : given_(given),
        mirrored_(mirrored),
        form_(form),
        sides_(side_names),
        cover_(cover),
        creases_(creases),
        out_(out) {}

  std::optional<Pocket> make(const PocketSpec& s, std::size_t index) {
    Pocket p;
    p.name = "pocket " + std::to_string(index + 1);
    p.field = "pockets/" + std::to_string(index);
    p.depth_mm = s.depth.value;
    p.lining = s.lining;
    const std::size_t before = out_.size();
    if (!(p.depth_mm >= 0.1 && p.depth_mm <= 5000))
      complain("pocket.depth", p.field + "/depth",
               "the depth " + (s.depth.known() ? "is " + mm_text(p.depth_mm) : std::string("is missing")) +
                   "; permitted is 0.1 mm to 5 m",
               "give a depth in that range");
    if (!face(s, p)) return std::nullopt;
    if (!s.outline.shape) {
      complain("pocket.outline", p.field, "the pocket has no outline", "give an outline");
      return std::nullopt;
    }
    Result<plane::Outline> outline = placed_outline(s.outline);
    if (!outline) {
      append(out_, under(p.field, outline.findings()));
      return std::nullopt;
    }
    p.outline = std::move(*outline);
    if (out_.size() > before) return std::nullopt;
    if (p.from == Pocket::From::side) return check_side(p) ? std::optional(p) : std::nullopt;
    if (mirrored_) turn(p.outline);
    if (s.lidded() && !add_lid(s.lid, p)) return std::nullopt;
    if (!check_wall(p) || !check_floor(p)) return std::nullopt;
    check_creases(p);
    return p;
  }

  // Pockets of one face by their outlines, of different faces as the prisms that they are.
  void check_neighbours(const std::vector<Pocket>& list) {
    for (std::size_t i = 0; i < list.size(); ++i)
      for (std::size_t j = i + 1; j < list.size(); ++j) {
        const Pocket &a = list[i], &b = list[j];
        const Gap g = distance(a, b);
        if (g.mm >= kWallMm) continue;
        if (g.mm < kThroughMm)
          complain("pocket.overlap", b.field, a.name + " and " + b.name + " run into each other at " + place_text(g.at),
                   a.from == b.from ? "move one of them, or draw both as one pocket"
                                    : "move one of them or make one shallower");
        else
          out_.push_back(warning("pocket.near", b.field,
                                 a.name + " and " + b.name + " leave a wall of " + mm_text(g.mm) + " at " +
                                     place_text(g.at) + "; " + mm_text(kWallMm) + " or more should stay",
                                 "move one of them"));
      }
  }

 private:
  static const plane::Outline& mouth(const Pocket& p) { return p.lid ? p.lid->seat : p.outline; }

  // The prisms that a pocket is made of: in plan, and from where to where in height.
  struct Prism {
    plane::Outline plan;
    double low, high;
  };
  std::vector<Prism> prisms(const Pocket& p) const {
    const double height = form_.height();
    switch (p.from) {
      case Pocket::From::bottom:
        return {{p.outline, 0, p.depth_mm}};
      case Pocket::From::top:
        if (p.lid)
          return {{p.lid->seat, height - p.lid->thickness(), height}, {p.outline, height - p.depth_mm, height}};
        return {{p.outline, height - p.depth_mm, height}};
      case Pocket::From::side:
        break;
    }
    const plane::Box b = plane::bounds(p.outline);
    return {{footprint(p), b.low.y, b.high.y}};
  }
  Gap distance(const Pocket& a, const Pocket& b) const {
    if (a.from == Pocket::From::side && b.from == Pocket::From::side && a.side_name == b.side_name)
      return gap(a.outline, b.outline);
    Gap least;
    for (const Prism& x : prisms(a))
      for (const Prism& y : prisms(b)) {
        Gap g = gap(x.plan, y.plan);
        g.mm = std::hypot(g.mm, std::max({x.low - y.high, y.low - x.high, 0.0}));
        if (g.mm < least.mm) least = g;
      }
    return least;
  }

  bool complain(const std::string& code, const std::string& path, const std::string& message,
                const std::string& remedy) {
    out_.push_back(error(code, path, message, remedy));
    return false;
  }
  void turn(plane::Outline& o) const {
    const plane::Box box = plane::bounds(given_);
    const auto loop = [&](plane::Loop& l) { l = plane::moved(plane::mirrored_x(l), {box.low.x + box.high.x, 0}); };
    loop(o.outer);
    for (plane::Loop& hole : o.holes) loop(hole);
  }

  bool face(const PocketSpec& s, Pocket& p) {
    if (s.from == "bottom" || s.from == "top") {
      p.from = s.from == "top" ? Pocket::From::top : Pocket::From::bottom;
      if (s.lidded() && p.from != Pocket::From::top)
        return complain("pocket.lid", p.field + "/lid", "a lid needs a pocket from the top", "set from to top");
      return true;
    }
    const auto it = std::find(form_.outline().sides.begin(), form_.outline().sides.end(), s.from);
    if (it == form_.outline().sides.end()) {
      std::vector<std::string> known{"bottom", "top"};
      known.insert(known.end(), form_.outline().sides.begin(), form_.outline().sides.end());
      return complain("pocket.from", p.field + "/from", "\"" + s.from + "\" is no face of this piece",
                      offer(s.from, known));
    }
    if (s.lidded())
      return complain("pocket.lid", p.field + "/lid", "a lid needs a pocket from the top", "set from to top");
    p.from = Pocket::From::side;
    const int side = static_cast<int>(it - form_.outline().sides.begin());
    p.side_name = sides_[static_cast<std::size_t>(side)];
    const plane::Segment* found = nullptr;
    plane::Segment segment;
    int count = 0;
    const plane::Loop& outer = form_.outline().outer;
    for (std::size_t i = 0; i < outer.size(); ++i)
      if (outer[i].side == side) {
        segment = plane::segment(outer, i);
        found = &segment;
        ++count;
      }
    if (count != 1 || !found->is_line())
      return complain("pocket.side", p.field + "/from",
                      "side \"" + s.from + "\" is not one straight line: a pocket cannot be cut square into it",
                      "choose a straight side, or cut from the top or the underside");
    p.origin = segment.a;
    p.along = segment.tangent(0);
    p.inward = segment.inward(0);
    length_ = segment.length();
    return true;
  }

  bool add_lid(const LidSpec& s, Pocket& p) {
    Pocket::Lid lid;
    lip_ = s.lip.value;
    lid.foam = s.foam;
    lid.board = s.board;
    lid.foam_mm = s.foam_thickness.value;
    lid.board_mm = s.board_thickness.value;
    lid.clearance_mm = 2 * cover_ + 2;
    if (!(p.depth_mm > lid.thickness()))
      return complain("pocket.lid", p.field + "/depth",
                      "a pocket " + mm_text(p.depth_mm) + " deep is filled by its lid of " + mm_text(lid.thickness()) +
                          "; permitted is more than " + mm_text(lid.thickness()),
                      "make the pocket deeper or the lid thinner");
    Result<std::vector<plane::Outline>> seat = plane::offset(p.outline, s.lip.value);
    if (!seat || seat->size() != 1)
      return complain("pocket.lid", p.field + "/lid/lip", "no seat of one piece is found around the cavity",
                      "use a simpler outline or another lip");
    lid.seat = std::move(seat->front());
    Result<std::vector<plane::Outline>> piece = plane::offset(lid.seat, -lid.clearance_mm);
    if (!piece || piece->size() != 1)
      return complain("pocket.lid", p.field + "/lid",
                      "the clearance of " + mm_text(lid.clearance_mm) + " a side leaves no lid",
                      "make the pocket larger");
    lid.piece = std::move(piece->front());
    lid.cavity_mm3 = plane::area(p.outline) * (p.depth_mm - lid.thickness());
    p.lid = std::move(lid);
    return true;
  }

  double cavity_wall(const Pocket& p) const {
    double least = INFINITY;
    along_boundary(p.outline, 3, [&](Vec2 q) {
      least =
          std::min(least, plane::nearest(form_.outline(), q).distance * (plane::contains(form_.outline(), q) ? 1 : -1));
    });
    return least;
  }

  bool check_wall(Pocket& p) {
    const plane::Outline& m = mouth(p);
    p.wall_mm = INFINITY;
    Vec2 where;
    along_boundary(m, 3, [&](Vec2 q) {
      const double d = plane::nearest(form_.outline(), q).distance * (plane::contains(form_.outline(), q) ? 1 : -1);
      if (d >= p.wall_mm) return;
      p.wall_mm = d;
      where = q;
    });
    // A hole of the cushion within the pocket is an open wall too.
    for (const plane::Loop& hole : form_.outline().holes)
      if (plane::contains(m, hole[0].at)) {
        p.wall_mm = -1;
        where = hole[0].at;
      }
    if (p.wall_mm < kThroughMm && p.lid && cavity_wall(p) > kThroughMm)
      return complain("pocket.wall", p.field + "/lid/lip",
                      "the seat of the lid of " + p.name + ", " + mm_text(lip_) +
                          " larger than the cavity all round, " +
                          (p.wall_mm > 0 ? "leaves a wall of only " + mm_text(p.wall_mm)
                                         : "breaks through the wall by " + mm_text(-p.wall_mm)) +
                          " at " + place_text(where) + "; permitted is a lip of " +
                          mm_text(std::max(0.0, lip_ + p.wall_mm - kThroughMm)) + " or less",
                      "make the lip or the cavity smaller");
    if (p.wall_mm < kThroughMm)
      return complain("pocket.wall", p.field,
                      p.name +
                          (p.wall_mm > 0 ? " leaves a wall of only " + mm_text(p.wall_mm)
                                         : " breaks through the wall by " + mm_text(-p.wall_mm)) +
                          " at " + place_text(where) + "; permitted is " + mm_text(kThroughMm) + " or more, " +
                          mm_text(kWallMm) + " should stay",
                      "move the pocket inward or make it smaller");
    if (p.wall_mm < kWallMm)
      out_.push_back(warning("pocket.thin_wall", p.field,
                             p.name + " leaves a wall of " + mm_text(p.wall_mm) + " at " + place_text(where) + "; " +
                                 mm_text(kWallMm) + " or more should stay",
                             "move the pocket inward or make it smaller"));
    return true;
  }

  // What stays over (or under) the pocket, creases above it taken off.
  bool check_floor(Pocket& p) {
    p.floor_mm = INFINITY;
    Vec2 where;
    const plane::Box box = plane::bounds(p.outline);
    const auto look = [&](Vec2 q) {
      double left_mm = p.from == Pocket::From::bottom ? form_.z_top(q) - p.depth_mm
                                                      : form_.height() - p.depth_mm - form_.z_bottom(q);
      if (left_mm >= p.floor_mm) return;
      p.floor_mm = left_mm;
      where = q;
    };
    along_boundary(p.outline, 3, look);
    constexpr int kPlaces = 12;
    for (int i = 0; i <= kPlaces; ++i)
      for (int j = 0; j <= kPlaces; ++j) {
        const Vec2 q{box.low.x + box.width() * i / kPlaces, box.low.y + box.depth() * j / kPlaces};
        if (plane::contains(p.outline, q)) look(q);
      }
    if (p.floor_mm < kThroughMm)
      return complain("pocket.through", p.field + "/depth",
                      p.name + ", " + mm_text(p.depth_mm) + " deep, " +
                          (p.floor_mm > 0 ? "leaves only " + mm_text(p.floor_mm) : "goes through the foam") + " at " +
                          place_text(where) + "; permitted there is " +
                          mm_text(std::max(0.0, p.depth_mm + p.floor_mm - kFloorMm)) + " or less, which leaves " +
                          mm_text(kFloorMm),
                      "make the pocket shallower or the foam thicker");
    if (p.floor_mm < kFloorMm)
      out_.push_back(warning("pocket.thin_floor", p.field + "/depth",
                             p.name + " leaves " + mm_text(p.floor_mm) + " of foam at " + place_text(where) + "; " +
                                 mm_text(kFloorMm) + " or more should stay",
                             "make the pocket shallower or the foam thicker"));
    return true;
  }

  void check_creases(const Pocket& p) {
    for (const Crease& c : creases_)
      for (const CreaseRun& r : c.runs) {
        const Gap g = gap(mouth(p), r.strip);
        if (g.mm >= kCreaseMm) continue;
        // Upright, for a crease over a pocket from below.
        const double between = p.from == Pocket::From::bottom ? form_.z_top(g.at) - c.depth_mm - p.depth_mm : 0;
        const double apart = between > 0 ? std::hypot(g.mm, between) : g.mm;
        if (apart >= kCreaseMm) continue;
        if (g.mm == 0 && between < kThroughMm)
          complain("pocket.crease", p.field, p.name + " and " + c.name + " run into each other at " + place_text(g.at),
                   "move one of them or make one shallower");
        else
          out_.push_back(warning("pocket.crease", p.field,
                                 p.name + " and " + c.name + " come within " + mm_text(apart) + " at " +
                                     place_text(g.at) + "; " + mm_text(kCreaseMm) + " or more should stay",
                                 "move one of them"));
        break;
      }
  }

  // In the side's plane: within the flat of the side face, and not through to the other side.
  bool check_side(Pocket& p) {
    const plane::Box b = plane::bounds(p.outline);
    const double drop_top = form_.drop_max(Sheet::top), drop_bottom = form_.drop_max(Sheet::bottom);
    const double high = form_.height() - drop_top;
    if (b.low.x < kThroughMm || b.high.x > length_ - kThroughMm || b.low.y < drop_bottom + kThroughMm ||
        b.high.y > high - kThroughMm)
      return complain("pocket.wall", p.field,
                      p.name + " reaches from " + mm_text(b.low.x) + " to " + mm_text(b.high.x) + " along side " +
                          p.side_name + " and from " + mm_text(b.low.y) + " to " + mm_text(b.high.y) +
                          " up; permitted is " + mm_text(kThroughMm) + " to " + mm_text(length_ - kThroughMm) +
                          " along and " + mm_text(drop_bottom + kThroughMm) + " to " + mm_text(high - kThroughMm) +
                          " up",
                      "keep it on the flat of the side");
    p.wall_mm = std::min({b.low.x, length_ - b.high.x, b.low.y, high - b.high.y});
    const plane::Outline prism = footprint(p);
    p.floor_mm = INFINITY;
    Vec2 where;
    along_boundary(prism, 3, [&](Vec2 q) {
      if (dot(q - p.origin, p.inward) < p.depth_mm - 1e-6 && dot(q - p.origin, p.inward) < kWallMm) return;
      const double d = plane::nearest(form_.outline(), q).distance * (plane::contains(form_.outline(), q) ? 1 : -1);
      if (d >= p.floor_mm) return;
      p.floor_mm = d;
      where = q;
    });
    if (p.floor_mm < kThroughMm)
      return complain("pocket.through", p.field + "/depth",
                      p.name + ", " + mm_text(p.depth_mm) + " deep, breaks through at " + place_text(where) +
                          "; permitted there is " + mm_text(std::max(0.0, p.depth_mm + p.floor_mm - kFloorMm)) +
                          " or less, which leaves " + mm_text(kFloorMm),
                      "make the pocket shallower");
    for (const Crease& c : creases_)
      for (const CreaseRun& r : c.runs) {
        const Gap g = gap(prism, r.strip);
        const double between = form_.height() - form_.drop_max(Sheet::top) - c.depth_mm - b.high.y;
        if (g.mm > 0 ? g.mm >= kCreaseMm : between >= kCreaseMm) continue;
        if (g.mm == 0 && between < kThroughMm)
          return complain("pocket.crease", p.field,
                          p.name + " and " + c.name + " run into each other at " + place_text(g.at),
                          "move one of them or make one shallower");
      }
    if (std::min(p.wall_mm, p.floor_mm) < kWallMm)
      out_.push_back(warning("pocket.thin_wall", p.field,
                             p.name + " leaves " + mm_text(std::min(p.wall_mm, p.floor_mm)) + " of foam beside it; " +
                                 mm_text(kWallMm) + " or more should stay",
                             "move it or make it smaller"));
    return true;
  }

  const plane::Outline& given_;
  bool mirrored_;
  const Form& form_;
  const std::vector<std::string>& sides_;
  double cover_, length_ = 0, lip_ = 0;
  const std::vector<Crease>& creases_;
  Findings& out_;
};

}  // namespace

Result<Pockets> pockets_of(const std::vector<PocketSpec>& list, const plane::Outline& given, bool mirrored,
                           const Form& form, const std::vector<std::string>& side_names, double cover,
                           const std::vector<Crease>& creases) {
  Pockets result;
  Making making(given, mirrored, form, side_names, cover, creases, result.notes);
  for (std::size_t i = 0; i < list.size(); ++i)
    if (std::optional<Pocket> p = making.make(list[i], i)) result.list.push_back(std::move(*p));
  making.check_neighbours(result.list);
  if (has_errors(result.notes)) return result.notes;
  return result;
}

}  // namespace kerfkiln::cushion
