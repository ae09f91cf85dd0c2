// Tables, steps, cautions and handles of an urn.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

std::string mm1(double v) { return format_number(v, 1); }

product::Table sizes(const Ware& w) {
  product::Table t{"sizes",
                   "Sizes at each state",
                   {"state", "height mm", "width mm", "depth mm", "x fired, girth", "x fired, height", "how"},
                   {false, true, true, true, true, true, false},
                   {}};
  for (const State& s : w.chain.states)
    t.rows.push_back({s.label, mm1(w.height_at(s)), mm1(w.width_at(s)), mm1(w.depth_at(s)),
                      format_number(s.over_fired.girth, 5), format_number(s.over_fired.height, 5), s.how});
  return t;
}

// At each point of the profile: where the gauge has its marks.
product::Table stations(const Ware& w) {
  const Scale s = w.chain.state("thrown").over_fired;
  product::Table t{"stations",
                   "Sizes to make, wet, by height",
                   {"height mm", "width mm", "depth mm", "fired height mm", "fired width mm", "where"},
                   {true, true, true, true, true, false},
                   {}};
  const Form& form = w.form();
  for (std::size_t i = 0; i < w.spec.profile.size(); ++i) {
    const ProfilePoint& p = w.spec.profile[i];
    const double z = p.height.value;
    const SectionSize size = form.size_at(z);
    std::string where = p.corner ? "corner" : "";
    if (i == 0) where = "foot";
    if (i + 1 == w.spec.profile.size()) where = "lip";
    t.rows.push_back({mm1(z * s.height), mm1(2 * size.half_width * s.girth), mm1(2 * size.half_depth * s.girth), mm1(z),
                      mm1(2 * size.half_width), where});
  }
  return t;
}

std::string percent(double fraction) { return format_number(fraction * 100, 2) + " %"; }

}  // namespace

std::vector<product::Table> tables_of(const Ware& w) {
  std::vector<product::Table> out{sizes(w), capacity_table(w)};
  const auto add = [&out](std::vector<product::Table> more) {
    for (product::Table& t : more) out.push_back(std::move(t));
  };
  add(solved_tables(w));
  add({throwing_table(w), stations(w)});
  add(spread_tables(w));
  add({wrong_sums(w), balance_table(w), masses_table(w)});
  return out;
}

std::vector<product::Step> steps_of(const Ware& w) {
  const State& thrown = w.chain.state("thrown");
  const State& model = w.chain.state("model");
  const State& cavity = w.chain.state("cavity");
  std::vector<product::Step> steps;
  const double until = w.chain.model.girth;
  if (!w.form().round())
    steps.push_back({"Throw the round, push it square",
                     "Throw the round of the throwing guide, hold the rib against it, then push it square: the wall "
                     "keeps its length around, times the stretch of " +
                         trimmed_number(w.spec.throwing.stretch.value, 3) +
                         ". Let it settle, then bring the height to the gauge."});
  steps.push_back({"Make the prototype", "Make the outside " + mm1(w.height_at(thrown)) + " mm high, " +
                                             mm1(w.width_at(thrown)) + " mm wide and " + mm1(w.depth_at(thrown)) +
                                             " mm deep (" + w.materials.model_name +
                                             "). Hold the profile gauge against it from the foot up."});
  if (until > 0)
    steps.push_back({"Let it shrink to the moulding state",
                     "It should lose " + percent(until) + " and measure " + mm1(w.height_at(model)) + " mm high and " +
                         mm1(w.width_at(model)) +
                         " mm wide. Measure it before moulding: what it measures now is what will be cast."});
  steps.push_back({"Take the mould", "After the plaster has set the cavity measures about " +
                                         bare(mm1(w.height_at(cavity))) + " x " + bare(mm1(w.width_at(cavity))) +
                                         " x " + mm1(w.depth_at(cavity)) +
                                         " mm. Log the measured cavity: each generation of plaster grows a little."});
  steps.push_back({"Cast, dry and fire", "The wall is drawn at " + mm1(w.wall.size().wall) +
                                             " mm fired, along the normal. Cast test bars from the same slip and "
                                             "replace the shrinkage in the design by theirs."});
  steps.push_back({"Check the first piece", "Height " + mm1(w.form().height()) + " mm, width " +
                                                mm1(w.form().max_width()) + " mm; water to the fill line " +
                                                format_number(w.measure.capacity_fill * 1e-6, 3) + " L; mass " +
                                                format_number(w.fired_mass(), 2) + " kg."});
  return steps;
}

// Basis of the wording: 29 CFR 1910.1053 (silica, read in summary), DGUV-IFA project 3148 on the heat of setting
// plaster (abstract), EPA Region 7 on kiln fumes (page); lifting and handling: common practice.
std::vector<std::string> cautions_of(const Ware&) {
  return {
      "Clay, plaster and glaze dust carry silica: work wet, do not sweep dry, clean with water or a suitable vacuum. "
      "Keep to the exposure limits that apply where you work.",
      "Setting plaster becomes hot enough to burn badly, and sets hard before it feels hot: never put a hand or any "
      "part "
      "of the body into it.",
      "Kilns give off carbon monoxide and other fumes: vent them outdoors, keep combustibles away, let them cool "
      "before "
      "opening, and have electrical work done by licensed people.",
      "Full moulds are heavy: weigh before lifting, use a turntable or a hoist, and follow local lifting rules.",
      "Sizes follow from the shrinkage in the design. Only test bars from the batch in use make them reliable; this "
      "sheet "
      "certifies nothing.",
  };
}

// Handles stand clear of the clay: the height beside the front left corner, half sizes on the front, the wall on the
// lip.
std::vector<product::Handle> handles_of(const Ware& w) {
  constexpr double kClear = 8;
  std::vector<product::Handle> out;
  const auto& points = w.spec.profile;
  const double left = -w.form().max_width() / 2 - kClear, front = -w.form().max_depth() / 2 - kClear,
               lip = w.wall.lip();
  const std::string last = std::to_string(points.size() - 1);
  // On a solved form the picture shows the solved size, the field holds the typed one.
  const auto factor = [](double shown, double typed) { return typed > 0 ? shown / typed : 1; };
  out.push_back({"height",
                 {left, front, 0},
                 {left, front, w.form().height()},
                 "profile/" + last + "/height",
                 factor(points.back().height.value, w.typed.profile.back().height.value)});
  std::size_t widest = 0;
  for (std::size_t i = 1; i < points.size(); ++i)
    if (points[i].half_width.value > points[widest].half_width.value) widest = i;
  const double z = points[widest].height.value, half = points[widest].half_width.value;
  out.push_back({"width",
                 {0, front, z},
                 {half, front, z},
                 "profile/" + std::to_string(widest) + "/half_width",
                 factor(half, w.typed.profile[widest].half_width.value)});
  out.push_back({"wall", {w.wall.inner_reach(0, lip), 0, lip}, {w.form().size_at(lip).half_width, 0, lip}, "wall"});
  return out;
}

}  // namespace kerfkiln::urn
