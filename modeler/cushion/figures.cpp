// The figures of a cushion (design section 15), each with its origin.
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

namespace {

using Figures = std::vector<product::Figure>;

void add(Figures& f, std::string key, std::string label, double value, std::string unit, std::vector<std::string> from,
         std::string how) {
  f.push_back({std::move(key), std::move(label), value, std::move(unit), {}, {}, std::move(from), std::move(how)});
}

std::vector<std::string> for_layers(const Core& core, const std::string& before, const std::string& after,
                                    std::size_t base) {
  std::vector<std::string> keys;
  for (std::size_t i = 0; i < core.layers.size(); ++i) keys.push_back(before + std::to_string(i + base) + after);
  return keys;
}

void add_layer(Figures& f, const Core& core, std::size_t i) {
  const Layer& l = core.layers[i];
  const std::string n = std::to_string(i + 1), key = "layer." + n + ".", name = "Layer " + n + " (" + l.foam + ") ";
  const std::string path = "layers/" + std::to_string(i);
  add(f, key + "volume", name + "volume", l.volume_mm3 * 1e-6, "L", {"outline", "edges", path + "/thickness"},
      "the part of the core between " + number_text(l.low_mm) + " and " + mm_text(l.high_mm) +
          " above the underside, integrated over the exact form");
  add(f, key + "mass", name + "mass", l.mass_kg(), "kg", {key + "volume", "materials/foams/" + l.foam + "/density"},
      "volume x density");
  const std::vector<std::string> plan_from{"outline", "given_at", "trim"};
  add(f, key + "blank.width", name + "blank width", core.blank_width(), "mm", plan_from,
      "overall width of the core's outline + trim on both sides");
  add(f, key + "blank.depth", name + "blank depth", core.blank_depth(), "mm", plan_from,
      "overall depth of the core's outline + trim on both sides");
  add(f, key + "blank.thickness", name + "blank thickness", l.thickness(), "mm", {path + "/thickness"},
      "thickness of the layer");
}

}  // namespace

void add_outline_figures(const Plan& plan, Figures& f) {
  add(f, "outline.area", "Outline area, as given", plane::area(plan.outline), "mm2", {"outline"},
      "area enclosed by the outline as given, holes taken off");
  add(f, "outline.perimeter", "Outline perimeter, as given", plane::perimeter(plan.outline), "mm", {"outline"},
      "length of the outline as given, holes included");
}

Figures figures_of(const Core& core) {
  Figures f;
  add_outline_figures(core.plan, f);
  std::vector<std::string> form_from{"outline", "given_at", "edges"};
  for (const std::string& p : for_layers(core, "layers/", "/thickness", 0)) form_from.push_back(p);
  const plane::Box box = plane::bounds(core.outline());
  add(f, "core.width", "Core width", box.width(), "mm", {"outline", "given_at"},
      "width as given - skins on both sides");
  add(f, "core.depth", "Core depth", box.depth(), "mm", {"outline", "given_at"},
      "depth as given - skins on both sides");
  add(f, "core.height", "Core height", core.height(), "mm", for_layers(core, "layers/", "/thickness", 0),
      "sum of the layers");
  add(f, "core.volume", "Core volume", core.volume_mm3 * 1e-6, "L", form_from,
      "height between lower and upper surface, integrated over the plan");
  f.back().low = (core.volume_mm3 - core.volume_error_mm3) * 1e-6;
  f.back().high = (core.volume_mm3 + core.volume_error_mm3) * 1e-6;
  if (core.volume_error_mm3 == 0) f.back().low = f.back().high = std::nullopt;
  add(f, "core.mass", "Core mass", core.foam_kg(), "kg", for_layers(core, "layer.", ".mass", 1), "sum of the layers");
  for (std::size_t i = 0; i < core.layers.size(); ++i) add_layer(f, core, i);
  std::vector<std::string> joint_from = form_from;
  add(f, "glue.area", "Glue area", core.glue_area_mm2() * 1e-6, "m2", joint_from,
      "finished faces between neighbouring layers, each joint counted once");
  add(f, "glue.mass", "Adhesive", core.glue_kg(core.glue.loss), "kg",
      {"glue.area", "adhesive", "materials/adhesives/" + core.glue.name},
      "glue area x coverage a face x " + std::to_string(core.glue.faces) + (core.glue.faces == 1 ? " face" : " faces") +
          " x (1 + loss)");
  add(f, "total.mass", "Total mass", core.foam_kg() + core.glue_kg(0), "kg", {"core.mass", "glue.area", "adhesive"},
      "foam + adhesive as coated, without its loss; topper, batting, barrier and cover not included");
  return f;
}

}  // namespace kerfkiln::cushion
