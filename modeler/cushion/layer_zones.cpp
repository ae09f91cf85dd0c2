// Zones of the core's layers: their foams, volumes and joints.
#include <boost/math/quadrature/gauss_kronrod.hpp>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/cut_volume.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kZoneVolumeError = 1e-6;

// Height of the layer's foam over a place.
double height_at(const Core& core, std::size_t layer, Vec2 p) {
  const Layer& l = core.layers[layer];
  const double high = layer + 1 == core.layers.size() ? core.form.z_top(p) : std::min(core.form.z_top(p), l.high_mm);
  const double low = layer == 0 ? core.form.z_bottom(p) : std::max(core.form.z_bottom(p), l.low_mm);
  return std::max(high - low, 0.0);
}

// Each joint is the boundary of two of the pieces. What cuts take off it is not taken off: glue is put on before.
double joint_area(const Core& core, std::size_t layer) {
  const Layer& l = core.layers[layer];
  double twice = 0;
  const auto add = [&](const plane::Region& region) {
    for (const plane::Segment& s : inner_boundary(region, core.outline())) {
      const auto height = [&](double t) { return height_at(core, layer, s.point(t)); };
      twice += s.length() * boost::math::quadrature::gauss_kronrod<double, 15>::integrate(height, 0.0, 1.0, 8, 1e-8);
    }
  };
  add(l.rest);
  for (const LayerZone& z : l.zones) add(z.plan.region);
  return twice / 2;
}

// What creases and pockets take off a zone in the layer. A side's pocket counts by the share of its floor in plan.
double cut_off(const Core& core, std::size_t layer, const plane::Region& zone, std::span<const double> levels,
               Findings& out) {
  const double error = 1e-9 * core.volume_mm3;
  double off = 0;
  for (const Cut& c : core.cuts.cuts) {
    const Result<plane::Region> shared = plane::intersected({core.cuts.regions[c.region]}, zone);
    if (!shared) {
      append(out, shared.findings());
      continue;
    }
    if (!shared->empty()) off += cut_volume(core.form, levels, *shared, c.kind, c.mm, error).layers[layer];
  }
  return off;
}

}  // namespace

Findings divide_layers(Core& core, const Spec& spec, const material::Library& materials,
                       std::span<const double> levels) {
  Findings out;
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const std::vector<ZoneSpec>& specs = spec.layers[i].zones;
    if (specs.empty()) continue;
    const std::string path = "layers/" + std::to_string(i);
    Layer& layer = core.layers[i];
    for (std::size_t k = 0; k < specs.size(); ++k) {
      const std::string at = path + "/zones/" + std::to_string(k) + "/foam";
      const material::Foam* foam = material::find(materials.foams, specs[k].foam);
      std::vector<std::string> known;
      for (const auto& entry : materials.foams) known.push_back(entry.first);
      if (foam == nullptr) {
        out.push_back(error("material.unknown", at, "there is no foam called \"" + specs[k].foam + "\"",
                            offer(specs[k].foam, known)));
        continue;
      }
      if (!(foam->density.value > 0))
        out.push_back(error("material.density", at, "the foam \"" + specs[k].foam + "\" has no density",
                            "give its density in materials, such as \"45 kg/m3\""));
      layer.zones.push_back(
          {specs[k].foam, *foam, product::colour_of(foam->colour), product::hatch_of(foam->hatch), {}, 0});
    }
    Result<ZonesOfLayer> zones = zones_of(specs, core.outline(), core.plan.outline, spec.mirrored);
    if (!zones) append(out, under(path, zones.findings()));
    if (!zones || layer.zones.size() != specs.size()) continue;
    layer.rest = std::move(zones->rest);
    for (std::size_t k = 0; k < specs.size(); ++k) {
      LayerZone& z = layer.zones[k];
      z.plan = std::move(zones->zones[k]);
      const Volumes v = volumes_within(core.form, z.plan.region, levels, {.relative_error = kZoneVolumeError});
      z.volume_mm3 = v.layers[i] - cut_off(core, i, z.plan.region, levels, out);
    }
    layer.zone_joint_mm2 = joint_area(core, i);
    for (const Pocket& p : core.cuts.pockets)
      if (p.from == Pocket::From::side)
        out.push_back(
            warning("zones.pocket", path + "/zones",
                    "the " + p.name + " from a side is not taken off the zones, only off the layer's own foam",
                    "read the masses of this layer's zones as those before that pocket is cut"));
  }
  return out;
}

}  // namespace kerfkiln::cushion
