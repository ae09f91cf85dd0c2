#include "modeler/cushion/topper.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kSmooth = 1e-9;     // rad: a joint without a corner
constexpr double kMostStrain = 0.5;  // common practice: beyond it foam is cut rather than stretched

// Smallest radius of curvature of a profile's curve; 0 where it has a corner.
double tightest(const EdgeProfile& p) {
  if (p.square() || p.curve->family() != DropFamily::quarter_ellipse) return 0;
  // An ellipse bends most at the ends of its longer half axis.
  const double a = std::max(p.inset, p.drop), b = std::min(p.inset, p.drop);
  return b * b / a;
}

}  // namespace

plane::Loop parallel(const plane::Loop& chain, double away_mm) {
  plane::Loop out;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const plane::Segment s{chain[i].at, chain[i + 1].at, chain[i].bulge};
    Vec2 from = s.a + away_mm * left(s.tangent(0));
    const Vec2 to = s.b + away_mm * left(s.tangent(1));
    if (!out.empty()) {
      // The corner's arc starts where the last segment's parallel ended and turns about the corner.
      const plane::Segment last{chain[i - 1].at, chain[i].at, chain[i - 1].bulge};
      const Vec2 before = last.tangent(1), after = s.tangent(0);
      const double turn = std::atan2(cross(before, after), dot(before, after));
      if (turn < -kSmooth) {
        out.back().bulge = std::tan(turn / 4);
      } else {
        // Arcs drawn for an ellipse meet at hair's breadths of an angle either way; no loop is left where they close.
        from = 0.5 * (out.back().at + from);
        out.pop_back();
      }
    }
    out.push_back({from, s.bulge, chain[i].side});
    out.push_back({to, 0, chain[i].side});
  }
  return out;
}

plane::Loop topped_side_curve(const ProfileCurve& bottom, const ProfileCurve& top, double height_mm, double topper_mm) {
  plane::Loop side = {{{0, bottom.drop}, 0, 0}};
  extend(side, backwards(flipped_y(top.path, height_mm)));
  plane::Loop chain = bottom.path;
  if (side.size() == 1) {
    // Square edges on a side of no height left: the topper's quarter alone.
    extend(chain,
           {{{-topper_mm, bottom.drop}, std::tan(-std::numbers::pi / 8), 0}, {{0, height_mm + topper_mm}, 0, 0}});
    return chain;
  }
  plane::Loop over = parallel(side, topper_mm);
  // The side ends level with the top: round a corner where the profile comes to it at an angle.
  const plane::Segment last{side[side.size() - 2].at, side.back().at, side[side.size() - 2].bulge};
  const Vec2 arriving = last.tangent(1), level{1, 0};
  const double turn = std::atan2(cross(arriving, level), dot(arriving, level));
  if (std::abs(turn) > kSmooth) {
    over.back().bulge = std::tan(turn / 4);
    over.push_back({side.back().at + topper_mm * left(level), 0, 0});
  }
  extend(chain, over);
  return chain;
}

Wrapped wrapped(const EdgeProfile& top, const EdgeProfile& bottom, double height_mm, double topper_mm) {
  Wrapped w;
  w.core_mm = top.length();
  w.middle_mm = w.core_mm + topper_mm / 2 * std::numbers::pi / 2;
  w.outer_mm = w.core_mm + topper_mm * std::numbers::pi / 2;
  w.side_mm = std::max(0.0, height_mm - top.drop - bottom.drop);
  w.strain = topper_mm > 0 ? topper_mm / 2 / (tightest(top) + topper_mm / 2) : 0;
  return w;
}

double topper_of(const Skins& skins) {
  for (const Skin& s : skins.layers)
    if (s.name == "topper") return s.thickness_mm;
  return 0;
}

Findings check_topper(const plane::Outline& core, const Edges& edges, const Plan& plan, double height_mm,
                      double topper_mm) {
  Findings out;
  if (topper_mm <= 0) return out;
  double inner = -1;
  for (std::size_t i = 0; i < core.outer.size(); ++i)
    if (const plane::Segment s = plane::segment(core.outer, i); s.bulge < 0 && (inner < 0 || s.radius() < inner))
      inner = s.radius();
  if (inner >= 0 && topper_mm > inner)
    out.push_back(error("topper.inner_radius", "topper/thickness",
                        "the topper of " + mm_text(topper_mm) + " does not go round the core's inner radius of " +
                            mm_text(inner) + "; permitted is above 0 mm to " + mm_text(inner),
                        "make the topper thinner or the inner radius larger"));
  std::vector<std::string> tight;
  for (std::size_t i = 0; i < plan.shown.size(); ++i) {
    const auto side = static_cast<int>(i);
    if (wrapped(edges.top_profiles.of(side), edges.bottom_profiles.of(side), height_mm, topper_mm).strain > kMostStrain)
      tight.push_back(plan.shown[i]);
  }
  if (!tight.empty())
    out.push_back(
        warning("topper.strain", "topper/thickness",
                "round the top edge of " + listed(tight) + " the topper's skin would stretch by more than 50 %",
                "cut a wedge along the inside of the bend where the pattern marks it, or give the core's edge a "
                "radius of at least " +
                    mm_text(topper_mm / 2)));
  return out;
}

}  // namespace kerfkiln::cushion
