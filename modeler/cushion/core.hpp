// Everything that the parts of a cushion's product are made from: the checked design and its exact form.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/edges.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/skins.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Layer {
  std::string foam;
  double density = 0;  // kg/m3
  product::Colour colour;
  product::Hatch hatch = product::Hatch::none;
  material::FoamSheet stock;
  double low_mm = 0, high_mm = 0;  // above the underside
  double volume_mm3 = 0;
  double thickness() const { return high_mm - low_mm; }
  double mass_kg() const { return volume_mm3 * 1e-9 * density; }
};

// One joint between neighbouring layers.
struct Joint {
  double z_mm = 0;
  double area_mm2 = 0;  // of the finished face
  std::vector<plane::Outline> outlines;
  bool whole = false;  // the section is the core's outline itself
};

struct Glue {
  std::string name;
  double coverage_kg_m2 = 0, loss = 0, waiting_s = 0;
  int faces = 2;
};

struct Core {
  std::string name;
  std::string hand;  // "left", "right" or ""
  Plan plan;         // as given
  Skins skins;
  std::vector<ChainSizes> chain;
  Edges edges;
  Form form;  // of the core
  std::vector<Layer> layers;
  std::vector<Joint> joints;
  std::vector<plane::Outline> flat_top, flat_bottom;  // where neither edge has begun
  Glue glue;
  double volume_mm3 = 0, volume_error_mm3 = 0;
  Vec3 centroid;
  double trim_mm = 0;
  Cuts cuts = {};  // volumes of core and layers are net of them

  const plane::Outline& outline() const { return form.outline(); }
  double height() const { return form.height(); }
  double blank_width() const { return plane::bounds(outline()).width() + 2 * trim_mm; }
  double blank_depth() const { return plane::bounds(outline()).depth() + 2 * trim_mm; }
  double glue_area_mm2() const;
  double glue_kg(double loss) const;  // on the finished joints, and `loss` more
  double foam_kg() const;
};

// Layers bottom up. Findings: layers.none, layers.thickness, material.unknown, material.density; warnings
// layers.thin, notes layers.stock; all at once, paths below the piece.
struct Layers {
  std::vector<Layer> list;
  Findings notes;
};
Result<Layers> layers_of(const Spec&, const material::Library&);
Result<Glue> glue_of(const Spec&, const material::Library&);
// Blanks larger than the stock sheet: warnings layers.sheet.
Findings check_blanks(const Core&);

product::Table layer_table(const Core&);
product::Table cut_list(const Core&, int count);
product::Table glue_table(const Core&);

std::vector<product::Figure> figures_of(const Core&);
void add_outline_figures(const Plan&, std::vector<product::Figure>&);

}  // namespace kerfkiln::cushion
