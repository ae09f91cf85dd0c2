#include "modeler/urn/build.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "modeler/base/nearest_key.hpp"
#include "modeler/urn/bow.hpp"
#include "modeler/urn/fired_check.hpp"
#include "modeler/urn/lid_work.hpp"
#include "modeler/urn/ware.hpp"
#include "modeler/urn/ware_mesh.hpp"

namespace kerfkiln::urn {
namespace {

// The entry of that name, or of the fallback where the design names none.
template <class T>
const T* chosen(const material::Named<T>& list, const std::string& typed, const char* fallback, const char* path,
                std::string& name, Findings& out) {
  name = typed.empty() ? fallback : typed;
  if (const T* t = material::find(list, name)) return t;
  std::vector<std::string_view> known;
  std::string listed;
  for (const auto& entry : list) {
    known.push_back(entry.first);
    listed += (listed.empty() ? "\"" : ", \"") + entry.first + "\"";
  }
  const std::string nearest = nearest_key(name, known);
  out.push_back({Severity::error, "material.unknown", path, "There is no material \"" + name + "\" of that kind.",
                 (nearest.empty() ? "Use one of " + listed : "Did you mean \"" + nearest + "\"? There are " + listed) +
                     "; or define \"" + name + "\" under materials."});
  return nullptr;
}

void add_shapes(const Ware& ware, product::Product& p) {
  const auto wall = std::make_shared<const Wall>(ware.wall);
  product::Shape urn;
  urn.id = "urn-fired";
  urn.label = "Urn, as fired";
  urn.colour = {0.74, 0.60, 0.46};
  urn.volume_mm3 = ware.measure.clay_volume;
  urn.mesh = [wall](double deviation_mm) -> Result<solid::Mesh> {
    solid::Mesh m;
    mesh_ware(*wall, deviation_mm, m);
    return m;
  };
  p.shapes.push_back(std::move(urn));

  // Whole forms at the other sizes: patterns, and what a cavity is made from.
  const Form made = ware.made_form();
  const double volume = measure_outside(made).volume;
  for (const auto& [state, label] : {std::pair{"cavity", "Outer form at cavity size"},
                                     {"model", "Outer form at model size"},
                                     {"thrown", "Outer form at thrown size"}}) {
    const Scale s = ware.chain.state(state).over_fired;
    const auto sized = std::make_shared<const Form>(made.scaled(s.girth, s.height));
    product::Shape form;
    form.id = std::string("form-") + state + "-size";
    form.label = label;
    form.colour = {0.80, 0.78, 0.74};
    form.shown = false;
    form.volume_mm3 = volume * s.girth * s.girth * s.height;
    form.mesh = [sized](double deviation_mm) -> Result<solid::Mesh> {
      solid::Mesh m;
      mesh_form(*sized, deviation_mm, m);
      return m;
    };
    p.shapes.push_back(std::move(form));
  }
}

}  // namespace

Result<Materials> materials_of(const Spec& spec, const material::Library& library) {
  Materials m;
  Findings out;
  const auto* body = chosen(library.bodies, spec.body, material::kDefaultBody, "body", m.body_name, out);
  const auto* model =
      chosen(library.models, spec.mould.model, material::kDefaultModel, "mould/model", m.model_name, out);
  const auto* plaster =
      chosen(library.plasters, spec.mould.plaster, material::kDefaultPlaster, "mould/plaster", m.plaster_name, out);
  if (body) append(out, check_shrinkage(m.body_name, *body));
  if (model) append(out, check_shrinkage(m.model_name, *model));
  const material::Glaze* glaze =
      spec.glaze.empty() ? nullptr : chosen(library.glazes, spec.glaze, "", "glaze", m.glaze_name, out);
  if (body && !(body->fired_density.value > 0))
    out.push_back({Severity::error, "material.density", "body",
                   "The clay body \"" + m.body_name + "\" has no fired density above 0 kg/L, so no mass follows.",
                   "Weigh a fired bar and divide by its volume, or start from 2.18 kg/L for dense stoneware."});
  else if (body && !has_errors(out))
    append(out, check_fired_density(m.body_name, *body));
  if (has_errors(out)) return out;
  m.body = *body;
  m.model = *model;
  m.plaster = *plaster;
  m.glaze = spec.glaze.empty() ? material::Glaze{} : *glaze;
  m.notes = std::move(out);
  return m;
}

double Ware::fired_mass() const { return measure.clay_volume * 1e-9 * materials.body.fired_density.value; }

product::Product build(const Spec& spec, const material::Library& library) {
  product::Product p;
  p.name = spec.name;
  p.kind = "urn";
  p.count = spec.count;

  // Every stage is asked before any verdict, so that all findings come at once.
  Result<Materials> materials = materials_of(spec, library);
  append(p.findings, materials ? materials->notes : materials.findings());
  Result<Form> form = Form::make(spec);
  append(p.findings, form.findings());
  if (!form) return p;
  append(p.findings, form->notes());
  Result<Solved> solved = solve_capacity(spec, *form);
  append(p.findings, solved ? solved->findings : solved.findings());
  if (!solved) return p;
  const Wall wall = *solved->wall;
  append(p.findings, wall.findings());
  append(p.findings, check_bow(solved->spec, wall.form()));
  if (has_errors(p.findings) || !materials) return p;

  Ware made{solved->spec, *materials, wall,
            measure_ware(wall, spec.fill_below_lip.value, solved->asked ? &solved->filled : nullptr),
            shrinkage_chain(materials->body, materials->model, materials->plaster, spec.mould.generations)};
  made.typed = spec;
  made.solved = std::move(*solved);
  made.solved.wall.reset();
  const std::optional<LidWork> lid = lid_work(made.spec, wall, made.materials, made.chain, p.findings);
  const double coat = spec.glaze.empty() ? 0 : materials->glaze.fired_coat.value;
  made.usable = usable_capacity(made.measure.capacity_fill, made.measure.capacity_brim, lid ? lid->lid.displaced : 0,
                                made.measure.inside_area, coat);
  append(p.findings, check_capacity(made.spec, made.usable, wall));
  append(p.findings, check_throwing(made.spec, made.height_at(made.chain.state("thrown"))));
  if (has_errors(p.findings)) return p;
  const Weight lid_weight = lid ? lid->weight() : Weight{};
  made.balance = balance_of(made.spec, wall, made.measure, materials->body.fired_density.value, lid_weight);
  made.throwing = std::make_shared<const Throwing>(made.made_form(), made.chain.state("thrown").over_fired,
                                                   spec.throwing.stretch.value, spec.throwing.every.value);
  const auto ware = std::make_shared<const Ware>(std::move(made));
  add_shapes(*ware, p);
  p.figures = figures_of(*ware);
  p.tables = tables_of(*ware);
  p.views = product::Views([ware] { return views_of(*ware); });
  p.parts = product::Parts([ware] {
    std::vector<product::FlatPart> parts = gauges_of(*ware);
    for (product::FlatPart& part : throwing_parts(*ware)) parts.push_back(std::move(part));
    return parts;
  });
  p.steps = steps_of(*ware);
  p.cautions = cautions_of(*ware);
  p.handles = handles_of(*ware);
  p.offers = solved_offers(*ware);
  if (lid) add_lid(ware, std::make_shared<const LidWork>(*lid), p);
  return p;
}

}  // namespace kerfkiln::urn
