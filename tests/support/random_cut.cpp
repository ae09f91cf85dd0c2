#include "tests/support/random_cut.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/cut_parts.hpp"
#include "modeler/plane/offset.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::test {
namespace {

using namespace cushion;

struct Made {
  Plan plan;
  Skins skins;
  Form form;
};
std::optional<Made> made_of(const Spec& s) {
  const material::Library& materials = material::built_in();
  const Result<Plan> plan = plan_of(s.outline, s.mirrored);
  const Result<Skins> skins = skins_of(s, materials);
  const Result<Layers> layers = layers_of(s, materials);
  if (!plan || !skins || !layers) return std::nullopt;
  const double height = layers->list.back().high_mm;
  const Result<std::vector<plane::Outline>> core = plane::offset(plan->outline, -skins->side_mm);
  if (!core || core->size() != 1) return std::nullopt;
  const Result<Edges> edges = edges_of(s, *plan, *skins, height);
  if (!edges) return std::nullopt;
  const Result<Form> form = Form::make(core->front(), height, edges->top_profiles, edges->bottom_profiles);
  if (!form) return std::nullopt;
  return Made{*plan, *skins, *form};
}

double tenths(double x) { return std::round(x * 10) / 10; }

class Cutter {
 public:
  Cutter(Random& r, Spec& s, const Made& m) : r_(r), s_(s), m_(m), box_(plane::bounds(m.form.outline())) {}

  void creases(int n) {
    for (int i = 0; i < n; ++i)
      for (int tries = 0; tries < 8; ++tries) {
        std::vector<CreaseSpec> all = s_.creases;
        all.push_back(crease());
        if (!creases_of(all, m_.plan.outline, s_.mirrored, m_.form, crease_skins_of(m_.skins))) continue;
        s_.creases = std::move(all);
        break;
      }
  }
  void pockets(int n) {
    const Result<Creases> creases =
        creases_of(s_.creases, m_.plan.outline, s_.mirrored, m_.form, crease_skins_of(m_.skins));
    if (!creases) return;
    for (int i = 0; i < n; ++i)
      for (int tries = 0; tries < 8; ++tries) {
        std::vector<PocketSpec> all = s_.pockets;
        all.push_back(pocket());
        if (!pockets_of(all, m_.plan.outline, s_.mirrored, m_.form, m_.plan.shown, crease_skins_of(m_.skins).cover_mm,
                        creases->list))
          continue;
        s_.pockets = std::move(all);
        break;
      }
  }

 private:
  double across(double low, double high) { return tenths(box_.low.x + box_.width() * r_.between(low, high)); }
  double back(double low, double high) { return tenths(box_.low.y + box_.depth() * r_.between(low, high)); }

  CreaseSpec crease() {
    CreaseSpec c;
    c.cut = r_.chance(0.7) ? "slit" : "trench";
    c.depth = tenths(m_.form.height() * r_.between(0.1, 0.5));
    c.kerf = tenths(r_.between(2, 8));
    c.tape = std::min(tenths(r_.between(5, 30)), c.depth.value);
    const int way = r_.below(12);
    const auto point = [&](double x, double y, double bulge = 0) { return CreasePoint{x, y, bulge}; };
    if (way < 4) {  // over both edges, straight or slanting
      if (r_.chance(0.5))
        c.path = {point(box_.low.x - 5, back(0.1, 0.9)), point(box_.high.x + 5, back(0.1, 0.9))};
      else
        c.path = {point(across(0.1, 0.9), box_.low.y - 5), point(across(0.1, 0.9), box_.high.y + 5)};
    } else if (way < 7) {  // inside, straight or bent
      for (int k = 2 + r_.below(2); k > 0; --k) c.path.push_back(point(across(0.2, 0.8), back(0.2, 0.8)));
    } else if (way < 9) {  // an arc, one end perhaps over the edge
      c.points = {
          point(across(0.2, 0.8), r_.chance(0.5) ? box_.low.y - 5 : back(0.2, 0.4), tenths(r_.between(-0.5, 0.5))),
          point(across(0.2, 0.8), back(0.5, 0.8))};
    } else if (way < 11) {  // closed
      const double x = across(0.35, 0.65), y = back(0.35, 0.65), size = tenths(r_.between(30, 60));
      c.closed = true;
      if (r_.chance(0.5))
        c.points = {point(x - size, y, 1), point(x + size, y, 1)};
      else
        c.path = {point(x - size, y - size), point(x + size, y - size), point(x, y + size)};
    } else if (r_.chance(0.5)) {
      c.channels.spacing = tenths(r_.between(70, 150));
      c.channels.direction = r_.chance(0.5) ? "front to back" : "left to right";
      if (r_.chance(0.5)) c.channels.margin = 50;
    } else {
      c.diamonds.width = tenths(r_.between(120, 200));
      c.diamonds.length = tenths(r_.between(120, 250));
      if (r_.chance(0.5)) c.diamonds.margin = 50;
    }
    return c;
  }

  PocketSpec pocket() {
    PocketSpec p;
    const int from = r_.below(5);
    const double width = tenths(box_.width() * r_.between(0.1, 0.4));
    const double depth = tenths(box_.depth() * r_.between(0.1, 0.4));
    p.depth = tenths(m_.form.height() * r_.between(0.1, 0.6));
    p.outline.x = across(0.2, 0.8);
    p.outline.y = back(0.2, 0.8);
    p.outline.shape = RectangleSpec{width, depth, tenths(std::min(width, depth) * r_.between(0, 0.45))};
    if (from < 2) {
      p.from = "bottom";
    } else if (from < 4) {
      p.from = "top";
      if (r_.chance(0.3)) p.lid = {"soft", tenths(p.depth.value * 0.3), 9, 10};
    } else {
      const std::vector<std::string>& sides = m_.form.outline().sides;
      p.from = sides[static_cast<std::size_t>(r_.below(static_cast<int>(sides.size())))];
      const double height = tenths(m_.form.height() * r_.between(0.1, 0.4));
      p.depth = tenths(r_.between(10, 100));
      p.outline.y = tenths(m_.form.height() * r_.between(0.3, 0.6));
      p.outline.shape = RectangleSpec{width / 2, height, tenths(std::min(width / 2, height) * r_.between(0, 0.45))};
    }
    return p;
  }

  Random& r_;
  Spec& s_;
  const Made& m_;
  plane::Box box_;
};

}  // namespace

Spec random_cut_cushion(std::uint64_t seed) {
  Spec s = random_cushion(seed);
  const std::optional<Made> made = made_of(s);
  if (!made) return s;
  Random r(seed * 7 + 3);
  Cutter cutter(r, s, *made);
  cutter.creases(1 + r.below(4));
  cutter.pockets(r.below(3));
  return s;
}

CutForm random_cut_form(std::uint64_t seed) {
  const Spec s = random_cut_cushion(seed);
  Made made = *made_of(s);
  std::vector<double> levels{0};
  for (const LayerSpec& l : s.layers) levels.push_back(levels.back() + l.thickness.value);
  Cuts cuts = *cuts_of(s, made.plan.outline, made.form, levels, crease_skins_of(made.skins), made.plan.shown);
  return {std::move(made.form), std::move(levels), std::move(cuts)};
}

}  // namespace kerfkiln::test
