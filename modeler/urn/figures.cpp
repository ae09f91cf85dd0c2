// The figures of an urn (design section 15), each with its origin.
#include <cmath>
#include <numbers>

#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

std::vector<std::string> stage_paths(const Ware& w) {
  std::vector<std::string> paths;
  for (std::size_t i = 0; i < w.materials.body.stages.size(); ++i)
    paths.push_back("materials/bodies/" + w.materials.body_name + "/stages/" + std::to_string(i));
  return paths;
}

void add_fired(const Ware& w, FigureList& f) {
  const WareMeasure& m = w.measure;
  f.add("fired.height", "Height, fired", w.form().height(), "mm", {"profile"}, "from the foot to the lip");
  band_size(w, true, 1, f);
  // The elevations of a twisted form show how far it reaches all round.
  const char* own = w.form().twisted() ? "; across the section, turned with it" : "";
  f.add("fired.max_width", "Width, fired", w.form().max_width(), "mm", {"profile"},
        std::string("twice the largest half width of the curve, which may lie between the points") + own);
  band_size(w, false, 1, f);
  f.add("fired.max_depth", "Depth, fired", w.form().max_depth(), "mm", {"profile"},
        std::string("twice the largest half depth of the curve") + own);
  band_size(w, false, 1, f);
  f.add("fired.capacity", "Capacity to the fill line", m.capacity_fill * kLitres, "L",
        {"profile", "section", "wall", "base", "capacity/fill_below_lip"},
        "volume of the inside between the floor and the fill line, the lid ignored");
  f.within(m.inside.error);
  band_capacity(w, 1, f);
  f.add("fired.capacity_brim", "Capacity to the lip", m.capacity_brim * kLitres, "L",
        {"profile", "section", "wall", "base"}, "volume of the inside between the floor and the lip");
  f.within(m.inside.error);
  band_capacity(w, 1, f);
  f.add("fired.outside_area", "Outside area", m.outside_area * kSquareMetres, "m2", {"profile", "section"},
        "the outer side from foot to lip, without foot and lip faces");
  f.add("fired.inside_area", "Inside area", m.inside_area * kSquareMetres, "m2", {"profile", "section", "wall", "base"},
        "the inner side and the inner floor");
  f.add("fired.clay_volume", "Clay, fired", m.clay_volume * kLitres, "L", {"profile", "section", "wall", "base"},
        "outer form - inside to the lip - recess of the foot");
  f.within(m.error);
  f.add("fired.mass", "Mass, fired", w.fired_mass(), "kg",
        {"fired.clay_volume", "materials/bodies/" + w.materials.body_name + "/fired_density"},
        "clay volume x fired density; glaze not included");
  f.add("fired.cg_height", "Centre of gravity, empty", m.clay_centroid_z, "mm", {"profile", "section", "wall", "base"},
        "height above the foot of the centroid of the clay");
  f.add("fired.tip_angle", "Tip angle, empty", m.tip_angle * 180 / std::numbers::pi, "deg",
        {"fired.cg_height", "profile/0"},
        "arctan(half size of the foot on its short side / height of the centre of gravity)");
}

// Prediction interval of one bar's total shrinkage.
void band_shrinkage(const Spread& s, double total, FigureList& f) {
  if (!s.known) return;
  const double x = s.half_width(1) * (1 - total) / total;
  f.band(1 - x, 1 + x);
}

void add_shrinkage(const Ware& w, FigureList& f) {
  const ShrinkageChain& c = w.chain;
  const std::vector<std::string> stages = stage_paths(w);
  f.add("shrinkage.total", "Total shrinkage, girth", c.total.girth * 100, "%", stages,
        "1 - product of (1 - shrinkage) over the stages; stages compound, they do not add");
  band_shrinkage(c.body.girth, c.total.girth, f);
  f.add("shrinkage.total.height", "Total shrinkage, height", c.total.height * 100, "%", stages,
        "the same along the height");
  band_shrinkage(c.body.height, c.total.height, f);
  f.add("oversize.factor", "Oversize factor, girth", c.oversize.girth, "", {"shrinkage.total"},
        "1 / (1 - total shrinkage)");
  f.add("oversize.factor.height", "Oversize factor, height", c.oversize.height, "", {"shrinkage.total.height"},
        "1 / (1 - total shrinkage along the height)");
  const State& cavity = c.state("cavity");
  f.add("cavity.height", "Cavity height", w.height_at(cavity), "mm", {"fired.height", "oversize.factor.height"},
        "fired height x oversize factor");
  f.add("cavity.max_width", "Cavity width", w.width_at(cavity), "mm", {"fired.max_width", "oversize.factor"},
        "fired width x oversize factor");
  f.add("cavity.max_depth", "Cavity depth", w.depth_at(cavity), "mm", {"fired.max_depth", "oversize.factor"},
        "fired depth x oversize factor");
  const Scale s = cavity.over_fired;
  f.add("cavity.volume", "Cavity volume", w.measure.outside.volume * s.girth * s.girth * s.height * kLitres, "L",
        {"profile", "section", "oversize.factor", "oversize.factor.height"},
        "whole outer form x girth factor squared x height factor");
  f.within(w.measure.outside.error);
  const std::string expansion = "materials/plasters/" + w.materials.plaster_name + "/setting_expansion";
  const State& model = c.state("model");
  f.add("model.height", "Model height, when moulded", w.height_at(model), "mm",
        {"cavity.height", expansion, "mould/generations"}, "cavity / (1 + setting expansion)^generations");
  f.add("model.max_width", "Model width, when moulded", w.width_at(model), "mm",
        {"cavity.max_width", expansion, "mould/generations"}, "cavity / (1 + setting expansion)^generations");
  const std::string until = "materials/models/" + w.materials.model_name + "/shrinkage";
  const State& thrown = c.state("thrown");
  f.add("thrown.height", "Height to make, wet", w.height_at(thrown), "mm", {"model.height", until},
        "model / (1 - shrinkage of the model until it is moulded)");
  f.add("thrown.max_width", "Width to make, wet", w.width_at(thrown), "mm", {"model.max_width", until},
        "model / (1 - shrinkage of the model until it is moulded)");
  f.add("thrown.max_depth", "Depth to make, wet", w.depth_at(thrown), "mm",
        {"fired.max_depth", "oversize.factor", expansion, until},
        "fired depth taken back through all stages, plaster and model");
}

}  // namespace

std::vector<product::Figure> figures_of(const Ware& w) {
  FigureList f;
  add_fired(w, f);
  add_capacity(w, f);
  add_balance(w, f);
  add_shrinkage(w, f);
  add_throwing(w, f);
  add_batch(w, f);
  add_fired_check(w, f);
  f.add("total.mass", "Total mass", w.fired_mass(), "kg", {"fired.mass"},
        "mass of the fired piece; lid and glaze not included");
  return f.list;
}

}  // namespace kerfkiln::urn
