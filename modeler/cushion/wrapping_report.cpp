// Tables, figures and steps of what is wrapped round the core.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/figure_list.hpp"
#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrapping.hpp"
#include "modeler/cushion/wrapping_names.hpp"
#include "modeler/product/lengths.hpp"

namespace kerfkiln::cushion {
namespace {

struct Counts {
  int notches = 0, wedges = 0, inserts = 0;
  double worst = 0, widest = 0;
};
Counts counts_of(const FlatPattern& p) {
  Counts c;
  for (const PatternSeam& s : p.seams) {
    (s.kind == PatternSeam::Kind::notch ? c.notches : s.kind == PatternSeam::Kind::wedge ? c.wedges : c.inserts) += 1;
    c.worst = std::max(c.worst, std::abs(s.first_mm - s.second_mm));
    if (s.kind == PatternSeam::Kind::wedge) c.widest = std::max(c.widest, s.mouth_mm);
  }
  return c;
}

product::Table pieces_table(const WrappedLayer& w, const Naming& name, int count) {
  product::Table t;
  t.id = name.id + "-pieces";
  const bool twice = name.material.starts_with(name.id);
  t.title = name.label + (twice ? name.material.substr(name.id.size()) : ", " + name.material) + ": pieces as cut";
  t.columns = {"piece",  "width mm",        "depth mm",           "net area m2",     "notches",
               "wedges", "widest wedge mm", "slits with inserts", "edges differ mm", "count"};
  t.numeric = {false, true, true, true, true, true, true, true, true, true};
  for (std::size_t i = 0; i < w.patterns.size(); ++i) {
    const FlatPattern& p = w.patterns[i];
    if (p.outline.outer.empty()) {
      t.rows.push_back({std::to_string(i + 1), "no pattern", "", "", "", "", "", "", "", std::to_string(count)});
      continue;
    }
    const plane::Box b = plane::bounds(p.outline);
    const Counts c = counts_of(p);
    t.rows.push_back({std::to_string(i + 1), number_text(b.width(), 1), number_text(b.depth(), 1),
                      format_number(p.area_mm2() * 1e-6, 4), std::to_string(c.notches), std::to_string(c.wedges),
                      c.wedges > 0 ? number_text(c.widest, 1) : "", std::to_string(c.inserts), number_text(c.worst, 2),
                      std::to_string(count)});
  }
  double inserts = 0;
  int n = 0;
  for (const FlatPattern& p : w.patterns)
    if (!p.outline.outer.empty())
      for (const PatternInsert& x : p.inserts) {
        inserts += x.count * plane::area(x.outline);
        n += x.count;
      }
  const auto add = [&](const std::string& what, double area, int number) {
    t.rows.push_back({what, "", "", format_number(area * 1e-6, 4), "", "", "", "", "", std::to_string(number * count)});
  };
  if (n > 0) add("inserts, together", inserts, n);
  for (const plane::Outline& lid : w.lids) add("on the lid", plane::area(lid), 1);
  for (const WrapStrip& x : w.strips) add("strip of " + x.name, x.length_mm * x.height_mm, 1);
  return t;
}

// One row a side, at the middle of its longest stretch.
product::Table lengths_table(const Core& core, const WrappedLayer& w) {
  product::Table t;
  t.id = "topper";
  t.title = "Topper over the edges, mm: flat length at mid-thickness";
  t.columns = {"side",          "edge of core", "edge, topper's middle", "edge, outside",
               "down the side", "flat in all",  "beyond the outline",    "skin strain %"};
  t.numeric = {false, true, true, true, true, true, true, true};
  const Rims rims(core.form, w.layer);
  for (std::size_t i = 0; i < core.plan.shown.size(); ++i) {
    const auto side = static_cast<int>(i);
    int loop = -1, segment = -1;
    double longest = 0;
    const auto look = [&](const plane::Loop& l, int index) {
      for (std::size_t k = 0; k < l.size(); ++k)
        if (const double length = plane::segment(l, k).length(); l[k].side == side && length > longest) {
          longest = length;
          loop = index;
          segment = static_cast<int>(k);
        }
    };
    look(core.outline().outer, 0);
    for (std::size_t h = 0; h < core.outline().holes.size(); ++h)
      look(core.outline().holes[h], static_cast<int>(h) + 1);
    if (loop < 0) continue;
    const WrapSection m = rims.section(loop, segment, 0.5);
    const Wrapped x = wrapped(core.form.edges(Sheet::top).of(side), core.form.edges(Sheet::bottom).of(side),
                              core.height(), w.layer.thickness_mm);
    const auto bare = [](double mm) { return product::bare_length(number_text(mm)); };
    t.rows.push_back({core.plan.shown[i], bare(x.core_mm), bare(m.fold_end_s),
                      bare(m.fold_end_s + x.outer_mm - x.middle_mm), bare(m.length() - m.fold_end_s), bare(m.length()),
                      bare(m.reach()), number_text(100 * x.strain)});
  }
  return t;
}

double worst_seam(const WrappedLayer& w) {
  double worst = 0;
  for (const FlatPattern& p : w.patterns) worst = std::max(worst, counts_of(p).worst);
  return worst;
}

}  // namespace

std::vector<product::Table> wrapping_tables(const Core& core, int count) {
  std::vector<product::Table> tables;
  const Wrapping& all = core.wrapping;
  if (all.topper) {
    tables.push_back(lengths_table(core, *all.topper));
    tables.push_back(pieces_table(*all.topper, topper_naming(*all.topper), count));
  }
  if (all.batting) tables.push_back(pieces_table(*all.batting, batting_naming(*all.batting), count));
  if (all.barrier) tables.push_back(barrier_table(*all.barrier));
  return tables;
}

void add_wrapping_figures(const Core& core, std::vector<product::Figure>& f) {
  const Wrapping& all = core.wrapping;
  const std::vector<std::string> form{"outline", "given_at", "edges",   "layers",
                                      "crown",   "contour",  "creases", "pockets"};
  const auto with = [&](std::initializer_list<const char*> more) {
    std::vector<std::string> from = form;
    for (const char* m : more) from.push_back(m);
    return from;
  };
  if (all.topper && whole(*all.topper)) {
    const WrappedLayer& w = *all.topper;
    add(f, "topper.area", "Topper, net area as cut", w.area_mm2 * 1e-6, "m2", with({"topper"}),
        "area of its flat patterns, notches, wedges and openings taken off, inserts and strips included");
    add(f, "topper.pieces", "Pieces of the topper", static_cast<double>(w.patterns.size()), "", {"creases", "topper"},
        "what the creases leave between them");
    add(f, "topper.mass", "Topper mass", w.mass_kg, "kg",
        {"topper.area", "topper/thickness", "materials/foams/" + w.material + "/density"},
        "net area x thickness x density");
    add(f, "topper.seam_mismatch", "Topper, edges that meet differ by at most", worst_seam(w), "mm", {"topper.area"},
        "largest difference in length of two edges of notches and wedges");
    if (w.unrolled.place)
      add(f, "topper.strain", "Topper, stretched or pressed over the rising top by at most",
          100 * std::max(w.unrolled.stretched, w.unrolled.pressed), "%", {"crown", "contour", "topper/thickness"},
          "largest of the principal strains from the pattern to the middle of the topper over the face");
  }
  if (all.batting && whole(*all.batting)) {
    const WrappedLayer& w = *all.batting;
    add(f, "batting.area", "Batting, net area as cut", w.area_mm2 * 1e-6, "m2", with({"topper", "batting"}),
        "area of its flat patterns, feathered edge included");
    add(f, "batting.feather", "Feathered edge of the batting", w.feather_mm, "mm",
        {"materials/battings/" + w.material + "/loft"}, "twice the free loft, common practice");
    if (w.mass_kg > 0)
      add(f, "batting.mass", "Batting mass", w.mass_kg, "kg",
          {"batting.area", "materials/battings/" + w.material + "/mass_per_area"},
          "net area x mass per area; the feathered edge is not taken off");
  }
  if (all.barrier) {
    const BarrierBag& b = *all.barrier;
    add(f, "barrier.area", "Barrier, area as cut", b.area_mm2() * 1e-6, "m2", with({"topper", "batting", "barrier"}),
        "panels and boxing strips with allowances of " + mm_text(b.allowance_mm));
    if (b.mass_kg() > 0)
      add(f, "barrier.mass", "Barrier mass", b.mass_kg(), "kg",
          {"barrier.area", "materials/barriers/" + b.material + "/mass_per_area"}, "area as cut x mass per area");
    for (const BarrierSeam& s : b.seams)
      add(f, "barrier.seam." + s.name + ".length", "Barrier, seam " + s.name, s.first_mm, "mm", {"barrier.area"},
          "along the seam line of the " + s.first + "; the same along the " + s.second);
  }
}

std::vector<product::Step> wrapping_steps(const Core& core) {
  std::vector<product::Step> steps;
  const Wrapping& all = core.wrapping;
  if (all.topper) {
    const WrappedLayer& w = *all.topper;
    int wedges = 0, inserts = 0;
    bool relief = false;
    for (const FlatPattern& p : w.patterns) {
      wedges += counts_of(p).wedges;
      inserts += counts_of(p).inserts;
      relief = relief || !p.relief.empty();
    }
    steps.push_back(
        {"Wrap the topper",
         "Cut the topper from its patterns, outer face up, blade square; mark the scribed lines where each edge "
         "begins." +
             std::string(
                 relief ? " Along the hidden lines cut a wedge half as deep as the topper is thick out of the inner "
                          "face, so that it bends without lifting."
                        : "") +
             " Glue it from the middle of the top outward, centre lines on centre lines, then the sides, then "
             "close notches" +
             (wedges > 0 ? " and wedges" : "") + " edge to edge" +
             (inserts > 0 ? "; glue the inserts into the opened slits" : "") +
             (w.patterns.size() > 1
                  ? ". Between creases glue each piece by itself, its edge down the wall to the floor, same "
                    "marks opposite each other"
                  : "") +
             "."});
  }
  if (all.batting)
    steps.push_back({"Lay the batting",
                     "Cut the batting from its patterns and pull the fibres thin over the outer " +
                         mm_text(all.batting->feather_mm) +
                         ", so that the edge shows no step. Hold it with a light mist of adhesive; never stretch it."});
  if (all.barrier)
    steps.push_back({"Sew the barrier",
                     "Sew the boxing strip to the bottom panel, then to the top panel, same numbers on each other, and "
                     "leave the back of the bottom seam open. Draw the bag over the cushion and close it by hand."});
  return steps;
}

}  // namespace kerfkiln::cushion
