#include "modeler/urn/build.hpp"

#include <memory>
#include <string_view>
#include <utility>

#include "modeler/base/nearest_key.hpp"
#include "modeler/urn/message.hpp"
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

  const State& cast = ware.chain.state("cavity");
  const Scale s = cast.over_fired;
  const auto cavity = std::make_shared<const Form>(ware.form().scaled(s.girth, s.height));
  product::Shape form;
  form.id = "form-cavity-size";
  form.label = "Outer form at cavity size";
  form.colour = {0.80, 0.78, 0.74};
  form.shown = false;
  form.volume_mm3 = ware.measure.outside.volume * s.girth * s.girth * s.height;
  form.mesh = [cavity](double deviation_mm) -> Result<solid::Mesh> {
    solid::Mesh m;
    mesh_form(*cavity, deviation_mm, m);
    return m;
  };
  p.shapes.push_back(std::move(form));
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
                   "The clay body \"" + m.body_name + "\" has no fired density, so no mass follows.",
                   "Weigh a fired bar and divide by its volume, or start from 2.18 kg/L for dense stoneware."});
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
  const WallSize size = WallSize::of(spec);
  Result<Wall> wall = Wall::make(*form, size);
  append(p.findings, wall.findings());
  if (!wall) return p;
  append(p.findings, wall->findings());
  if (!(spec.fill_below_lip.value < wall->lip() - wall->floor()))
    p.findings.push_back({Severity::error, "capacity.fill_below_lip", "capacity/fill_below_lip",
                          "The fill line lies " + mm(spec.fill_below_lip.value) +
                              " below the lip, but the inside is only " + mm(wall->lip() - wall->floor()) + " deep.",
                          "Give less than " + mm(wall->lip() - wall->floor()) + "."});
  if (has_errors(p.findings) || !materials) return p;

  const Ware ware{spec, *materials, *wall, measure_ware(*wall, spec.fill_below_lip.value),
                  shrinkage_chain(materials->body, materials->model, materials->plaster, spec.mould.generations)};
  add_shapes(ware, p);
  p.figures = figures_of(ware);
  p.tables = tables_of(ware);
  p.views = views_of(ware);
  p.parts = gauges_of(ware);
  p.steps = steps_of(ware);
  p.cautions = cautions_of(ware);
  p.handles = handles_of(ware);
  return p;
}

}  // namespace kerfkiln::urn
