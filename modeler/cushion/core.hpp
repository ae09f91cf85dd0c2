// Everything that the parts of a cushion's product are made from: the checked design and its exact form.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/cushion/base_board.hpp"
#include "modeler/cushion/cuts.hpp"
#include "modeler/cushion/edges.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/rises.hpp"
#include "modeler/cushion/skins.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/cushion/wrapping.hpp"
#include "modeler/cushion/zones.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

// A part of a layer in another foam.
struct LayerZone {
  std::string foam;
  material::Foam data;
  product::Colour colour;
  product::Hatch hatch = product::Hatch::none;
  ZonePlan plan;
  double volume_mm3 = 0;
  double mass_kg() const { return volume_mm3 * 1e-9 * data.density.value; }
};

struct Layer {
  std::string foam;
  double density = 0;  // kg/m3
  product::Colour colour;
  product::Hatch hatch = product::Hatch::none;
  material::FoamSheet stock;
  double low_mm = 0, high_mm = 0;  // above the underside
  double volume_mm3 = 0;           // zones included, net of cuts
  material::Foam data;
  std::vector<LayerZone> zones;
  plane::Region rest;         // what zones leave of the plan; empty without zones
  double zone_joint_mm2 = 0;  // upright glue faces between zones and the rest, each counted once, net of cuts
  double thickness() const { return high_mm - low_mm; }
  double own_mm3() const {  // of the layer's own foam
    double v = volume_mm3;
    for (const LayerZone& z : zones) v -= z.volume_mm3;
    return v;
  }
  double mass_kg() const {
    double m = own_mm3() * 1e-9 * density;
    for (const LayerZone& z : zones) m += z.mass_kg();
    return m;
  }
};

// One joint between neighbouring layers.
struct Joint {
  double z_mm = 0;
  double area_mm2 = 0;  // of the finished face, net of what cuts take
  double cut_mm2 = 0;   // that much
  std::vector<plane::Outline> outlines;
  bool whole = false;  // the section is the core's outline itself
};

// The foam on the board of a storage cavity's lid.
struct LidFoam {
  std::size_t pocket = 0;  // index into the cuts' pockets, where the lid's outline and thickness are
  std::string foam;
  material::Foam data;
  double area_mm2 = 0, volume_mm3 = 0;
  std::string board;                             // its material
  double board_density = 0, board_price_m2 = 0;  // NaN: not known
  double board_kg = 0;
  double board_blank_mm2 = 0;  // of the rectangle around it
  double mass_kg() const { return volume_mm3 * 1e-9 * data.density.value; }
};

struct Glue {
  std::string name;
  double coverage_kg_m2 = 0, loss = 0, waiting_s = 0;
  double open_s = 0;    // 0: not said
  double price_kg = 0;  // 0: not said
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
  Vec3 centroid;  // of what cuts leave
  double trim_mm = 0;
  double kerf_mm = 0;
  Cuts cuts = {};    // volumes of core and layers are net of them
  Rises rises = {};  // what form.rise() is made of
  std::vector<LidFoam> lids = {};
  std::vector<product::Blank> coupons = {};  // of foam, for burn tests
  std::optional<BaseBoard> board = {};
  Wrapping wrapping = {};

  const plane::Outline& outline() const { return form.outline(); }
  double height() const { return form.height(); }
  double blank_width() const { return plane::bounds(outline()).width() + 2 * trim_mm; }
  double blank_depth() const { return plane::bounds(outline()).depth() + 2 * trim_mm; }
  // Of a layer: the outermost ones hold what a crown or contour adds.
  double blank_thickness(std::size_t layer) const;
  double glue_area_mm2() const;
  double glue_kg(double loss) const;  // on all of that, and `loss` more
  double foam_kg() const;             // of the core
  double lids_kg() const;             // foam of lids
};

// Layers bottom up. Findings: layers.none, layers.thickness, material.unknown, material.density; warnings
// layers.thin, notes layers.stock; all at once, paths below the piece.
struct Layers {
  std::vector<Layer> list;
  Findings notes;
};
Result<Layers> layers_of(const Spec&, const material::Library&);
Result<Glue> glue_of(const Spec&, const material::Library&);
// Zones of the core's layers: regions, volumes net of cuts, joints. Findings of zones_of below "layers/<i>", and
// material.unknown, material.density of their foams.
Findings divide_layers(Core&, const Spec&, const material::Library&, std::span<const double> levels_mm);
// Takes what creases and pockets cut out of the glue faces off the joints. Findings of the booleans.
Findings cut_joints(Core&);
// Foam of the lids. Findings at "pockets/<i>/lid/foam": material.unknown, material.density; warning pocket.lid_flush
// where the top about the lid rises or falls from the lid's level top.
Findings add_lids(Core&, const material::Library&);
// Every rectangle of foam to be cut for one piece, bottom up, each layer's own foam before its zones, then lids. A
// layer that its zones leave in several parts needs several.
std::vector<product::Blank> blanks_of(const Core&);
// The stocked thickness that a blank is slit from (the nearest not thinner), how many come out of it side by side in
// its height, and the cuts: floor((stock + kerf) / (thickness + kerf)) (reference part 2). stock 0: none is thick
// enough.
struct Slitting {
  double stock_mm = 0;
  int slices = 0, cuts = 0;
  double offcut_mm = 0;
};
Slitting slitting(const material::FoamSheet&, double thickness_mm, double kerf_mm);
int slices_of(double stock_mm, double trim_mm, double thickness_mm, double kerf_mm);
// Blanks larger than the stock sheet: warnings layers.sheet. A risen layer thicker than its stock: layers.stock.
Findings check_blanks(const Core&);

// Thickness tolerance of slab foam as delivered: 1/16 in (joint foam standards 1994, from 25 mm on).
inline constexpr double kSheetToleranceMm = 1.5875;

product::Table layer_table(const Core&);
product::Table cut_list(const Core&, int count);
product::Table slitting_table(const Core&, int count);
product::Table glue_table(const Core&);

std::vector<product::Figure> figures_of(const Core&);
void add_outline_figures(const Plan&, std::vector<product::Figure>&);

}  // namespace kerfkiln::cushion
