// Figures and tables of a lid, each figure with its origin.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/urn/lid_work.hpp"

namespace kerfkiln::urn {
namespace {

std::string n1(double v) { return format_number(v, 1); }
std::string n2(double v) { return format_number(v, 2); }
std::string percent(double share) { return format_number(100 * share, 1) + " %"; }

}  // namespace

std::vector<product::Figure> lid_figures(const Ware& w, const LidWork& x) {
  const Lid& lid = x.lid;
  const LidMeasure& m = lid.measure;
  const LidFit& fit = x.fit;
  FigureList f;
  const std::string glaze =
      w.spec.glaze.empty() ? "glaze" : "materials/glazes/" + w.materials.glaze_name + "/fired_coat";
  f.add("lid.clearance", "Lid clearance a side, fired", fit.net, "mm", {"lid/clearance", glaze, "lid/resist"},
        "clearance, clay to clay, less the fired glaze on the two guiding faces; the range holds 95 % of pairs");
  f.list.back().low = fit.net_low;
  f.list.back().high = fit.net_high;
  const std::vector<std::string> scatter{
      "lid.clearance", x.from_bars ? "materials/bodies/" + w.materials.body_name + "/stages" : "lid/fit/scatter",
      "lid/fit/correlation", "lid/fit/wall_scatter"};
  f.add("lid.clearance_clay", "Lid clearance a side, clay to clay", fit.mean / 2, "mm", {"lid/clearance"},
        "between the guiding faces where they are nearest, fired, before glaze");
  f.add("lid.clearance_worst", "Least clearance a side, worst case", fit.worst, "mm", scatter,
        "low end of the 95 % interval of one pair, less the ovality of both rings");
  f.list.back().from.push_back("lid/fit/ovality");
  f.add("lid.fit_probability", "Share of lids that fit", fit.fits, "", scatter,
        "probability that the gap of one pair, net of glaze, lies between the least gap (and both ovalities) and the "
        "largest: u^2 = u_outer^2 + u_inner^2 - 2 correlation u_outer u_inner + (2 s_wall)^2, " +
            std::string(x.from_bars ? "Student's t by the test bars" : "normal distribution, assumed scatter"));
  f.list.back().from.push_back("lid/fit/least");
  f.list.back().from.push_back("lid/fit/most");
  f.add("lid.width", "Lid width, fired", 2 * m.half_width, "mm", {"profile", "lid"}, "over all");
  f.add("lid.depth", "Lid depth, fired", 2 * m.half_depth, "mm", {"profile", "lid"}, "over all");
  f.add("lid.height", "Lid height, fired", m.high - m.low, "mm", {"lid/flange", "lid/height", "lid/knob/height"},
        "from the rim to the top, knob included");
  f.add("lid.volume", "Clay of the lid, fired", m.volume * kLitres, "L", {"profile", "lid"},
        "level sections carried around the outline, integrated over the height, knob included");
  f.add("lid.mass", "Mass of the lid, fired", x.mass, "kg",
        {"lid.volume", "materials/bodies/" + w.materials.body_name + "/fired_density"},
        "clay of the lid x fired density");
  f.add("lid.cg_height", "Centre of gravity of the lid", m.centroid_z, "mm", {"profile", "lid"},
        "height above the urn's foot, lid in its place");
  if (lid.gallery)
    f.add("lid.gallery_mass", "Mass of the gallery ring, fired", x.gallery_mass, "kg", {"lid/gallery"},
          "between the neck's inside and the ring's free face, x fired density");
  f.add("lid.displaced", "Taken from the room below the lip", lid.displaced * kLitres, "L", {"lid/style", "lid/flange"},
        "clay of lid and gallery below the lip, and everything above the seat of a sunk lid");
  f.add("lid.resist_length", "Resist line", m.seat_length, "mm", {"profile", "lid/seat"},
        "length around the middle of the contact of lid and urn");
  f.add("lid.resist_area", "Resist, one face", m.seat_area * kSquareMetres, "m2", {"lid.resist_length", "lid/seat"},
        "contact of lid and urn");
  f.add("lid.outside_area", "Outside of the lid", m.outside_area * kSquareMetres, "m2", {"profile", "lid"},
        "upper side from the edge of the rim, knob included");
  f.add("lid.inside_area", "Under side of the lid", m.inside_area * kSquareMetres, "m2", {"profile", "lid"},
        "hollow, flange and rim from below");
  return f.list;
}

namespace {

product::Table sizes(const Ware& w, const LidWork& x) {
  const Lid& lid = x.lid;
  product::Table t{"lid-sizes",
                   "Lid at each state",
                   {"state", "width mm", "depth mm", "height mm", "urn's guide mm", "lid's guide mm", "gap a side mm",
                    "net of glaze mm"},
                   {false, true, true, true, true, true, true, true},
                   {}};
  for (const State& s : w.chain.states) {
    const double g = s.over_fired.girth, h = s.over_fired.height;
    const bool fired = s.id == "fired";
    t.rows.push_back({s.label, n1(2 * lid.measure.half_width * g), n1(2 * lid.measure.half_depth * g),
                      n1((lid.measure.high - lid.measure.low) * h), n2(2 * lid.guide_urn * g),
                      n2(2 * lid.guide_lid * g), n2(lid.size.clearance * g), fired ? n2(x.fit.net) : "-"});
  }
  return t;
}

product::Table fit_table(const Ware& w, const LidWork& x) {
  const LidFit& f = x.fit;
  product::Table t{"lid-fit", "Will the lid fit?", {"", "", "how"}, {false, true, false}, {}};
  const auto row = [&](std::string a, std::string b, std::string c) {
    t.rows.push_back({std::move(a), std::move(b), std::move(c)});
  };
  row("gap on the diameter, clay", n2(f.mean) + " mm", "between the guiding faces, fired");
  if (x.lid.gap_most > x.lid.gap_least + 0.05)
    row("gap a side, clay, widest", n2(x.lid.gap_most) + " mm",
        "at the corners, or where the neck leaves a straight line");
  if (x.lid.rim_gap > 0)
    row("rim to neck, a side", n2(x.lid.rim_gap) + " mm", "the gallery guides; the neck is drained");
  row("standard deviation", format_number(f.deviation, 3) + " mm",
      std::string(x.from_bars ? "from the body's test bars" : "assumed scatter, no test bars") + "; correlation " +
          shortest_number(f.input.correlation) + (f.input.wall > 0 ? "; one face is drained" : "; both faces formed"));
  row("a side, net of glaze", n2(f.net) + " mm", "less " + n2(f.input.coats) + " mm of glaze, both faces");
  row("95 of 100 pairs", n2(f.net_low) + " to " + n2(f.net_high) + " mm",
      x.from_bars ? "Student's t" : "normal distribution");
  row("worst case, oval rings", n2(f.worst) + " mm",
      "low end less " + n2(f.input.ovality) + " mm a side: both rings oval");
  row("bind", percent(f.binds), "less than " + n2(f.input.least) + " mm a side");
  row("fit", percent(f.fits),
      "of " + std::to_string(w.spec.count) + " about " + format_number(w.spec.count * f.fits, 1) +
          " fit at the first try");
  row("rattle", percent(f.rattles), "more than " + n2(f.input.most) + " mm a side");
  row("95 fit with", f.low <= f.high ? n2(f.low) + " to " + n2(f.high) + " mm" : "none",
      "clearance a side, clay to clay");
  return t;
}

// What another clearance, or another batch, would do.
product::Table chart(const LidWork& x) {
  product::Table t{"lid-fit-chart",
                   "Share of lids that fit, by clearance and correlation of the shrinkage",
                   {"clearance a side mm", "0: other batch", "0.5", "0.9: same batch, same kiln", ""},
                   {true, true, true, true, false},
                   {}};
  const FitInput& in = x.fit.input;
  const double now = x.lid.size.clearance;
  for (int i = -3; i <= 4; ++i) {
    const double clearance = now + 0.25 * i;
    if (clearance < 0.05) continue;
    FitInput other = in;
    other.outer += 2 * (clearance - now) * (x.lid.size.style == LidStyle::cap ? 1 : 0);
    other.inner -= 2 * (clearance - now) * (x.lid.size.style == LidStyle::cap ? 0 : 1);
    std::vector<std::string> row{n2(clearance)};
    for (double rho : {0.0, 0.5, 0.9}) {
      other.correlation = rho;
      row.push_back(percent(fit_of(other).fits));
    }
    row.push_back(i == 0 ? "as designed" : "");
    t.rows.push_back(std::move(row));
  }
  return t;
}

}  // namespace

std::vector<product::Table> lid_tables(const Ware& w, const LidWork& x) {
  return {sizes(w, x), fit_table(w, x), chart(x)};
}

}  // namespace kerfkiln::urn
