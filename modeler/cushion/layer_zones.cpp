// Zones of the core's layers: their foams, volumes and joints.
#include <boost/math/quadrature/gauss_kronrod.hpp>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/cut_volume.hpp"
#include "modeler/cushion/hollow.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kZoneVolumeError = 1e-6;

// Height of the layer's foam over a place, less what cuts leave empty.
double height_at(const Core& core, std::size_t layer, Vec2 p) {
  const Layer& l = core.layers[layer];
  const double high = layer + 1 == core.layers.size() ? core.form.z_top(p) : std::min(core.form.z_top(p), l.high_mm);
  const double low = layer == 0 ? core.form.z_bottom(p) : std::max(core.form.z_bottom(p), l.low_mm);
  if (core.cuts.none() || !(high > low)) return std::max(high - low, 0.0);
  double left = high - low;
  for (const HeightRange& h : hollow_over(core.form, core.cuts, p))
    left -= std::max(0.0, std::min(h.high, high) - std::max(h.low, low));
  return left;
}

// Each joint is the boundary of two of the pieces.
double joint_area(const Core& core, std::size_t layer) {
  const Layer& l = core.layers[layer];
  double twice = 0;
  const auto add = [&](const plane::Region& region) {
    for (const plane::Segment& s : inner_boundary(region, core.outline())) {
      const auto height = [&](double t) { return height_at(core, layer, s.point(t)); };
      const std::vector<double> breaks = hollow_breaks(core.cuts, s);
      for (std::size_t k = 0; k + 1 < breaks.size(); ++k)
        if (breaks[k + 1] > breaks[k])
          twice += s.length() * boost::math::quadrature::gauss_kronrod<double, 15>::integrate(height, breaks[k],
                                                                                              breaks[k + 1], 8, 1e-8);
    }
  };
  add(l.rest);
  for (const LayerZone& z : l.zones) add(z.plan.region);
  return twice / 2;
}

// What creases and pockets take off a zone in the layer.
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
  const Layer& l = core.layers[layer];
  for (const Pocket& p : core.cuts.pockets)
    if (p.from == Pocket::From::side) off += side_volume_over(p, zone, l.low_mm, l.high_mm, out);
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
  }
  return out;
}

}  // namespace kerfkiln::cushion
