#include "modeler/urn/lid_work.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "modeler/urn/lid_mesh.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

// A size of the solved form over the typed one.
double over_typed(const Quantity& solved, const Quantity& typed) {
  return solved.known() && typed.known() && typed.value > 0 ? solved.value / typed.value : 1;
}

double or_else(const Quantity& q, double otherwise) { return q.known() ? q.value : otherwise; }

FitInput fit_input(const Spec& spec, const Lid& lid, const ShrinkageChain& chain, double coat, bool& from_bars) {
  const FitSpec& f = spec.lid.fit;
  FitInput in;
  const bool cap = lid.size.style == LidStyle::cap;
  in.outer = 2 * (cap ? lid.guide_lid : lid.guide_urn);
  in.inner = 2 * (cap ? lid.guide_urn : lid.guide_lid);
  const Spread& bars = chain.body.girth;
  from_bars = bars.known && bars.whole;
  if (from_bars)
    in.scatter = {bars.relative, bars.freedom};
  else
    in.scatter = {or_else(f.scatter, 0.002) / (1 - chain.total.girth), 0};
  in.correlation = or_else(f.correlation, 0.5);
  in.wall = lid.size.guide_drained ? or_else(f.wall_scatter, 0.3) : 0;
  // Two guiding faces are glazed unless resist keeps them bare.
  in.coats = lid.size.resist == Resist::seat ? 2 * coat : 0;
  in.ovality = or_else(f.ovality, 0.4);
  in.least = or_else(f.least, 0.3);
  in.most = or_else(f.most, 3);
  return in;
}

void judge(const Spec& spec, const Wall& w, const LidWork& x, Findings& out) {
  const LidFit& f = x.fit;
  const auto one = [](double v) { return mm(std::round(v * 100) / 100); };
  const std::string would = f.low <= f.high
                                ? one(std::ceil(f.low * 20) / 20) + " to " + one(std::floor(f.high * 20) / 20)
                                : std::string("no clearance");
  const std::string remedy =
      f.low <= f.high
          ? "give a clearance of " + would + " a side"
          : "make the lid from the same batch (a higher correlation), with both faces formed, or allow a larger gap";
  const double clay = x.lid.size.clearance;
  if (f.net <= 0)
    out.push_back({Severity::error, "lid.enters", "lid/clearance",
                   "a clearance of " + mm(clay) + " a side is no more than the glaze of the two faces (" +
                       mm(f.input.coats) + "): the lid cannot enter; " + would + " would do",
                   remedy + ", or keep the guiding faces free of glaze (resist: flange)"});
  else if (f.worst <= 0 && f.fits < 0.95)
    out.push_back(
        {Severity::warning, "lid.enters", "lid/clearance",
         "with " + mm(clay) + " a side" + (f.input.coats > 0 ? " less " + one(f.input.coats) + " of glaze" : "") +
             ", scattered shrinkage and oval rings keep some lids from entering: " + shortest(100 * f.fits, 1) +
             " of 100 fit; " + would + " would do",
         remedy});
  else if (f.fits < 0.95)
    out.push_back({Severity::warning, "lid.fit", "lid/clearance",
                   "with " + mm(clay) + " a side " + shortest(100 * f.fits, 1) + " of 100 lids fit (" +
                       shortest(100 * f.binds, 1) + " bind, " + shortest(100 * f.rattles, 1) + " rattle); " + would +
                       " would do for 95",
                   remedy});
  if (f.net > 0 && f.net < f.input.least && f.input.coats > 0)
    out.push_back(
        {Severity::warning, "lid.glaze", "lid/clearance",
         "the glaze leaves " + one(f.net) + " a side of " + mm(clay) + "; " + mm(f.input.least) + " is the least",
         "give at least " + one(f.input.least + f.input.coats) + ", or resist the guiding faces"});
  const double fill = w.lip() - (spec.fill_below_lip.known() ? spec.fill_below_lip.value : 0);
  if (x.lid.size.style == LidStyle::inset && x.lid.measure.low < fill - 1e-9)
    out.push_back({Severity::note, "lid.fill", "capacity/fill_below_lip",
                   "the lid drops " + mm(w.lip() - x.lid.measure.low) +
                       " below the lip, into what is filled to the fill line " + mm(w.lip() - fill) +
                       " below it; the usable capacity leaves that out",
                   "set the fill line " + mm(w.lip() - x.lid.measure.low) + " or more below the lip"});
}

product::Shape shape(const char* id, const char* label, product::Colour colour, double volume) {
  product::Shape s;
  s.id = id, s.label = label, s.colour = colour, s.volume_mm3 = volume;
  return s;
}

void add_shapes(const Ware& w, const LidWork& x, product::Product& p) {
  const auto lid = std::make_shared<const Lid>(x.lid);
  const double rise = 0.18 * w.form().height() + x.lid.size.flange;
  product::Shape fired = shape("lid-fired", "Lid, as fired", {0.70, 0.55, 0.41}, x.lid.measure.volume);
  fired.explode = {0, 0, rise};
  fired.mesh = [lid](double deviation_mm) -> Result<solid::Mesh> {
    solid::Mesh m;
    mesh_lid(*lid, deviation_mm, m);
    return m;
  };
  fired.apart = true;
  for (product::Shape& s : p.shapes) s.apart = s.shown;
  p.shapes.push_back(std::move(fired));
  if (x.lid.gallery) {
    product::Shape ring = shape("gallery-fired", "Gallery ring, as fired", {0.78, 0.66, 0.53}, x.lid.gallery->volume);
    ring.explode = {0, 0, 0.4 * rise};
    const auto wall = std::make_shared<const Wall>(w.wall);
    ring.mesh = [lid, wall](double deviation_mm) -> Result<solid::Mesh> {
      solid::Mesh m;
      mesh_gallery(*lid, *wall, deviation_mm, m);
      return m;
    };
    ring.apart = true;
    p.shapes.push_back(std::move(ring));
  }
  const Scale s = w.chain.state("cavity").over_fired;
  const bool drained = x.lid.size.drained;
  const double volume = (drained ? lid_form_volume(x.lid) : x.lid.measure.volume) * s.girth * s.girth * s.height;
  product::Shape cast =
      shape("lid-cavity-size", drained ? "Outer form of the lid at cavity size" : "Lid at cavity size",
            {0.80, 0.78, 0.74}, volume);
  cast.shown = false;
  cast.mesh = [lid, s, drained](double deviation_mm) -> Result<solid::Mesh> {
    solid::Mesh m;
    const double fine = deviation_mm / std::max(s.girth, s.height);
    drained ? mesh_lid_form(*lid, fine, m) : mesh_lid(*lid, fine, m);
    for (Vec3& q : m.points) q = {q.x * s.girth, q.y * s.girth, q.z * s.height};
    return m;
  };
  p.shapes.push_back(std::move(cast));
}

void add_steps(const Ware& w, const LidWork& x, product::Product& p) {
  const Lid& lid = x.lid;
  const Scale s = w.chain.state("thrown").over_fired;
  const auto one = [](double v) { return format_number(v, 1); };
  p.steps.push_back({"Make the lid's prototype", "Width " + one(2 * lid.measure.half_width * s.girth) + " mm, height " +
                                                     one((lid.measure.high - lid.measure.low) * s.height) +
                                                     " mm, wet. Hold the lid's gauge against it, and try it on the "
                                                     "urn's prototype in the same state: the gap a side "
                                                     "is " +
                                                     format_number(lid.size.clearance * s.girth, 2) + " mm then."});
  if (lid.gallery)
    p.steps.push_back(
        {"Join the gallery",
         "The ring inside the neck comes from no outer mould: press or throw it from the same body and join "
         "it with slip while both are leather-hard, " +
             one(lid.size.gallery_depth * s.height) + " mm below the lip at the wet size."});
  std::string bare = "Wax the contact of lid and urn, " + format_number(lid.measure.seat_length, 0) +
                     " mm around and " + one(lid.size.seat) + " mm wide";
  if (lid.size.resist == Resist::flange) bare += ", and both guiding faces";
  p.steps.push_back({"Resist the contact",
                     bare + ", before glazing; alumina in the wax keeps lid and urn apart. Fire them together, so that "
                            "they shrink together."});
}

}  // namespace

std::optional<LidWork> lid_work(const Spec& spec, const Wall& w, const Materials& m, const ShrinkageChain& chain,
                                Findings& out) {
  if (!spec.lid.written()) return std::nullopt;
  Result<Lid> lid = make_lid(spec, w);
  if (!lid) {
    append(out, lid.findings());
    return std::nullopt;
  }
  append(out, lid->findings);
  const double coat = spec.glaze.empty() || !m.glaze.fired_coat.known() ? 0 : m.glaze.fired_coat.value;
  bool from_bars = false;
  const LidFit fit = fit_of(fit_input(spec, *lid, chain, coat, from_bars));
  const double density = m.body.fired_density.value * 1e-9;
  LidWork x{std::move(*lid), fit, from_bars, 0, 0};
  x.mass = x.lid.measure.volume * density;
  if (x.lid.gallery) x.gallery_mass = x.lid.gallery->volume * density;
  judge(spec, w, x, out);
  return x;
}

void add_lid(const std::shared_ptr<const Ware>& ware, const std::shared_ptr<const LidWork>& work, product::Product& p) {
  const Ware& w = *ware;
  const LidWork& x = *work;
  add_shapes(w, x, p);
  for (product::Figure& f : p.figures)
    if (f.key == "total.mass") {
      f.value += x.mass + x.gallery_mass;
      f.from.push_back("lid.mass");
      f.how = "mass of the fired urn and of its lid; glaze not included";
    }
  std::vector<product::Figure> figures = lid_figures(w, x);
  // Beside the other figures of the piece, before the totals.
  auto at =
      std::find_if(p.figures.begin(), p.figures.end(), [](const product::Figure& f) { return f.key == "total.mass"; });
  p.figures.insert(at, figures.begin(), figures.end());
  // The job sheet shows the lid in its place and whether it fits; the rest has a sheet of its own.
  const product::Views views([ware, work] { return lid_views(*ware, *work); });
  product::DetailSheet sheet{"lid", "Lid", views, lid_tables(w, x)};
  p.views = product::Views([before = p.views, views] {
    std::vector<product::View> all(before.begin(), before.end());
    all.push_back(views.front());
    return all;
  });
  for (const product::Table& t : sheet.tables)
    if (t.id == "lid-sizes") p.tables.push_back(t);
  p.sheets.push_back(std::move(sheet));
  p.parts = product::Parts([before = p.parts, ware, work] {
    std::vector<product::FlatPart> all(before.begin(), before.end());
    for (product::FlatPart& f : lid_parts(*ware, *work)) all.push_back(std::move(f));
    return all;
  });
  add_steps(w, x, p);
  const double half = x.lid.measure.half_width, top = x.lid.measure.high;
  p.handles.push_back(
      {"lid-clearance", {x.lid.guide_urn, 0, x.lid.seat_z}, {x.lid.guide_lid, 0, x.lid.seat_z}, "lid/clearance"});
  p.handles.push_back({"lid-height",
                       {half + 8, 0, x.lid.seat_z},
                       {half + 8, 0, x.lid.seat_z + x.lid.size.height},
                       "lid/height",
                       over_typed(w.spec.lid.height, w.typed.lid.height)});
  if (x.lid.size.knob())
    p.handles.push_back({"lid-knob",
                         {-x.lid.size.knob_diameter / 2, 0, top},
                         {x.lid.size.knob_diameter / 2, 0, top},
                         "lid/knob/diameter",
                         over_typed(w.spec.lid.knob.diameter, w.typed.lid.knob.diameter)});
}

}  // namespace kerfkiln::urn
