// Layers, their blanks and the adhesive between them.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/face_range.hpp"
#include "modeler/cushion/hollow.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr double kFlushGapMm = 0.01;
constexpr double kFlushMm = 1;         // of a lid and the top about it
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
    layers.list.push_back({l.foam,
                           foam->density.value,
                           product::colour_of(foam->colour),
                           product::hatch_of(foam->hatch),
                           foam->sheet,
                           z,
                           z + l.thickness.value,
                           0,
                           *foam,
                           {},
                           {},
                           0});
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
  return Glue{name,
              a->coverage.value,
              a->loss.known() ? a->loss.value : 0,
              a->waiting_time.known() ? a->waiting_time.value : 0,
              a->open_time.known() ? a->open_time.value : 0,
              a->price.known() ? a->price.value : 0,
              a->faces};
}

int slices_of(double stock, double trim, double thickness, double kerf) {
  // Thicknesses that divide the stock must not fall to rounding.
  return static_cast<int>(std::floor((stock - trim + kerf) / (thickness + kerf) + 1e-9));
}

Slitting slitting(const material::FoamSheet& sheet, double thickness, double kerf) {
  Slitting s;
  for (const Length& t : sheet.thicknesses)
    if (t.value > thickness - kSmallestFeatureMm && (s.stock_mm == 0 || t.value < s.stock_mm)) s.stock_mm = t.value;
  if (s.stock_mm == 0) return s;
  s.slices = std::max(slices_of(s.stock_mm, 0, thickness, kerf), 1);
  const bool exact = s.stock_mm < thickness + kSmallestFeatureMm;
  s.offcut_mm = exact ? 0 : std::max(s.stock_mm - s.slices * (thickness + kerf), 0.0);
  // The last slice needs a cut of its own only where something is left beside it.
  s.cuts = exact ? 0 : s.offcut_mm > 0 ? s.slices : s.slices - 1;
  return s;
}

double Core::blank_thickness(std::size_t i) const {
  double t = layers[i].thickness();
  if (i + 1 == layers.size()) t += std::max(form.rise_range(Sheet::top).high, 0.0);
  if (i == 0) t += std::max(form.rise_range(Sheet::bottom).high, 0.0);
  return t;
}

std::vector<product::Blank> blanks_of(const Core& core) {
  std::vector<product::Blank> list;
  const auto add = [&](double t, std::string name, const std::string& foam, const material::Foam& data,
                       const plane::Box& box, double finished_mm3) {
    const material::FoamSheet& sheet = data.sheet;
    product::Blank b;
    b.name = std::move(name);
    b.material = foam;
    b.colour = product::colour_of(data.colour);
    b.hatch = product::hatch_of(data.hatch);
    b.width_mm = box.width() + 2 * core.trim_mm;
    b.depth_mm = box.depth() + 2 * core.trim_mm;
    b.thickness_mm = t;
    b.stock_mm = slitting(sheet, t, core.kerf_mm).stock_mm;
    b.sheet_width_mm = sheet.width.known() ? sheet.width.value : 0;
    b.sheet_length_mm = sheet.length.known() ? sheet.length.value : 0;
    b.kerf_mm = core.kerf_mm;
    b.density_kg_m3 = data.density.value;
    b.finished_mm3 = finished_mm3;
    b.price_m3 = data.price.known() ? data.price.value : std::nan("");
    list.push_back(std::move(b));
  };
  const auto add_parts = [&](std::size_t i, const std::string& name, const std::string& foam,
                             const material::Foam& data, const plane::Region& region, double finished_mm3) {
    double plan = 0;
    for (const plane::Outline& o : region) plan += plane::area(o);
    for (std::size_t k = 0; k < region.size(); ++k)
      add(core.blank_thickness(i), region.size() == 1 ? name : name + ", part " + std::to_string(k + 1), foam, data,
          plane::bounds(region[k].outer), finished_mm3 * plane::area(region[k]) / plan);
  };
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    const std::string name = "layer " + std::to_string(i + 1);
    if (l.zones.empty()) {
      add(core.blank_thickness(i), name, l.foam, l.data, plane::bounds(core.outline()), l.volume_mm3);
      continue;
    }
    add_parts(i, name, l.foam, l.data, l.rest, l.own_mm3());
    for (std::size_t k = 0; k < l.zones.size(); ++k)
      add_parts(i, name + ", zone " + std::to_string(k + 1), l.zones[k].foam, l.zones[k].data, l.zones[k].plan.region,
                l.zones[k].volume_mm3);
  }
  for (const LidFoam& lid : core.lids) {
    const Pocket::Lid& of = *core.cuts.pockets[lid.pocket].lid;
    add(of.foam_mm, "lid of pocket " + std::to_string(lid.pocket + 1), lid.foam, lid.data, plane::bounds(of.piece),
        lid.volume_mm3);
  }
  return list;
}

Findings check_blanks(const Core& core) {
  Findings out;
  for (const product::Blank& b : blanks_of(core)) {
    const bool of_lid = b.name.rfind("layer ", 0) != 0;
    const std::size_t i = of_lid ? 0 : static_cast<std::size_t>(std::stoi(b.name.substr(6))) - 1;
    const double w = b.width_mm, d = b.depth_mm, sw = b.sheet_width_mm, sl = b.sheet_length_mm;
    const std::string path =
        of_lid ? "pockets/" + std::to_string(std::stoi(b.name.substr(14)) - 1) + "/lid" : "layers/" + std::to_string(i);
    if (sw > 0 && sl > 0 && !((w <= sw && d <= sl) || (w <= sl && d <= sw)))
      out.push_back(warning("layers.sheet", path + "/foam",
                            "the blank of " + b.name + ", " + number_text(w) + " x " + mm_text(d) +
                                ", is larger than the sheet of \"" + b.material + "\", " + number_text(sw) + " x " +
                                mm_text(sl),
                            "join the blank from two pieces, or find a larger sheet"));
    if (of_lid) continue;
    const double more = b.thickness_mm - core.layers[i].thickness();
    if (more > kSmallestFeatureMm)
      out.push_back(note("layers.risen", path + "/thickness",
                         "crown and contour need " + mm_text(more) + " more than the layer: its blank is " +
                             mm_text(b.thickness_mm) + " thick" +
                             (core.layers[i].stock.thicknesses.empty() ? ""
                              : b.stock_mm > 0                         ? ", out of stock of " + mm_text(b.stock_mm)
                                               : ", and no stock of \"" + b.material + "\" is that thick"),
                         "give a lower crown, or laminate this layer from two"));
  }
  return out;
}

product::Table layer_table(const Core& core) {
  product::Table t;
  t.id = "layers";
  t.title = "Layers, top down";
  t.columns = {"layer", "foam", "from mm", "to mm", "density kg/m3", "volume L", "mass kg"};
  t.numeric = {false, false, true, true, true, true, true};
  for (std::size_t i = core.layers.size(); i-- > 0;) {
    const Layer& l = core.layers[i];
    const std::string n = std::to_string(i + 1);
    t.rows.push_back({n, l.foam, number_text(l.low_mm), number_text(l.high_mm), number_text(l.density, 1),
                      format_number(l.own_mm3() * 1e-6, 3), format_number(l.own_mm3() * 1e-9 * l.density, 3)});
    for (std::size_t k = 0; k < l.zones.size(); ++k) {
      const LayerZone& z = l.zones[k];
      t.rows.push_back({n + ", zone " + std::to_string(k + 1), z.foam, number_text(l.low_mm), number_text(l.high_mm),
                        number_text(z.data.density.value, 1), format_number(z.volume_mm3 * 1e-6, 3),
                        format_number(z.mass_kg(), 3)});
    }
  }
  t.rows.push_back({"", "core", "0", number_text(core.height()), "", format_number(core.volume_mm3 * 1e-6, 3),
                    format_number(core.foam_kg(), 3)});
  return t;
}

product::Table cut_list(const Core& core, int count) {
  product::Table t;
  t.id = "cut-list";
  t.title = "Cut list, foam blanks (trim " + mm_text(core.trim_mm) + " a side, kerf " + mm_text(core.kerf_mm) + ")";
  t.columns = {"blank", "foam", "width mm", "depth mm", "thickness mm", "count", "blank mass kg"};
  t.numeric = {false, false, true, true, true, true, true};
  for (const product::Blank& b : foam_blanks(core)) {
    const double blank_kg = b.width_mm * b.depth_mm * b.thickness_mm * 1e-9 * b.density_kg_m3;
    t.rows.push_back({b.name, b.material, number_text(b.width_mm, 1), number_text(b.depth_mm, 1),
                      number_text(b.thickness_mm), std::to_string(count * b.count), format_number(blank_kg, 3)});
  }
  for (const product::Blank& b : core.coupons)
    t.rows.push_back({b.name, b.material, number_text(b.width_mm, 1), number_text(b.depth_mm, 1),
                      number_text(b.thickness_mm), std::to_string(b.count),
                      format_number(b.width_mm * b.depth_mm * b.thickness_mm * 1e-9 * b.density_kg_m3, 3)});
  return t;
}

product::Table slitting_table(const Core& core, int count) {
  product::Table t;
  t.id = "slitting";
  const double n = static_cast<double>(core.layers.size());
  t.title = "Slitting from stock; as delivered the stack can be off by " +
            number_text(kSheetToleranceMm * std::sqrt(n), 1) + " mm (likely) to " +
            number_text(kSheetToleranceMm * n, 1) + " mm (worst)";
  t.columns = {"layer", "foam", "thickness mm", "stock mm", "slices from one", "cuts", "offcut mm", "pieces of stock"};
  t.numeric = {true, false, true, true, true, true, true, true};
  const auto add = [&](const std::string& part, double thick, const std::string& foam,
                       const material::FoamSheet& sheet) {
    const Slitting s = slitting(sheet, thick, core.kerf_mm);
    std::vector<std::string> row{part, foam, number_text(thick)};
    if (s.stock_mm > 0)
      row.insert(row.end(), {number_text(s.stock_mm), std::to_string(s.slices), std::to_string(s.cuts),
                             number_text(s.offcut_mm, 1), std::to_string((count + s.slices - 1) / s.slices)});
    else
      row.insert(row.end(), {sheet.thicknesses.empty() ? "not said" : "none", "", "", "", ""});
    t.rows.push_back(std::move(row));
  };
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    const std::string part = std::to_string(i + 1);
    add(part, core.blank_thickness(i), l.foam, l.stock);
    for (const LayerZone& z : l.zones) add(part, core.blank_thickness(i), z.foam, z.data.sheet);
  }
  for (const LidFoam& lid : core.lids)
    add("lid " + std::to_string(lid.pocket + 1), core.cuts.pockets[lid.pocket].lid->foam_mm, lid.foam, lid.data.sheet);
  return t;
}

product::Table glue_table(const Core& core) {
  product::Table t;
  t.id = "glue";
  t.title = "Glue joints: " + core.glue.name + ", " + number_text(core.glue.coverage_kg_m2 * 1000, 1) +
            " g/m2 a face, " + (core.glue.faces == 1 ? "one face" : "both faces") + ", loss " +
            number_text(core.glue.loss * 100) + " %";
  t.columns = {"joint", "between", "height mm", "cut out m2", "finished face m2", "adhesive g", "whole blank g"};
  t.numeric = {true, false, true, true, true, true, true};
  const double a_square_metre_g = core.glue.coverage_kg_m2 * core.glue.faces * (1 + core.glue.loss) * 1000;
  const double blank_m2 = core.blank_width() * core.blank_depth() * 1e-6;
  for (std::size_t i = 0; i < core.joints.size(); ++i) {
    const Joint& j = core.joints[i];
    t.rows.push_back({std::to_string(i + 1),
                      std::to_string(i + 1) + " " + core.layers[i].foam + " and " + std::to_string(i + 2) + " " +
                          core.layers[i + 1].foam,
                      number_text(j.z_mm), format_number(j.cut_mm2 * 1e-6, 4), format_number(j.area_mm2 * 1e-6, 4),
                      format_number(j.area_mm2 * 1e-6 * a_square_metre_g, 1),
                      format_number(blank_m2 * a_square_metre_g, 1)});
  }
  double whole_g = static_cast<double>(core.joints.size()) * blank_m2 * a_square_metre_g;
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    if (l.zones.empty()) continue;
    // The joint's length is that of the blank; its height that of the slab.
    const double g = l.zone_joint_mm2 * 1e-6 * a_square_metre_g;
    whole_g += g;
    t.rows.push_back({"", "zones of layer " + std::to_string(i + 1) + ", upright",
                      number_text(l.low_mm) + " to " + number_text(l.high_mm), "",
                      format_number(l.zone_joint_mm2 * 1e-6, 4), format_number(g, 1), format_number(g, 1)});
  }
  for (const LidFoam& lid : core.lids) {
    const Pocket::Lid& of = *core.cuts.pockets[lid.pocket].lid;
    const plane::Box b = plane::bounds(of.piece);
    const double blank_g = (b.width() + 2 * core.trim_mm) * (b.depth() + 2 * core.trim_mm) * 1e-6 * a_square_metre_g;
    whole_g += blank_g;
    t.rows.push_back({"", "lid of pocket " + std::to_string(lid.pocket + 1) + ", " + lid.foam + " on its board", "", "",
                      format_number(lid.area_mm2 * 1e-6, 4), format_number(lid.area_mm2 * 1e-6 * a_square_metre_g, 1),
                      format_number(blank_g, 1)});
  }
  const auto add_face = [&](const std::string& what, double mm2) {
    const double g = mm2 * 1e-6 * a_square_metre_g;
    whole_g += g;
    t.rows.push_back({"", what, "", "", format_number(mm2 * 1e-6, 4), format_number(g, 1), format_number(g, 1)});
  };
  if (core.board) add_face("base board, " + core.board->material + " and the underside", core.board->glue_mm2);
  if (const double mm2 = topper_glue_mm2(core); mm2 > 0)
    add_face("topper, its inner face and the edges that meet in it", mm2);
  double cut = 0;
  for (const Joint& j : core.joints) cut += j.cut_mm2;
  t.rows.push_back({"", "all", "", format_number(cut * 1e-6, 4), format_number(core.glue_area_mm2() * 1e-6, 4),
                    format_number(core.glue_kg(core.glue.loss) * 1000, 1), format_number(whole_g, 1)});
  return t;
}

Findings add_lids(Core& core, const material::Library& materials) {
  Findings out;
  for (std::size_t i = 0; i < core.cuts.pockets.size(); ++i) {
    const Pocket& p = core.cuts.pockets[i];
    if (!p.lid) continue;
    const std::string path = p.field + "/lid/foam";
    const material::Foam* foam = material::find(materials.foams, p.lid->foam);
    if (foam == nullptr) {
      out.push_back(error("material.unknown", path, "there is no foam called \"" + p.lid->foam + "\"",
                          offer(p.lid->foam, names(materials.foams))));
      continue;
    }
    if (!(foam->density.value > 0)) {
      out.push_back(error("material.density", path, "the foam \"" + p.lid->foam + "\" has no density",
                          "give its density in materials, such as \"45 kg/m3\""));
      continue;
    }
    const double area = plane::area(p.lid->piece);
    LidFoam lid{i, p.lid->foam, *foam, area, area * p.lid->foam_mm, p.lid->board, 0, 0, 0, 0};
    if (lid.board.empty()) lid.board = material::kDefaultBoard;
    const material::Board* board = material::find(materials.boards, lid.board);
    lid.board_density = board ? board->density.value : std::nan("");
    lid.board_price_m2 = board && board->price.known() ? board->price.value : std::nan("");
    lid.board_kg = area * p.lid->board_mm * 1e-9 * lid.board_density;
    const plane::Box piece = plane::bounds(p.lid->piece);
    lid.board_blank_mm2 = piece.width() * piece.depth();
    core.lids.push_back(std::move(lid));
    // The lid's top is level at the nominal height. What the bound leaves open counts as out of flush.
    const FaceRange about = top_range(core.form, p.lid->seat, kFlushGapMm);
    const double rise = about.high - core.height(), fall = core.height() - about.low;
    if (std::max(rise, fall) + about.gap_mm > kFlushMm)
      out.push_back(warning("pocket.lid_flush", p.field + "/lid",
                            "the lid is level, and the top about it lies from " + number_text(-fall, 1) + " to " +
                                mm_text(rise) + " above it; within " + mm_text(kFlushMm) + " either way is flush",
                            "give the lid's foam a shape of its own, or lay the cavity where the top is level"));
  }
  return out;
}

Findings cut_joints(Core& core) {
  Findings out;
  if (core.cuts.none()) return out;
  for (Joint& j : core.joints) {
    const plane::Region face = j.outlines.empty() ? plane::Region{core.outline()} : plane::Region(j.outlines);
    const Result<plane::Region> hollow = hollow_at(core.form, core.cuts, j.z_mm);
    const Result<plane::Region> taken = hollow ? plane::intersected(face, *hollow) : hollow;
    if (!taken) {
      append(out, taken.findings());
      continue;
    }
    j.cut_mm2 = plane::area(*taken);
    j.area_mm2 -= j.cut_mm2;
  }
  return out;
}

double Core::glue_area_mm2() const {
  double sum = 0;
  for (const Joint& j : joints) sum += j.area_mm2;
  for (const Layer& l : layers) sum += l.zone_joint_mm2;
  for (const LidFoam& lid : lids) sum += lid.area_mm2;
  if (board) sum += board->glue_mm2;
  return sum + topper_glue_mm2(*this);
}
double Core::lids_kg() const {
  double sum = 0;
  for (const LidFoam& lid : lids) sum += lid.mass_kg();
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
