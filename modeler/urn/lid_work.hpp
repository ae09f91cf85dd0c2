// The lid of a ware: form, fit and weight, and what they add to the product.
#pragma once
#include <memory>
#include <optional>

#include "modeler/urn/lid.hpp"
#include "modeler/urn/lid_fit.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {

// The standard deviation of the total shrinkage is the bars' where the body has them, else what the design assumes.
struct LidWork {
  Lid lid;
  LidFit fit;
  bool from_bars = false;
  double mass = 0, gallery_mass = 0;  // kg, fired
  // Of both, in their place.
  Weight weight() const {
    if (!lid.gallery) return {mass, lid.measure.centroid_z};
    const double both = mass + gallery_mass;
    return {both, (mass * lid.measure.centroid_z + gallery_mass * lid.gallery->centroid_z) / both};
  }
};
// Nothing without a lid, or with errors in `out`: those of make_lid and "lid.enters" (no clearance is left for it).
// Warnings and notes too: "lid.fit" (fewer than 95 of 100 fit, with the clearances that would do), "lid.glaze"
// (clearance hardly above the glaze), "lid.fill" (the flange reaches below the fill line).
std::optional<LidWork> lid_work(const Spec&, const Wall&, const Materials&, const ShrinkageChain&, Findings& out);

// Figures "lid.*", tables, views, flat parts, shapes, steps and handles; "total.mass" then includes lid and gallery.
// Views and parts are drawn when they are looked at.
void add_lid(const std::shared_ptr<const Ware>&, const std::shared_ptr<const LidWork>&, product::Product&);

// Its parts, for add_lid.
std::vector<product::Figure> lid_figures(const Ware&, const LidWork&);
std::vector<product::Table> lid_tables(const Ware&, const LidWork&);
std::vector<product::View> lid_views(const Ware&, const LidWork&);
std::vector<product::FlatPart> lid_parts(const Ware&, const LidWork&);

}  // namespace kerfkiln::urn
