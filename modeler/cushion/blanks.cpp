// Layers, their blanks and the adhesive between them.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr double kThinnestSlitMm = 3;  // laminating foam, slit (reference part 2, common practice)

template <class T>
std::vector<std::string> names(const material::Named<T>& list) {
  std::vector<std::string> known;
  for (const auto& entry : list) known.push_back(entry.first);
  return known;
}

void check_thickness(double mm, const std::string& path, Layers& layers, Findings& out) {
  if (!(mm >= kSmallestSizeMm && mm <= kLargestSizeMm))
    out.push_back(
        error("layers.thickness", path,
              (std::isnan(mm) ? std::string("the thickness is missing") : "the layer is " + mm_text(mm) + " thick") +
                  "; permitted is 0.1 mm to 10 m",
              "give a thickness in that range"));
  else if (mm < kThinnestSlitMm)
    layers.notes.push_back(warning("layers.thin", path,
                                   "the layer is " + mm_text(mm) + " thick; foam is rarely slit below 3 mm",
                                   "make it at least 3 mm, or leave it out"));
}

void check_stock(const material::Foam& foam, const std::string& name, double mm, const std::string& path,
                 Findings& notes) {
  const auto& stock = foam.sheet.thicknesses;
  if (stock.empty()) return;
  double thicker = kLargestSizeMm * 2, thickest = 0;
  for (const Length& t : stock) {
    if (std::abs(t.value - mm) < kSmallestFeatureMm) return;
    if (t.value > mm) thicker = std::min(thicker, t.value);
    thickest = std::max(thickest, t.value);
  }
  if (thickest < mm)
    notes.push_back(
        warning("layers.stock", path,
                "\"" + name + "\" comes up to " + mm_text(thickest) + " thick and the layer needs " + mm_text(mm),
                "split the layer in two, or add the thicker sheet to the material"));
  else
    notes.push_back(note("layers.stock", path,
                         "\"" + name + "\" is not stocked in " + mm_text(mm) + ": slit it from " + mm_text(thicker),
                         "use a stocked thickness to save the slitting"));
}

}  // namespace

Result<Layers> layers_of(const Spec& spec, const material::Library& materials) {
  Layers layers;
  Findings out;
  if (spec.layers.empty())
    out.push_back(error("layers.none", "layers", "there is no layer; at least one is needed",
                        "give the foam and thickness of a layer"));
  double z = 0;
  for (std::size_t i = 0; i < spec.layers.size(); ++i) {
    const LayerSpec& l = spec.layers[i];
    const std::string path = "layers/" + std::to_string(i);
    check_thickness(l.thickness.value, path + "/thickness", layers, out);
    const material::Foam* foam = material::find(materials.foams, l.foam);
    if (!foam) {
      out.push_back(error("material.unknown", path + "/foam", "there is no foam called \"" + l.foam + "\"",
                          offer(l.foam, names(materials.foams))));
      continue;
    }
    if (!(foam->density.value > 0))
      out.push_back(error("material.density", path + "/foam", "the foam \"" + l.foam + "\" has no density",
                          "give its density in materials, such as \"45 kg/m3\""));
    else
      check_stock(*foam, l.foam, l.thickness.value, path + "/thickness", layers.notes);
    layers.list.push_back({l.foam, foam->density.value, product::colour_of(foam->colour),
                           product::hatch_of(foam->hatch), foam->sheet, z, z + l.thickness.value, 0});
    z += l.thickness.value;
  }
  if (z > kLargestSizeMm && !has_errors(out))
    out.push_back(error("layers.thickness", "layers",
                        "the layers add up to " + mm_text(z) + "; permitted is 0.1 mm to 10 m", "make them thinner"));
  if (has_errors(out)) return out;
  return layers;
}

Result<Glue> glue_of(const Spec& spec, const material::Library& materials) {
  const std::string name = spec.adhesive.empty() ? material::kDefaultAdhesive : spec.adhesive;
  const material::Adhesive* a = material::find(materials.adhesives, name);
  if (!a) a = spec.adhesive.empty() ? material::find(material::built_in().adhesives, name) : nullptr;
  if (!a)
    return error("material.unknown", "adhesive", "there is no adhesive called \"" + name + "\"",
                 offer(name, names(materials.adhesives)));
  if (!(a->coverage.value >= 0))
    return error("material.coverage", "adhesive", "the adhesive \"" + name + "\" has no coverage",
                 "give the mass it takes a face in materials, such as \"80 g/m2\"");
  return Glue{name, a->coverage.value, a->loss.known() ? a->loss.value : 0,
              a->waiting_time.known() ? a->waiting_time.value : 0, a->faces};
}

Findings check_blanks(const Core& core) {
  Findings out;
  const double w = core.blank_width(), d = core.blank_depth();
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    if (!l.stock.width.known() || !l.stock.length.known()) continue;
    const double sw = l.stock.width.value, sl = l.stock.length.value;
    if ((w <= sw && d <= sl) || (w <= sl && d <= sw)) continue;
    out.push_back(warning("layers.sheet", "layers/" + std::to_string(i) + "/foam",
                          "the blank " + number_text(w) + " x " + mm_text(d) + " is larger than the sheet of \"" +
                              l.foam + "\", " + number_text(sw) + " x " + mm_text(sl),
                          "join the blank from two pieces, or find a larger sheet"));
  }
  return out;
}

product::Table layer_table(const Core& core) {
  product::Table t;
  t.id = "layers";
  t.title = "Layers, top down";
  t.columns = {"layer", "foam", "from mm", "to mm", "density kg/m3", "volume L", "mass kg"};
  t.numeric = {true, false, true, true, true, true, true};
  for (std::size_t i = core.layers.size(); i-- > 0;) {
    const Layer& l = core.layers[i];
    t.rows.push_back({std::to_string(i + 1), l.foam, number_text(l.low_mm), number_text(l.high_mm),
                      number_text(l.density, 1), format_number(l.volume_mm3 * 1e-6, 3), format_number(l.mass_kg(), 3)});
  }
  t.rows.push_back({"", "core", "0", number_text(core.height()), "", format_number(core.volume_mm3 * 1e-6, 3),
                    format_number(core.foam_kg(), 3)});
  return t;
}

product::Table cut_list(const Core& core, int count) {
  product::Table t;
  t.id = "cut-list";
  t.title = "Cut list, foam blanks";
  t.columns = {"layer", "foam", "width mm", "depth mm", "thickness mm", "count", "blank mass kg", "shaped mass kg"};
  t.numeric = {true, false, true, true, true, true, true, true};
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    const double blank_kg = core.blank_width() * core.blank_depth() * l.thickness() * 1e-9 * l.density;
    t.rows.push_back({std::to_string(i + 1), l.foam, number_text(core.blank_width(), 1),
                      number_text(core.blank_depth(), 1), number_text(l.thickness()), std::to_string(count),
                      format_number(blank_kg, 3), format_number(l.mass_kg(), 3)});
  }
  return t;
}

product::Table glue_table(const Core& core) {
  product::Table t;
  t.id = "glue";
  t.title = "Glue joints: " + core.glue.name + ", " + number_text(core.glue.coverage_kg_m2 * 1000, 1) +
            " g/m2 a face, " + (core.glue.faces == 1 ? "one face" : "both faces") + ", loss " +
            number_text(core.glue.loss * 100) + " %";
  t.columns = {"joint", "between", "height mm", "finished face m2", "adhesive g", "whole blank g"};
  t.numeric = {true, false, true, true, true, true};
  const double a_square_metre_g = core.glue.coverage_kg_m2 * core.glue.faces * (1 + core.glue.loss) * 1000;
  const double blank_m2 = core.blank_width() * core.blank_depth() * 1e-6;
  for (std::size_t i = 0; i < core.joints.size(); ++i) {
    const Joint& j = core.joints[i];
    t.rows.push_back({std::to_string(i + 1),
                      std::to_string(i + 1) + " " + core.layers[i].foam + " and " + std::to_string(i + 2) + " " +
                          core.layers[i + 1].foam,
                      number_text(j.z_mm), format_number(j.area_mm2 * 1e-6, 4),
                      format_number(j.area_mm2 * 1e-6 * a_square_metre_g, 1),
                      format_number(blank_m2 * a_square_metre_g, 1)});
  }
  const double n = static_cast<double>(core.joints.size());
  t.rows.push_back({"", "all", "", format_number(core.glue_area_mm2() * 1e-6, 4),
                    format_number(core.glue_kg(core.glue.loss) * 1000, 1),
                    format_number(n * blank_m2 * a_square_metre_g, 1)});
  return t;
}

double Core::glue_area_mm2() const {
  double sum = 0;
  for (const Joint& j : joints) sum += j.area_mm2;
  return sum;
}
double Core::glue_kg(double more) const {
  return glue_area_mm2() * 1e-6 * glue.coverage_kg_m2 * glue.faces * (1 + more);
}
double Core::foam_kg() const {
  double sum = 0;
  for (const Layer& l : layers) sum += l.mass_kg();
  return sum;
}

}  // namespace kerfkiln::cushion
