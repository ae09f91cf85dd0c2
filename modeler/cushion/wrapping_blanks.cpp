// Blanks, names and mass of what is wrapped round the core.
#include <cmath>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrapping.hpp"
#include "modeler/cushion/wrapping_names.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

Naming topper_naming(const WrappedLayer& w) {
  return {"topper", "Topper", "foam " + w.material + " " + mm_text(w.layer.thickness_mm)};
}
Naming batting_naming(const WrappedLayer& w) {
  return {"batting", "Batting", "batting " + w.material + ", loft " + mm_text(w.loft_mm)};
}

bool whole(const WrappedLayer& w) {
  for (const FlatPattern& p : w.patterns)
    if (p.outline.outer.empty()) return false;
  return !w.patterns.empty();
}

std::vector<product::Blank> topper_blanks(const Core& core) {
  std::vector<product::Blank> list;
  if (!core.wrapping.topper) return list;
  const WrappedLayer& w = *core.wrapping.topper;
  const material::FoamSheet& sheet = w.foam.sheet;
  const auto add = [&](std::string name, const plane::Box& box, double area, int count) {
    product::Blank b;
    b.name = std::move(name);
    b.material = w.material;
    b.colour = product::colour_of(w.foam.colour);
    b.hatch = product::hatch_of(w.foam.hatch);
    b.width_mm = box.width() + 2 * core.trim_mm;
    b.depth_mm = box.depth() + 2 * core.trim_mm;
    b.thickness_mm = w.layer.thickness_mm;
    b.stock_mm = slitting(sheet, b.thickness_mm, core.kerf_mm).stock_mm;
    b.sheet_width_mm = sheet.width.known() ? sheet.width.value : 0;
    b.sheet_length_mm = sheet.length.known() ? sheet.length.value : 0;
    b.kerf_mm = core.kerf_mm;
    b.density_kg_m3 = w.foam.density.value;
    b.price_m3 = w.foam.price.known() ? w.foam.price.value : std::nan("");
    b.finished_mm3 = area * w.layer.thickness_mm;
    b.count = count;
    list.push_back(std::move(b));
  };
  for (std::size_t i = 0; i < w.patterns.size(); ++i) {
    const FlatPattern& p = w.patterns[i];
    if (p.outline.outer.empty()) continue;
    const std::string name = w.patterns.size() == 1 ? "topper" : "topper, piece " + std::to_string(i + 1);
    add(name, plane::bounds(p.outline), p.area_mm2(), 1);
    for (std::size_t k = 0; k < p.inserts.size(); ++k)
      add(name + ", insert " + std::to_string(k + 1), plane::bounds(p.inserts[k].outline),
          plane::area(p.inserts[k].outline), p.inserts[k].count);
  }
  for (std::size_t i = 0; i < w.lids.size(); ++i)
    add("topper, lid " + std::to_string(i + 1), plane::bounds(w.lids[i]), plane::area(w.lids[i]), 1);
  for (std::size_t i = 0; i < w.strips.size(); ++i)
    add("topper, strip " + std::to_string(i + 1), {{0, 0}, {w.strips[i].length_mm, w.strips[i].height_mm}},
        w.strips[i].length_mm * w.strips[i].height_mm, 1);
  return list;
}

std::vector<product::Blank> foam_blanks(const Core& core) {
  std::vector<product::Blank> list = blanks_of(core);
  for (product::Blank& b : topper_blanks(core)) list.push_back(std::move(b));
  return list;
}

double topper_glue_mm2(const Core& core) {
  const std::optional<WrappedLayer>& w = core.wrapping.topper;
  if (!w || !whole(*w)) return 0;
  double edges = 0;
  // An insert has two such edges.
  for (const FlatPattern& p : w->patterns)
    for (const PatternSeam& s : p.seams) edges += s.kind == PatternSeam::Kind::insert ? 2 * s.first_mm : s.first_mm;
  return w->area_mm2 + edges * w->layer.thickness_mm;
}

WrappedMass wrapped_mass(const Core& core) {
  WrappedMass m;
  std::vector<std::string> without;
  const auto add_layer = [&](const std::optional<WrappedLayer>& w, const std::string& name) {
    if (w && whole(*w) && w->mass_kg > 0) {
      m.kg += w->mass_kg;
      m.from.push_back(name + ".mass");
      m.with += " + " + name;
    } else {
      without.push_back(name);
    }
  };
  add_layer(core.wrapping.topper, "topper");
  add_layer(core.wrapping.batting, "batting");
  if (core.wrapping.barrier && core.wrapping.barrier->mass_kg() > 0) {
    m.kg += core.wrapping.barrier->mass_kg();
    m.from.push_back("barrier.mass");
    m.with += " + barrier";
  } else {
    without.push_back("barrier");
  }
  without.push_back("cover");
  m.without = listed(without);
  return m;
}

}  // namespace kerfkiln::cushion
