#include "modeler/cushion/build.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "modeler/cushion/comfort/report.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/coupons.hpp"
#include "modeler/cushion/cut_moments.hpp"
#include "modeler/cushion/cut_parts.hpp"
#include "modeler/cushion/cut_shapes.hpp"
#include "modeler/cushion/level.hpp"
#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/relief_once.hpp"
#include "modeler/cushion/steps.hpp"
#include "modeler/cushion/templates.hpp"
#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/views.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/zone_templates.hpp"
#include "modeler/plane/offset.hpp"

namespace kerfkiln::cushion {

namespace {

// Wanted of volumes whose edges differ from side to side (closed forms need no such limit); what was reached is part of
// the figure and as a rule a hundred times better.
constexpr double kSidedVolumeError = 1e-6;

double or_zero(const Quantity& q) { return q.known() ? q.value : 0; }

// The value, or nothing and its findings added.
template <class T>
std::optional<T> take(Result<T> result, Findings& out) {
  if (result) return std::move(*result);
  append(out, result.findings());
  return std::nullopt;
}

std::optional<plane::Outline> core_outline(const Plan& plan, const Skins& skins, Findings& out) {
  if (skins.side_mm == 0) return plan.outline;
  std::optional<std::vector<plane::Outline>> inside = take(plane::offset(plan.outline, -skins.side_mm), out);
  if (!inside) return std::nullopt;
  if (inside->size() == 1) return std::move(inside->front());
  const std::string taken = "the skins take " + mm_text(skins.side_mm) + " off each side, which ";
  if (inside->empty())
    out.push_back(error("skins.no_core", "outline", taken + "leaves nothing of the outline",
                        "make the outline larger or the skins thinner"));
  else
    out.push_back(
        error("skins.split", "outline", taken + "splits the core into " + std::to_string(inside->size()) + " pieces",
              "widen the narrow place to more than " + mm_text(2 * skins.side_mm) + ", or make separate pieces"));
  return std::nullopt;
}

void note_corners(const Plan& plan, const std::vector<ChainSizes>& chain, const Skins& skins, Findings& out) {
  if (skins.side_mm == 0 || chain.empty()) return;
  const ChainSizes& given = chain[skins.layers.size() - skins.given];
  const ChainSizes& core = chain.back();
  if (!(given.corner_mm > 0 && given.corner_mm < skins.side_mm) || core.corner_mm > 0) return;
  const bool rectangle = plan.outline.sides.size() == 4 && plan.outline.sides[0] == "front";
  out.push_back(
      warning("skins.corner", rectangle ? "outline/rectangle/corner_radius" : "outline",
              "the corner radius " + mm_text(given.corner_mm) + " is smaller than the " + mm_text(skins.side_mm) +
                  " of skins that bend round it: the core's corner is made sharp and the dressed corner comes "
                  "out with a radius of about " +
                  mm_text(skins.side_mm),
              "give at least " + mm_text(skins.side_mm) + ", or thinner skins"));
}

constexpr double kPolygonMm = 0.25;  // half a pen's width

// The outline at a glue line; where no smooth one is found, the form's own polygon, and a word about it.
struct LevelOutline {
  std::vector<plane::Outline> outlines;
  bool exact = true;
};
LevelOutline joint_outline(const Form& form, double z, std::size_t layer, Findings& out) {
  if (form.risen()) {
    Result<std::vector<plane::Outline>> traced = risen_outlines(form, z);
    if (traced) return {std::move(*traced), true};
    out.push_back(warning("layers.outline", "layers/" + std::to_string(layer) + "/thickness",
                          "no outline was found at the glue line " + mm_text(z) + " up: it is not drawn",
                          "check this line with the edge gauges, or move the glue line"));
    return {{}, false};
  }
  Result<std::vector<plane::Outline>> smooth = level_outlines(form, form.height() - z, z);
  if (smooth) return {std::move(*smooth), true};
  Result<std::vector<plane::Outline>> polygon = section(form, z, kPolygonMm);
  out.push_back(warning("layers.outline", "layers/" + std::to_string(layer) + "/thickness",
                        "no smooth outline was found at the glue line " + mm_text(z) + " up: " +
                            (polygon ? "it is drawn as a polygon within " + mm_text(kPolygonMm) : "it is not drawn"),
                        "check this line with the edge gauges, or move the glue line"));
  if (!polygon) return {{}, false};
  return {std::move(*polygon), false};
}

std::vector<Joint> joints_of(const Form& form, const std::vector<Layer>& layers, Findings& out) {
  std::vector<Joint> joints;
  for (std::size_t i = 0; i + 1 < layers.size(); ++i) {
    Joint j;
    j.z_mm = layers[i].high_mm;
    j.whole = form.height() + form.rise_range(Sheet::top).low - j.z_mm >= form.drop_max(Sheet::top) &&
              j.z_mm + form.rise_range(Sheet::bottom).low >= form.drop_max(Sheet::bottom);
    LevelOutline level{{form.outline()}, true};
    if (!j.whole) level = joint_outline(form, j.z_mm, i, out);
    j.outlines = std::move(level.outlines);
    for (const plane::Outline& o : j.outlines) j.area_mm2 += plane::area(o);
    // A polygon is a picture; the area comes from the form.
    if (!level.exact) j.area_mm2 = section_area(form, j.z_mm, {1e-6}).value;
    joints.push_back(std::move(j));
  }
  return joints;
}

// Where neither the top's (or bottom's) edges have begun; nothing is flat past a ridge, which a note says.
std::vector<plane::Outline> flat_of(const Form& form, Sheet sheet, Findings& out) {
  if (form.inset(sheet) == 0) return {form.outline()};
  constexpr double kAny = std::numeric_limits<double>::infinity();
  const bool top = sheet == Sheet::top;
  Result<std::vector<plane::Outline>> flat = level_outlines(form, top ? 0 : kAny, top ? kAny : 0);
  if (!flat) {
    out.push_back(warning("edges.scribe", top ? "edges/top" : "edges/bottom",
                          "no closed line was found where the edges begin on the face: the template has no scribe line",
                          "mark the run from the edge gauges"));
    return {};
  }
  if (flat->size() != 1)
    out.push_back(note("edges.ridge", top ? "edges/top" : "edges/bottom",
                       "edges of up to " + mm_text(form.inset(sheet)) + " inset meet from opposite sides in a ridge: " +
                           (flat->empty() ? "no part of the face stays flat"
                                          : "the flat is in " + std::to_string(flat->size()) + " parts"),
                       "keep insets below half the width if the face should stay flat"));
  return std::move(*flat);
}

std::vector<double> levels_of(const std::vector<Layer>& layers) {
  std::vector<double> levels{0};
  for (const Layer& l : layers) levels.push_back(l.high_mm);
  return levels;
}

// How many connected parts a layer has: the parts of the level curve that bounds it where it is smallest.
int parts_of(const Core& core, std::size_t i) {
  const Form& form = core.form;
  const Layer& l = core.layers[i];
  std::size_t parts = 1;
  if (i > 0 && !core.joints[i - 1].whole && (form.risen() || form.height() - l.low_mm < form.drop_max(Sheet::top)))
    parts = std::max(parts, core.joints[i - 1].outlines.size());
  if (i < core.joints.size() && !core.joints[i].whole && (form.risen() || l.high_mm < form.drop_max(Sheet::bottom)))
    parts = std::max(parts, core.joints[i].outlines.size());
  return static_cast<int>(parts);
}

CutMeshes whole_meshes(const Core& core) {
  const auto once = std::make_shared<ReliefOnce>(core.form, levels_of(core.layers));
  CutMeshes meshes;
  meshes.core.mesh = [once](double deviation_mm) -> Result<solid::Mesh> {
    const auto r = once->at(deviation_mm);
    if (!*r) return r->findings();
    return cushion::core(**r);
  };
  for (std::size_t i = 0; i < core.layers.size(); ++i)
    meshes.layers.push_back({[once, i](double deviation_mm) -> Result<solid::Mesh> {
                               const auto r = once->at(deviation_mm);
                               if (!*r) return r->findings();
                               return layer(**r, i);
                             },
                             {}});
  return meshes;
}

// Connected parts of a piece of a zoned layer: what its region has in common with the level curves that bound the
// layer.
int parts_of(const Core& core, std::size_t i, const plane::Region& region) {
  std::size_t parts = region.size();
  const auto within = [&](const Joint& j) {
    if (j.whole) return;
    if (const Result<plane::Region> shared = plane::intersected(region, j.outlines); shared && !shared->empty())
      parts = std::max(parts, shared->size());
  };
  if (i > 0 && core.form.height() - core.layers[i].low_mm < core.form.drop_max(Sheet::top)) within(core.joints[i - 1]);
  if (i < core.joints.size() && core.layers[i].high_mm < core.form.drop_max(Sheet::bottom)) within(core.joints[i]);
  return static_cast<int>(parts);
}

void add_zone_shapes(const Core& core, std::size_t i, const CutMeshes& meshes, double gap, product::Product& p) {
  const Layer& l = core.layers[i];
  product::Shape& rest = p.shapes.back();
  const double rest_explode = rest.explode.z;
  rest.volume_mm3 = l.own_mm3();
  rest.components =
      core.cuts.none() ? product::ShellCount(parts_of(core, i, l.rest)) : product::ShellCount(meshes.layers[i].shells);
  for (std::size_t k = 0; k < l.zones.size(); ++k) {
    const LayerZone& z = l.zones[k];
    product::Shape s = p.shapes.back();
    s.id = "layer-" + std::to_string(i + 1) + "-zone-" + std::to_string(k + 1);
    s.label = "Layer " + std::to_string(i + 1) + ", zone " + std::to_string(k + 1) + ", " + z.foam;
    s.colour = z.colour;
    s.hatch = z.hatch;
    s.volume_mm3 = z.volume_mm3;
    // Lifted out of the hole that it leaves.
    s.explode.z = rest_explode + 0.5 * gap;
    s.mesh = meshes.zones[i][k].mesh;
    s.components = core.cuts.none() ? product::ShellCount(parts_of(core, i, z.plan.region))
                                    : product::ShellCount(meshes.zones[i][k].shells);
    p.shapes.push_back(std::move(s));
  }
}

void add_shapes(const Core& core, product::Product& p) {
  bool zoned = false;
  for (const Layer& l : core.layers) zoned = zoned || !l.zones.empty();
  const CutMeshes meshes = core.cuts.none() && !zoned ? whole_meshes(core) : cut_meshes(core, levels_of(core.layers));
  product::Shape whole;
  whole.id = "core";
  whole.label = core.name + ", core";
  whole.colour = core.layers.back().colour;
  whole.hatch = core.layers.back().hatch;
  whole.volume_mm3 = core.volume_mm3;
  whole.mesh = meshes.core.mesh;
  if (!core.cuts.none()) whole.components = product::ShellCount(meshes.core.shells);
  p.shapes.push_back(std::move(whole));
  const double gap = std::max(40.0, 0.6 * core.height());
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    product::Shape s;
    s.id = "layer-" + std::to_string(i + 1);
    s.label = "Layer " + std::to_string(i + 1) + ", " + l.foam;
    s.colour = l.colour;
    s.hatch = l.hatch;
    s.whole = false;
    s.explode = {0, 0, gap * static_cast<double>(i)};
    s.volume_mm3 = l.volume_mm3;
    s.mesh = meshes.layers[i].mesh;
    s.components =
        core.cuts.none() ? product::ShellCount(parts_of(core, i)) : product::ShellCount(meshes.layers[i].shells);
    p.shapes.push_back(std::move(s));
    if (!l.zones.empty()) add_zone_shapes(core, i, meshes, gap, p);
  }
}

void add_words(const Core& core, product::Product& p) {
  StepFacts facts;
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    facts.layers.push_back(l.foam + " " + mm_text(l.thickness()));
    for (std::size_t k = 0; k < l.zones.size(); ++k)
      facts.zones.push_back("layer " + std::to_string(i + 1) + ", zone " + std::to_string(k + 1) + " " +
                            l.zones[k].foam);
    const Slitting slit = slitting(l.stock, core.blank_thickness(i), core.kerf_mm);
    if (slit.cuts > 0)
      facts.slit.push_back("layer " + std::to_string(i + 1) + " to " + mm_text(core.blank_thickness(i)) + " from " +
                           mm_text(slit.stock_mm));
  }
  facts.trim_mm = core.trim_mm;
  facts.height_mm = core.height();
  facts.adhesive = core.glue.name;
  facts.faces = core.glue.faces;
  facts.coverage_g_m2 = core.glue.coverage_kg_m2 * 1000;
  facts.waiting_s = core.glue.waiting_s;
  facts.open_s = core.glue.open_s;
  facts.gauges = gauge_labels(core);
  for (std::size_t i = 0; i < core.plan.shown.size(); ++i)
    facts.edges.push_back(core.plan.shown[i] + ": top " + edge_words(core.edges.top[i].core, core.height()) +
                          ", bottom " + edge_words(core.edges.bottom[i].core, core.height()));
  facts.shaped = core.form.inset(Sheet::top) > 0 || core.form.inset(Sheet::bottom) > 0;
  facts.skins = !core.skins.layers.empty();
  p.steps = work_steps(facts);
  p.cautions = work_cautions(core.glue_area_mm2() > 0 || core.wrapping.topper || core.wrapping.batting);
}

std::vector<product::FlatPart> flat_parts(const Core& core, const Spec& spec) {
  std::vector<product::FlatPart> parts{plan_template(core)};
  if (!core.cuts.none()) mark_cuts(core, parts.front());
  const auto add = [&](std::vector<product::FlatPart> more) {
    std::move(more.begin(), more.end(), std::back_inserter(parts));
  };
  add(gauges(core));
  add(contour_boards(core));
  add(layer_outlines(core));
  add(zone_templates(core));
  add(cut_templates(core, spec));
  add(wrapping_parts(core, spec.count));
  return parts;
}

void add_parts(const Core& core, const Spec& spec, product::Product& p) {
  add_shapes(core, p);
  for (const product::Table& t : core.plan.tables) p.tables.push_back(t);
  p.tables.push_back(layer_table(core));
  p.tables.push_back(cut_list(core, spec.count));
  if (!spec.coupons.empty()) {
    p.tables.push_back(coupon_table(core.coupons, core, spec));
    p.cautions.push_back(
        "Burn tests: size, number and conditioning of coupons are the test house's to say, and its report alone "
        "counts; "
        "this sheet certifies nothing.");
  }
  p.tables.push_back(slitting_table(core, spec.count));
  if (!core.joints.empty()) p.tables.push_back(glue_table(core));
  p.tables.push_back(edge_table(core.edges, core.plan, core.height()));
  p.tables.push_back(chain_table(core.chain, core.skins));
  for (product::Table& t : wrapping_tables(core, spec.count)) p.tables.push_back(std::move(t));
  if (!core.rises.curves.empty()) p.tables.push_back(contour_table(core.rises, core.plan));
  if (core.form.risen()) p.tables.push_back(station_table(core));
  p.handles = handles_of(core, spec);
  add_words(core, p);
  add_cut_parts(core, spec, p);
  for (product::Step& step : wrapping_steps(core)) p.steps.push_back(std::move(step));
}

// A contour that falls below a glue line bares the layer beneath.
void check_low_places(const Form& form, const std::vector<Layer>& layers, Findings& out) {
  const Form::RiseRange& range = form.rise_range(Sheet::top);
  const double lowest = form.height() + range.low;
  for (std::size_t i = layers.size(); i-- > 1;) {
    if (lowest >= layers[i].low_mm) return;
    out.push_back(warning("contour.joint", "contour",
                          "at (" + number_text(range.low_at.x, 0) + ", " + number_text(range.low_at.y, 0) +
                              ") mm the top falls to " + mm_text(lowest) + ", below the glue line at " +
                              mm_text(layers[i].low_mm) + ": layer " + std::to_string(i + 1) + " has a hole there",
                          "raise the contour, or lower the glue line to less than " + mm_text(lowest)));
  }
}

// The centre of what cuts leave, out of that of the whole.
void take_off_centroid(Core& core, const Volumes& whole, Findings& out) {
  const std::optional<Moments> cut = take(cut_moments(core.form, core.cuts), out);
  if (cut) core.centroid = (whole.core * whole.centroid - cut->first) / (whole.core - cut->volume);
}

// Findings of the form name sides; the design may name them together, as "other".
Findings in_typed_edges(Findings findings, const Spec& spec) {
  Findings typed;
  for (Finding& f : findings) {
    for (const auto& [before, set] : {std::pair{"edges/top/", &spec.top}, {"edges/bottom/", &spec.bottom}}) {
      const std::string start = before;
      if (f.path.rfind(start, 0) == 0 && !set->sides.contains(f.path.substr(start.size()))) f.path = start + "other";
    }
    const bool told = std::any_of(typed.begin(), typed.end(),
                                  [&](const Finding& t) { return t.path == f.path && t.message == f.message; });
    if (!told) typed.push_back(std::move(f));
  }
  return typed;
}

// The checked design; nothing after an error. Findings of every stage that could still run are collected.
std::optional<Core> core_of(const Spec& spec, const material::Library& materials, product::Product& p) {
  Findings& out = p.findings;
  std::optional<Plan> plan = take(plan_of(spec.outline, spec.mirrored), out);
  if (plan) {
    append(out, plan->notes);
    add_outline_figures(*plan, p.figures);
  }
  std::optional<Layers> layers = take(layers_of(spec, materials), out);
  if (layers) append(out, layers->notes);
  std::optional<Skins> skins = take(skins_of(spec, materials), out);
  std::optional<Glue> glue = take(glue_of(spec, materials), out);
  const double trim = or_zero(spec.trim);
  if (!(trim >= 0 && trim <= 500))
    out.push_back(error("trim.range", "trim", "the trim is " + mm_text(trim) + "; permitted is 0 mm to 500 mm",
                        "give a trim in that range"));
  if (!plan || !skins) return std::nullopt;
  const double height = layers ? layers->list.back().high_mm : 0;
  std::optional<plane::Outline> outline = core_outline(*plan, *skins, out);
  std::optional<std::vector<ChainSizes>> chain;
  if (outline) chain = take(chain_sizes(plan->outline, height, *skins), out);
  if (chain) note_corners(*plan, *chain, *skins, out);
  if (!layers) return std::nullopt;
  std::optional<Edges> edges = take(edges_of(spec, *plan, *skins, height), out);
  if (edges) append(out, edges->notes);
  if (!outline || !chain || !edges) return std::nullopt;
  append(out, check_topper(*outline, *edges, *plan, height, topper_of(*skins)));
  std::optional<Rises> rises = take(rises_of(spec, *plan, *skins), out);
  if (!rises) return std::nullopt;
  append(out, rises->notes);
  Findings unformed;
  std::optional<Form> form = take(
      Form::make(*outline, height, edges->top_profiles, edges->bottom_profiles, rises->top, rises->bottom), unformed);
  append(out, in_typed_edges(std::move(unformed), spec));
  if (form) check_low_places(*form, layers->list, out);
  if (!form || !glue || has_errors(out)) return std::nullopt;
  Core core{spec.name,
            !spec.hand.empty() ? spec.hand
            : spec.mirrored    ? "other hand"
                               : "",
            std::move(*plan),
            std::move(*skins),
            std::move(*chain),
            std::move(*edges),
            std::move(*form),
            std::move(layers->list),
            {},
            {},
            {},
            std::move(*glue),
            0,
            0,
            {},
            trim,
            or_zero(spec.kerf)};
  core.rises = std::move(*rises);
  return core;
}

}  // namespace

product::Product build(const Spec& spec, const material::Library& materials) {
  product::Product p;
  p.name = spec.name;
  p.kind = "cushion";
  p.count = spec.count;
  std::optional<Core> core = core_of(spec, materials, p);
  if (!core) return p;
  const Form& form = core->form;
  std::optional<Cuts> cuts = take(
      cuts_of(spec, core->plan.outline, form, levels_of(core->layers), crease_skins_of(core->skins), core->plan.shown),
      p.findings);
  if (!cuts) return p;
  const bool uniform = form.uniform(Sheet::top) && form.uniform(Sheet::bottom) && !form.risen();
  const Volumes v = volumes(form, levels_of(core->layers), {.relative_error = uniform ? 1e-10 : kSidedVolumeError});
  core->volume_mm3 = v.core;
  core->volume_error_mm3 = v.error;
  core->centroid = v.centroid;
  for (std::size_t i = 0; i < core->layers.size(); ++i) core->layers[i].volume_mm3 = v.layers[i];
  core->cuts = std::move(*cuts);
  for (std::size_t i = 0; i < core->layers.size(); ++i) core->layers[i].volume_mm3 -= core->cuts.off_layer_mm3[i];
  core->volume_mm3 -= core->cuts.volume_mm3();
  append(p.findings, core->cuts.notes);
  append(p.findings, check_underside(spec, core->outline()));
  if (!core->cuts.none()) take_off_centroid(*core, v, p.findings);
  core->joints = joints_of(core->form, core->layers, p.findings);
  append(p.findings, cut_joints(*core));
  core->flat_top = flat_of(core->form, Sheet::top, p.findings);
  core->flat_bottom = flat_of(core->form, Sheet::bottom, p.findings);
  append(p.findings, divide_layers(*core, spec, materials, levels_of(core->layers)));
  append(p.findings, add_lids(*core, materials));
  if (Result<std::optional<BaseBoard>> board = base_board_of(*core, spec, materials))
    core->board = std::move(*board);
  else
    append(p.findings, board.findings());
  if (has_errors(p.findings)) return p;
  core->wrapping = wrapping_of(*core, spec, materials, p.findings);
  if (has_errors(p.findings)) return p;
  append(p.findings, check_blanks(*core));
  p.figures = figures_of(*core);
  const std::optional<Comfort> comfort = comfort_of(*core, spec, materials, p.findings);
  if (comfort) add_comfort_figures(*comfort, p.figures);
  p.blanks = foam_blanks(*core);
  core->coupons = coupons_of(*core, spec, materials, p.findings);
  p.blanks.insert(p.blanks.end(), core->coupons.begin(), core->coupons.end());
  add_wrapping_figures(*core, p.figures);
  add_cut_figures(*core, spec, p.figures);
  if (has_errors(p.findings)) return p;
  add_parts(*core, spec, p);
  if (comfort) p.tables.insert(p.tables.begin(), comfort_table(*comfort));
  const auto kept = std::make_shared<const Core>(std::move(*core));
  p.parts = product::Parts([kept, spec] { return flat_parts(*kept, spec); });
  p.views = product::Views([kept, spec] {
    std::vector<product::View> views = views_of(*kept, spec);
    if (!kept->cuts.creases.empty()) views.push_back(crease_section(*kept));
    return views;
  });
  return p;
}

}  // namespace kerfkiln::cushion
