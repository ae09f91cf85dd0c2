// Everything that the parts of an urn's product are made from: the checked design, its form and its sizes.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"
#include "modeler/urn/balance.hpp"
#include "modeler/urn/capacity.hpp"
#include "modeler/urn/capacity_solve.hpp"
#include "modeler/urn/figure_list.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/shrinkage.hpp"
#include "modeler/urn/spec.hpp"
#include "modeler/urn/squaring.hpp"
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
  Spec spec;  // its profile at the solved size
  Materials materials;
  Wall wall;  // holds the form
  WareMeasure measure;
  ShrinkageChain chain;
  Spec typed = {};     // as in the file
  Solved solved = {};  // how spec follows from it
  Usable usable = {};
  Balance balance = {};
  std::shared_ptr<const Throwing> throwing = {};

  const Form& form() const { return wall.form(); }
  // Of model and cavity, at the fired size: crowned by the bow, so that the piece fires flat.
  Form made_form() const { return spec.bow.flats.known() ? form().crowned(spec.bow.flats.value) : form(); }
  double fired_mass() const;  // kg
  // Overall sizes at a state of the chain, mm.
  double height_at(const State& s) const { return form().height() * s.over_fired.height; }
  double width_at(const State& s) const { return form().max_width() * s.over_fired.girth; }
  double depth_at(const State& s) const { return form().max_depth() * s.over_fired.girth; }
};

std::vector<product::Figure> figures_of(const Ware&);
void add_capacity(const Ware&, FigureList&);
// Where the form was scaled to a capacity: the solved sizes for the typed ones.
std::vector<product::Offer> solved_offers(const Ware&);
void add_balance(const Ware&, FigureList&);
void add_batch(const Ware&, FigureList&);
void add_fired_check(const Ware&, FigureList&);
void add_throwing(const Ware&, FigureList&);
// A band on the last figure: what the scatter of the shrinkage makes of a size, or of a capacity, for so many pieces.
void band_size(const Ware&, bool height, int pieces, FigureList&);
void band_capacity(const Ware&, int pieces, FigureList&);

std::vector<product::Table> tables_of(const Ware&);
product::Table capacity_table(const Ware&);
std::vector<product::Table> solved_tables(const Ware&);  // none where nothing was solved
product::Table throwing_table(const Ware&);
product::Table balance_table(const Ware&);
product::Table masses_table(const Ware&);
std::vector<product::Table> spread_tables(const Ware&);  // none without test bars
product::Table wrong_sums(const Ware&);

std::vector<product::View> views_of(const Ware&);
std::vector<product::View> size_views(const Ware&);
product::View throwing_view(const Ware&);
std::vector<product::FlatPart> gauges_of(const Ware&);
std::vector<product::FlatPart> throwing_parts(const Ware&);
Findings check_throwing(const Spec&, double wet_height);  // "throwing.every"
std::vector<product::Step> steps_of(const Ware&);
std::vector<std::string> cautions_of(const Ware&);
std::vector<product::Handle> handles_of(const Ware&);

}  // namespace kerfkiln::urn
