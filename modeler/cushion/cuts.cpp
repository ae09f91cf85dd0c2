#include "modeler/cushion/cuts.hpp"

#include <algorithm>

#include "modeler/cushion/cut_volume.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

// Of the core's volume: what the share of one layer in a cut under an edge may be off. Creases as a whole are exact.
constexpr double kVolumeError = 1e-8;

class Taking {
 public:
  Taking(Cuts& cuts, const Form& form, std::span<const double> levels)
      : c_(cuts), form_(form), levels_(levels), error_(kVolumeError * plane::area(form.outline()) * form.height()) {
    c_.off_layer_mm3.assign(levels.size() - 1, 0);
  }

  // The volume taken; a finding where the region cannot be brought within the outline.
  double take(const plane::Outline& region, bool within, Cut::Kind kind, double mm, const std::string& field) {
    c_.cuts.push_back({c_.regions.size(), kind, mm});
    c_.regions.push_back(region);
    plane::Region inside{region};
    if (!within) {
      Result<plane::Region> clipped = plane::intersected({region}, {form_.outline()});
      if (!clipped) {
        c_.notes.push_back(error("crease.region", field, "the cut cannot be brought within the outline",
                                 "move it or its ends by a millimetre"));
        return 0;
      }
      inside = std::move(*clipped);
    }
    return count(cut_volume(form_, levels_, inside, kind, mm, error_));
  }
  double count(const CutVolume& v) {
    for (std::size_t i = 0; i < v.layers.size(); ++i) c_.off_layer_mm3[i] += v.layers[i];
    return v.total;
  }
  // A side's pocket is a prism: what lies in a layer is the area of its outline between the glue planes.
  double take_side(const Pocket& p) {
    CutVolume v;
    v.total = plane::area(p.outline) * p.depth_mm;
    const plane::Box b = plane::bounds(p.outline);
    double before = 0;
    for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
      const double level = levels_[i + 1];
      double below = v.total;
      if (i + 2 < levels_.size() && level <= b.low.y) below = 0;
      if (i + 2 < levels_.size() && level > b.low.y && level < b.high.y) {
        plane::Outline half;
        for (Vec2 q :
             {Vec2{b.low.x - 1, b.low.y - 1}, {b.high.x + 1, b.low.y - 1}, {b.high.x + 1, level}, {b.low.x - 1, level}})
          half.outer.push_back({q, 0, 0});
        const Result<plane::Region> cut = plane::intersected({p.outline}, {half});
        below = cut ? plane::area(*cut) * p.depth_mm : 0;
      }
      v.layers.push_back(below - before);
      before = below;
    }
    return count(v);
  }

 private:
  Cuts& c_;
  const Form& form_;
  std::span<const double> levels_;
  double error_;
};

}  // namespace

Result<Cuts> cuts_of(const Spec& spec, const plane::Outline& given, const Form& form, std::span<const double> levels,
                     const CreaseSkins& skins, const std::vector<std::string>& side_names) {
  Cuts cuts;
  Findings problems;
  Result<Creases> creases = creases_of(spec.creases, given, spec.mirrored, form, skins);
  if (creases) {
    cuts.creases = std::move(creases->list);
    cuts.notes = std::move(creases->notes);
  } else {
    problems = creases.findings();
  }
  Result<Pockets> pockets =
      pockets_of(spec.pockets, given, spec.mirrored, form, side_names, skins.cover_mm, cuts.creases);
  if (pockets) {
    cuts.pockets = std::move(pockets->list);
    append(cuts.notes, pockets->notes);
  } else {
    append(problems, pockets.findings());
  }
  if (has_errors(problems)) return problems;
  Taking taking(cuts, form, levels);
  for (Crease& c : cuts.creases)
    for (const CreaseRun& r : c.runs)
      c.volume_mm3 += taking.take(r.strip, !r.out_at_start && !r.out_at_end, Cut::Kind::below_top, c.depth_mm, c.field);
  for (Pocket& p : cuts.pockets) {
    if (p.from == Pocket::From::side) {
      p.volume_mm3 = taking.take_side(p);
    } else if (p.lid) {
      const double seat = form.height() - p.lid->thickness();
      plane::Outline ring = p.lid->seat;
      ring.holes.push_back(plane::reversed(p.outline.outer));
      for (const plane::Loop& island : p.outline.holes) ring.holes.push_back(island);
      p.volume_mm3 = taking.take(ring, true, Cut::Kind::floor, seat, p.field) +
                     taking.take(p.outline, true, Cut::Kind::floor, form.height() - p.depth_mm, p.field);
    } else {
      const bool top = p.from == Pocket::From::top;
      p.volume_mm3 = taking.take(p.outline, true, top ? Cut::Kind::floor : Cut::Kind::roof,
                                 top ? form.height() - p.depth_mm : p.depth_mm, p.field);
    }
  }
  if (has_errors(cuts.notes)) return cuts.notes;
  return cuts;
}

}  // namespace kerfkiln::cushion
