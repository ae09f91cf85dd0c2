// Everything that the parts of an urn's product are made from: the checked design, its form and its sizes.
#pragma once
#include <string>
#include <vector>

#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/shrinkage.hpp"
#include "modeler/urn/spec.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

// Name and entry of the materials an urn is made with; a design that names none gets the built-in generic ones.
struct Materials {
  std::string body_name, model_name, plaster_name, glaze_name;  // no glaze: empty
  material::Body body;
  material::Model model;
  material::Plaster plaster;
  material::Glaze glaze;  // unknown values where there is none
  Findings notes;         // warnings and notes
};
// Findings "material.unknown", "material.density" and those of check_shrinkage.
Result<Materials> materials_of(const Spec&, const material::Library&);

struct Ware {
  Spec spec;
  Materials materials;
  Wall wall;  // holds the form
  WareMeasure measure;
  ShrinkageChain chain;

  const Form& form() const { return wall.form(); }
  double fired_mass() const;  // kg
  // Overall sizes at a state of the chain, mm.
  double height_at(const State& s) const { return form().height() * s.over_fired.height; }
  double width_at(const State& s) const { return form().max_width() * s.over_fired.girth; }
  double depth_at(const State& s) const { return form().max_depth() * s.over_fired.girth; }
};

std::vector<product::Figure> figures_of(const Ware&);
std::vector<product::Table> tables_of(const Ware&);
std::vector<product::View> views_of(const Ware&);
std::vector<product::FlatPart> gauges_of(const Ware&);
std::vector<product::Step> steps_of(const Ware&);
std::vector<std::string> cautions_of(const Ware&);
std::vector<product::Handle> handles_of(const Ware&);

}  // namespace kerfkiln::urn
