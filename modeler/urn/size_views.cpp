// The outside at the fired, the cavity and the wet size, side by side at one scale.
#include <algorithm>

#include "modeler/product/sketch_tools.hpp"
#include "modeler/urn/silhouette.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

using product::DimensionKind;
using product::LineRole;

constexpr double kDrawnMm = 0.02;

struct Shown {
  const char* name;
  Scale scale;
  bool made;  // the crowned form that model and cavity have
};
std::vector<Shown> shown(const Ware& w) {
  return {{"fired", {1, 1}, false},
          {"cavity", w.chain.state("cavity").over_fired, true},
          {"thrown, wet", w.chain.state("thrown").over_fired, true}};
}

plane::Loop moved_right(plane::Loop loop, double by) { return plane::moved(loop, {by, 0}); }

void elevation(product::Sketch& sketch, const Ware& w, const Form& form, const Shown& s, double x) {
  const plane::Loop right = silhouette_chain(form, false, s.scale, kDrawnMm);
  plane::Loop left = right;
  for (plane::Vertex& v : left) v.at.x = -v.at.x, v.bulge = -v.bulge;
  const double high = right.back().at.y, foot = right.front().at.x, lip = right.back().at.x;
  const double half = form.max_half_extent(false) * s.scale.girth;
  sketch.strokes.push_back(product::open(moved_right(right, x), LineRole::visible));
  sketch.strokes.push_back(product::open(moved_right(left, x), LineRole::visible));
  sketch.strokes.push_back(product::line({x - foot, 0}, {x + foot, 0}, LineRole::visible));
  sketch.strokes.push_back(product::line({x - lip, high}, {x + lip, high}, LineRole::visible));
  for (const ProfilePoint& p : w.spec.profile)
    if (p.corner && p.height.value > form.low() && p.height.value < form.high()) {
      const double z = p.height.value, reach = form.half_extent(z, false) * s.scale.girth;
      sketch.strokes.push_back(
          product::line({x - reach, z * s.scale.height}, {x + reach, z * s.scale.height}, LineRole::visible));
    }
  sketch.strokes.push_back(product::line({x, -6}, {x, high + 6}, LineRole::centre));
  auto& d = sketch.dimensions;
  d.push_back({DimensionKind::vertical, {x - half, 0}, {x - half, high}, 6, {}, {}});
  d.push_back({DimensionKind::horizontal, {x + foot, 0}, {x - foot, 0}, 6, {}, {}});
  d.push_back({DimensionKind::horizontal, {x + half, 0}, {x - half, 0}, 13, {}, {}});
  d.push_back({DimensionKind::horizontal, {x - lip, high}, {x + lip, high}, 6, {}, {}});
}

void level(product::Sketch& sketch, const Form& form, double z, const Shown& s, double x) {
  plane::Loop loop;
  double half = 0, deep = 0;
  for (const Vec2 p : form.section_loop(z, kDrawnMm)) {
    loop.push_back({{x + p.x * s.scale.girth, p.y * s.scale.girth}, 0, 0});
    half = std::max(half, p.x * s.scale.girth), deep = std::max(deep, p.y * s.scale.girth);
  }
  sketch.strokes.push_back(product::closed(loop, LineRole::section));
  sketch.strokes.push_back(product::line({x - half - 5, 0}, {x + half + 5, 0}, LineRole::centre));
  sketch.strokes.push_back(product::line({x, -deep - 5}, {x, deep + 5}, LineRole::centre));
  sketch.dimensions.push_back({DimensionKind::horizontal, {x + half, -deep}, {x - half, -deep}, 6, {}, {}});
  sketch.dimensions.push_back({DimensionKind::vertical, {x - half, -deep}, {x - half, deep}, 6, {}, {}});
}

}  // namespace

std::vector<product::View> size_views(const Ware& w) {
  const std::vector<Shown> all = shown(w);
  const Form made = w.made_form();
  // Room for the upright dimension between two of them.
  const double pitch = 2 * w.form().max_half_extent(false) * all.back().scale.girth * 1.45;
  double belly = w.form().low(), widest = 0;
  for (int i = 0; i <= 400; ++i) {
    const double z = w.form().low() + w.form().height() * i / 400, half = w.form().half_extent(z, false);
    if (half > widest) widest = half, belly = z;
  }
  const std::string names = "fired, cavity, thrown (wet), left to right";
  product::View up{"sizes", "Outside, front: " + names, {}}, flat{"sizes-section", "Widest section: " + names, {}};
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Form& form = all[i].made ? made : w.form();
    elevation(up.sketch, w, form, all[i], pitch * static_cast<double>(i));
    level(flat.sketch, form, belly, all[i], pitch * static_cast<double>(i));
  }
  if (w.form().round()) return {up};
  return {up, flat};
}

}  // namespace kerfkiln::urn
