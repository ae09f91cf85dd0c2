// Elevations (half outside, half section) and level sections of an urn at the fired size.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/plane/fit.hpp"
#include "modeler/product/sketch_tools.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/silhouette.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

using product::DimensionKind;
using product::LineRole;

constexpr double kDrawnMm = 0.02;  // what a curve in a drawing may be off
constexpr product::Colour kClay{0.80, 0.66, 0.52};

// A view of the axis plane: x to the right of the axis, y the height above the foot.
class Elevation {
 public:
  Elevation(const Ware& w, bool depth) : w_(w), depth_(depth) {
    outer_ = silhouette_chain(w.form(), depth, {1, 1}, kDrawnMm);
    cut_ = cut_chain(w.form(), depth, {1, 1}, kDrawnMm);
    for (const Vec2 p : w.wall.inner_silhouette(depth, kDrawnMm)) inner_.push_back({p, 0, 0});
  }

  product::View view() {
    draw_section();
    draw_outside();
    draw_levels();
    dimension();
    product::View v;
    v.id = depth_ ? "elevation-side" : "elevation-front";
    v.caption = std::string(depth_ ? "Side elevation" : "Front elevation") +
                (w_.solved.asked ? ", fired, solved size" : ", fired") + "; left outside, right section" +
                (w_.form().twisted() ? " through the axis; outlines are the farthest reach all round" : "");
    v.sketch = std::move(sketch_);
    return v;
  }

 private:
  double half(double z) const { return w_.form().half_extent(z, depth_); }
  double foot() const { return outer_.front().at.x; }
  // Of the section, whose plane goes through the axis.
  double cut_foot() const { return cut_.front().at.x; }
  double cut_half(double z) const { return w_.form().outer_reach(depth_ ? Vec2{0, 1} : Vec2{1, 0}, z); }
  double lip() const { return w_.wall.lip(); }
  double recess() const { return w_.wall.size().foot_width > 0 ? w_.wall.size().recess : 0; }

  void draw_section() {
    plane::Loop clay = cut_;
    clay.back().bulge = 0;
    for (auto it = inner_.rbegin(); it != inner_.rend(); ++it) clay.push_back(*it);
    clay.push_back({{0, w_.wall.floor()}, 0, 0});
    if (recess() > 0) {
      const double ring = cut_foot() - w_.wall.size().foot_width;
      for (const Vec2 p : {Vec2{0, recess()}, Vec2{ring, recess()}, Vec2{ring, 0}}) clay.push_back({p, 0, 0});
    } else {
      clay.push_back({{0, 0}, 0, 0});
    }
    sketch_.fills.push_back({{clay, {}, {}}, kClay, product::Hatch::lines});
    sketch_.strokes.push_back(product::closed(clay, LineRole::section));
    // Behind the cut a twisted form reaches farther out.
    if (w_.form().twisted()) sketch_.strokes.push_back(product::open(outer_, LineRole::visible));
  }

  void draw_outside() {
    plane::Loop left = outer_;
    for (plane::Vertex& v : left) {
      v.at.x = -v.at.x;
      v.bulge = -v.bulge;
    }
    sketch_.strokes.push_back(product::open(left, LineRole::visible));
    sketch_.strokes.push_back(product::line({-foot(), 0}, {0, 0}, LineRole::visible));
    sketch_.strokes.push_back(product::line({-half(lip()), lip()}, {0, lip()}, LineRole::visible));
    for (const ProfilePoint& p : w_.spec.profile)
      if (p.corner && p.height.value > w_.form().low() && p.height.value < lip())
        sketch_.strokes.push_back(
            product::line({-half(p.height.value), p.height.value}, {0, p.height.value}, LineRole::visible));
    sketch_.strokes.push_back(product::line({0, -8}, {0, lip() + 8}, LineRole::centre));
  }

  // Fill line and, in the section, the floor edge of the far half.
  void draw_levels() {
    const double fill = w_.measure.fill_level;
    if (fill < lip()) {
      const double reach = w_.wall.inner_reach(depth_ ? std::numbers::pi / 2 : 0, fill);
      sketch_.strokes.push_back(product::line({0, fill}, {reach, fill}, LineRole::construction));
    }
  }

  void dimension() {
    auto& d = sketch_.dimensions;
    const auto& points = w_.spec.profile;
    const double widest = w_.form().max_half_extent(depth_);
    const std::string key = depth_ && points.front().half_depth.known() ? "/half_depth" : "/half_width";
    const std::string last = std::to_string(points.size() - 1);
    d.push_back({DimensionKind::vertical, {-widest, 0}, {-widest, lip()}, 18, {}, "profile/" + last + "/height"});
    for (const ProfilePoint& p : points)
      if (p.corner && p.height.value > 0.02 * lip() && p.height.value < 0.98 * lip())
        d.push_back({DimensionKind::vertical, {-widest, 0}, {-widest, p.height.value}, 9, {}, {}});
    // Right to left, so that the line lies below.
    d.push_back({DimensionKind::horizontal, {foot(), 0}, {-foot(), 0}, 9, {}, "profile/0" + key});
    d.push_back({DimensionKind::horizontal, {widest, 0}, {-widest, 0}, 18, {}, {}});
    d.push_back(
        {DimensionKind::horizontal, {-half(lip()), lip()}, {half(lip()), lip()}, 9, {}, "profile/" + last + key});
    // Notes stand right of everything, so that at any scale none runs across the drawing.
    const double column = widest + 0.08 * lip(), z = 0.55 * lip(), rise = 0.06 * lip();
    const auto note = [&](Vec2 at, double height, std::string text, std::string field) {
      d.push_back({DimensionKind::leader, at, {column, height}, 0, std::move(text), std::move(field)});
    };
    const double in = w_.wall.inner_reach(depth_ ? std::numbers::pi / 2 : 0, z), floor = w_.wall.floor();
    note({0.5 * (in + cut_half(z)), z}, z + rise, "wall " + bare(shortest(w_.wall.size().wall)), "wall");
    note({0.7 * cut_foot(), 0.5 * (recess() + floor)}, floor + rise,
         "base " + bare(shortest(floor - recess())) + (recess() > 0 ? ", recess " + bare(shortest(recess())) : ""),
         "base/thickness");
    const double fill = w_.measure.fill_level;
    if (fill < lip()) note({0.4 * half(fill), fill}, fill - rise, "fill line", "capacity/fill_below_lip");
  }

  const Ware& w_;
  bool depth_;
  plane::Loop outer_, cut_, inner_;
  product::Sketch sketch_;
};

product::View level_sections(const Ware& w) {
  product::View v;
  v.id = "level-sections";
  v.caption =
      w.solved.asked ? "Level sections of the outside, fired, solved size" : "Level sections of the outside, fired";
  struct Level {
    double z;
    std::string name;
  };
  std::vector<Level> levels{{w.form().low(), "foot"}};
  double belly = 0, widest = 0;
  for (int i = 0; i <= 400; ++i) {
    const double z = w.form().low() + w.form().height() * i / 400;
    const double half = w.form().half_extent(z, false);
    if (half > widest) widest = half, belly = z;
  }
  // A form that turns is drawn at all its stations.
  for (const ProfilePoint& p : w.spec.profile)
    if ((p.corner || w.form().twisted()) && p.height.value > w.form().low() && p.height.value < w.wall.lip() &&
        std::abs(p.height.value - belly) > 0.05 * w.form().height())
      levels.push_back({p.height.value, p.corner ? "corner" : "station"});
  if (belly > w.form().low() && belly < w.wall.lip()) levels.push_back({belly, "belly"});
  levels.push_back({w.wall.lip(), "lip"});
  // Names stand to the right, the widest section on top, so that no leader crosses another.
  std::sort(levels.begin(), levels.end(), [&](const Level& a, const Level& b) {
    return w.form().half_extent(a.z, false) > w.form().half_extent(b.z, false);
  });
  const double right = widest * 1.25, step = 2 * widest / static_cast<double>(levels.size() + 1);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    plane::Loop loop;
    for (const Vec2 p : w.form().section_loop(levels[i].z, kDrawnMm)) loop.push_back({p, 0, 0});
    v.sketch.strokes.push_back(
        product::closed(loop, levels[i].name == "belly" ? LineRole::section : LineRole::visible));
    const double turn = (0.5 - 0.2 * static_cast<double>(i)) * std::numbers::pi / 2;
    const auto on_curve =
        std::min_element(loop.begin(), loop.end(), [&](const plane::Vertex& a, const plane::Vertex& b) {
          return std::abs(std::remainder(std::atan2(a.at.y, a.at.x) - turn, 2 * std::numbers::pi)) <
                 std::abs(std::remainder(std::atan2(b.at.y, b.at.x) - turn, 2 * std::numbers::pi));
        });
    v.sketch.dimensions.push_back({DimensionKind::leader,
                                   on_curve->at,
                                   {right, widest - step * static_cast<double>(i + 1)},
                                   0,
                                   levels[i].name + ", " + bare(shortest(levels[i].z, 1)) + " up",
                                   {}});
  }
  v.sketch.strokes.push_back(product::line({-widest - 6, 0}, {widest + 6, 0}, LineRole::centre));
  const double deep = w.form().max_half_extent(true);
  v.sketch.strokes.push_back(product::line({0, -deep - 6}, {0, deep + 6}, LineRole::centre));
  v.sketch.dimensions.push_back({DimensionKind::horizontal, {widest, -deep}, {-widest, -deep}, 9, {}, {}});
  v.sketch.dimensions.push_back({DimensionKind::vertical, {-widest, -deep}, {-widest, deep}, 9, {}, {}});
  return v;
}

}  // namespace

std::vector<product::View> views_of(const Ware& w) {
  std::vector<product::View> out{Elevation(w, false).view()};
  if (!w.form().round()) {
    out.push_back(Elevation(w, true).view());
    out.push_back(level_sections(w));
  }
  for (product::View& v : size_views(w)) out.push_back(std::move(v));
  out.push_back(throwing_view(w));
  return out;
}

}  // namespace kerfkiln::urn
