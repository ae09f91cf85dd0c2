#include "modeler/cushion/wrapping.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/crease_allowance.hpp"
#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrap_apart.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kMostStrain = 0.5;  // of the skin: beyond it foam is cut rather than stretched (common practice)
constexpr double kTellDevelop = 0.005, kMostDevelop = 0.05;

const Skin* skin(const Core& core, const char* name) {
  for (const Skin& s : core.skins.layers)
    if (s.name == name) return &s;
  return nullptr;
}

std::string place_text(Vec2 p) { return "(" + number_text(p.x, 0) + ", " + number_text(p.y, 0) + ") mm"; }
std::string percent(double share) { return number_text(100 * share, 1) + " %"; }

// Depths that the topper may run down to, the tightest of all sides.
struct DepthRange {
  double least = 0, most = 1e9;
};
DepthRange depth_range(const Core& core, const Rims& rims) {
  DepthRange r;
  const plane::Loop& outer = core.outline().outer;
  for (std::size_t i = 0; i < outer.size(); ++i) {
    const int steps = rims.varies(0, static_cast<int>(i)) ? 16 : 1;
    for (int k = 0; k <= steps; ++k) {
      const SideRoom room = rims.room(0, static_cast<int>(i), static_cast<double>(k) / steps);
      r.least = std::max(r.least, room.drop_mm);
      r.most = std::min(r.most, room.bottom_mm);
    }
  }
  return r;
}

void check_depth(const Core& core, const Rims& rims, Findings& out) {
  const DownTo& to = rims.layer().down_to;
  if (to.where != DownTo::Where::depth) return;
  const DepthRange r = depth_range(core, rims);
  if (to.depth_mm >= r.least - 1e-9 && to.depth_mm <= r.most + 1e-9) return;
  out.push_back(error("topper.down_to", "topper/down_to",
                      "the topper runs " + mm_text(to.depth_mm) + " down" +
                          (to.depth_mm > r.most ? ", and the lowest side has room for " + mm_text(r.most)
                                                : ", and the deepest edge curve ends at " + mm_text(r.least)) +
                          (r.least <= r.most ? "; permitted is " + mm_text(r.least) + " to " + mm_text(r.most)
                                             : "; no depth suits all sides"),
                      "give a depth in that range, or \"edge\" or \"bottom\", which follow each side"));
}

void tell_step(const Core& core, const DownTo& to, double t, Findings& out) {
  if (to.where == DownTo::Where::bottom || core.skins.given == 0) return;
  out.push_back(note("topper.step", "topper/down_to",
                     "where the topper ends on the side, the cushion below is " + mm_text(t) +
                         " smaller all round than the outline given",
                     "run the topper down to the bottom, or skive its lower edge"));
}

void tell_develop(const WrappedLayer& w, Findings& out) {
  const double worst = std::max(w.unrolled.stretched, w.unrolled.pressed);
  if (worst < kTellDevelop) return;
  const std::string text = "over the rising top the topper is stretched by up to " + percent(w.unrolled.stretched) +
                           (w.unrolled.stretched > 0 ? " at " + place_text(w.unrolled.stretched_at) : "") +
                           " and pressed by up to " + percent(w.unrolled.pressed) +
                           (w.unrolled.pressed > 0 ? " at " + place_text(w.unrolled.pressed_at) : "") +
                           ": its pattern is exact along the middle only";
  if (worst > kMostDevelop)
    out.push_back(
        warning("topper.develop", "topper", text, "divide it by a crease over the steepest place, or lower the crown"));
  else
    out.push_back(note("topper.develop", "topper", text, "glue it from the middle outward"));
}

// Under the bent edge of a hole, or where it is cut at its rim (`to_top`) up to the layer's outside.
void add_linings(const Core& core, WrappedLayer& w, bool to_top) {
  for (std::size_t i = 0; i < core.outline().holes.size(); ++i) {
    const plane::Loop& hole = core.outline().holes[i];
    plane::Outline alone;
    alone.outer = plane::reversed(hole);
    const Result<std::vector<plane::Outline>> inside = plane::offset(alone, -w.layer.away_mm);
    if (!inside || inside->size() != 1) continue;
    // The sides of a hole may be shaped differently: the strip is as high as the highest of them.
    double height = 0;
    for (const plane::Vertex& v : hole) {
      const EdgeProfile &top = core.form.edges(Sheet::top).of(v.side),
                        &bottom = core.form.edges(Sheet::bottom).of(v.side);
      height = std::max(height, core.height() - top.drop - bottom.drop);
    }
    if (to_top) height += w.layer.thickness_mm;
    if (height > 1) w.strips.push_back({"hole " + std::to_string(i + 1), plane::perimeter(inside->front()), height});
  }
}

void tell_patterns(const std::string& what, const std::vector<std::string>& apart,
                   const std::vector<std::string>& crossing, Findings& out) {
  if (!apart.empty())
    out.push_back(note(what + ".strips", what,
                       "laid flat, flaps of piece " + listed(apart) + " of the " + what +
                           " would overlap: they are strips of their own",
                       "glue them to the edge that their piece leaves, or move creases and sides apart"));
  if (!crossing.empty())
    out.push_back(
        warning(what + ".flat", what,
                "the flaps of piece " + listed(crossing) + " of the " + what +
                    " overlap when laid flat, even with every flap a strip of its own: no pattern is drawn",
                "move the crease or corner nearest to that place by some millimetres, or give the edge there a "
                "smaller radius"));
}

void add_patterns(const Core& core, const std::shared_ptr<const Rims>& rims, const std::string& what, WrappedLayer& w,
                  Findings& out) {
  Result<WrapPlan> plan = wrap_pieces(core.form, core.cuts, rims);
  if (!plan) {
    append(out, plan.findings());
    return;
  }
  w.faces = std::move(plan->faces);
  PatternRequest request;
  request.thickness_mm = w.layer.thickness_mm;
  request.unrolled = w.unrolled.place;
  request.feather_mm = w.feather_mm;
  if (w.loft_mm == 0)
    request.relieved = [&core, t = w.layer.thickness_mm](const WrapEdge& e) {
      return e.kind == WrapEdge::Kind::side &&
             wrapped(core.form.edges(Sheet::top).of(e.side), {}, core.height(), t).strain > kMostStrain;
    };
  std::vector<std::string> crossing, apart;
  bool hole_cut = false;
  for (std::size_t i = 0; i < plan->pieces.size(); ++i) {
    const std::string n = std::to_string(i + 1);
    LaidFlat d = laid_flat(plan->pieces[i], request, "piece " + n, core.plan.shown);
    if (d.ok) {
      w.area_mm2 += d.pattern.area_mm2();
      for (const PatternInsert& x : d.pattern.inserts) w.area_mm2 += x.count * plane::area(x.outline);
      if (d.cut_apart) apart.push_back(n);
      for (std::size_t k = 1; k < d.piece.loops.size(); ++k)
        for (const WrapEdge& e : d.piece.loops[k])
          hole_cut = hole_cut || (e.kind == WrapEdge::Kind::butt && e.side >= 0);
      for (WrapStrip& x : d.strips)
        if (std::min(x.length_mm, x.height_mm) > 1) w.strips.push_back(std::move(x));
    } else {
      crossing.push_back(n + (d.crossing.empty() ? "" : " (" + d.crossing + ")"));
      d.pattern.outline = {};
    }
    w.pieces.push_back(std::move(d.piece));
    w.patterns.push_back(std::move(d.pattern));
  }
  add_linings(core, w, hole_cut);
  for (const WrapStrip& x : w.strips) w.area_mm2 += x.length_mm * x.height_mm;
  tell_patterns(what, apart, crossing, out);
}

WrappedLayer topper_of_core(const Core& core, const Spec& spec, const Skin& s, const material::Library& materials,
                            Findings& out) {
  WrappedLayer w;
  w.material = s.material;
  const double t = s.thickness_mm;
  w.layer = {t, t / 2, down_to_of(spec), true, kFoldedTopper * t};
  if (const material::Foam* foam = material::find(materials.foams, s.material)) w.foam = *foam;
  const auto rims = std::make_shared<const Rims>(core.form, w.layer);
  Findings errors;
  check_depth(core, *rims, errors);
  tell_step(core, w.layer.down_to, t, out);
  const bool wrong = has_errors(errors);
  append(out, std::move(errors));
  if (wrong) return w;
  w.unrolled = unrolled(core.form, w.layer.away_mm);
  tell_develop(w, out);
  add_patterns(core, rims, "topper", w, out);
  for (const Pocket& p : core.cuts.pockets)
    if (p.lid && p.from == Pocket::From::top) {
      w.lids.push_back(p.lid->piece);
      w.area_mm2 += plane::area(p.lid->piece);
    }
  w.mass_kg = w.area_mm2 * t * 1e-9 * w.foam.density.value;
  return w;
}

WrappedLayer batting_of_core(const Core& core, const Skin& s, double topper_mm, const material::Library& materials,
                             Findings& out) {
  WrappedLayer w;
  w.material = s.material;
  w.layer = {s.thickness_mm, topper_mm + s.thickness_mm / 2, {}, false, kFoldedTopper * topper_mm};
  const material::Batting* b = material::find(materials.battings, s.material);
  w.loft_mm = b ? b->loft.value : s.thickness_mm;
  w.feather_mm = kFeatherOfLoft * w.loft_mm;
  double inner = -1;
  for (std::size_t i = 0; i < core.outline().outer.size(); ++i)
    if (const plane::Segment q = plane::segment(core.outline().outer, i);
        q.bulge < 0 && (inner < 0 || q.radius() < inner))
      inner = q.radius();
  if (const double all = topper_mm + s.thickness_mm; inner >= 0 && all > inner + 1e-9) {
    out.push_back(error("batting.inner_radius", "batting",
                        "topper and compressed batting of " + mm_text(all) +
                            " do not go round the core's inner radius of " + mm_text(inner) + "; permitted is up to " +
                            mm_text(inner) + " together",
                        "take a thinner batting or topper, or make the inner radius larger"));
    return w;
  }
  w.unrolled = unrolled(core.form, w.layer.away_mm);
  add_patterns(core, std::make_shared<const Rims>(core.form, w.layer), "batting", w, out);
  for (const Pocket& p : core.cuts.pockets)
    if (p.lid && p.from == Pocket::From::top) {
      w.lids.push_back(p.lid->piece);
      w.area_mm2 += plane::area(p.lid->piece);
    }
  if (b && b->mass_per_area.known()) w.mass_kg = w.area_mm2 * 1e-6 * b->mass_per_area.value;
  return w;
}

}  // namespace

DownTo down_to_of(const Spec& spec) {
  DownTo d;
  if (spec.topper_down_to.where == "edge") d.where = DownTo::Where::edge;
  if (spec.topper_down_to.where == "depth") {
    d.where = DownTo::Where::depth;
    d.depth_mm = spec.topper_down_to.depth.value;
  }
  return d;
}

Wrapping wrapping_of(const Core& core, const Spec& spec, const material::Library& materials, Findings& out) {
  Wrapping all;
  const double t = topper_of(core.skins);
  if (const Skin* s = skin(core, "topper")) all.topper = topper_of_core(core, spec, *s, materials, out);
  if (const Skin* s = skin(core, "batting")) all.batting = batting_of_core(core, *s, t, materials, out);
  if (skin(core, "barrier") && !has_errors(out)) {
    Result<BarrierBag> bag = barrier_bag(core);
    if (bag) {
      append(out, bag->notes);
      all.barrier = std::move(*bag);
      if (const material::Barrier* cloth = material::find(materials.barriers, all.barrier->material))
        all.barrier->kg_m2 = cloth->mass_per_area.known() ? cloth->mass_per_area.value : 0;
    } else {
      append(out, bag.findings());
    }
  }
  return all;
}

}  // namespace kerfkiln::cushion
