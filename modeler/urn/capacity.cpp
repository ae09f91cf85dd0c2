#include "modeler/urn/capacity.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/student.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kFunnelMm = 50;    // common practice
constexpr double kSolvedMm3 = 100;  // a solved capacity is that near to its target

std::string litres(double mm3) { return shortest(mm3 * kLitres, 3) + " L"; }
std::string kilograms(double kg) { return shortest(kg, 3) + " kg"; }

}  // namespace

double PersonRule::share_within(double mm3) const { return normal_share((mm3 - mean) / deviation); }

PersonRule person_rule(double person_kg, double margin, double filling_kg_m3) {
  PersonRule r;
  r.mean = person_kg * kRuleMm3PerKg;
  r.deviation = kRemainsDeviationKg / filling_kg_m3 * 1e9;
  r.needed = r.mean * (1 + margin);
  const double reach = normal_quantile(0.975) * r.deviation;
  r.low = std::max(0.0, r.mean - reach);
  r.high = r.mean + reach;
  return r;
}

Usable usable_capacity(double capacity_fill, double capacity_brim, double lid_displaced, double inside_area,
                       double coat_mm) {
  Usable u;
  u.displaced = lid_displaced;
  u.glaze = inside_area * coat_mm;
  u.volume = std::max(0.0, std::min(capacity_fill, capacity_brim - lid_displaced) - u.glaze);
  return u;
}

Findings check_capacity(const Spec& spec, const Usable& u, const Wall& wall) {
  Findings out;
  const CapacitySpec& c = spec.capacity;
  if (c.person.known()) {
    const double kg = c.person.value;
    const PersonRule r = person_rule(kg, c.margin.value, c.filling.value);
    const auto absurd = [&](double mm3, const char* what, const char* path) {
      if (mm3 >= kLeastMm3PerKg * kg) return false;
      out.push_back({Severity::error, "capacity.absurd", path,
                     std::string(what) + " " + litres(mm3) + " is " + shortest(mm3 / 1e3 / kg, 1) +
                         " cm3 for each kilogram of a person of " + kilograms(kg) +
                         "; less than 20 cm3/kg is a slip: the rule is 1 in3 a pound, 36.1 cm3/kg, here " +
                         litres(r.mean) + ". A figure of 1 cm3/kg that can be found in print is wrong.",
                     "Correct the capacity or the mass; for a keepsake that holds a part, leave the person out."});
      return true;
    };
    bool refused = c.target.known() && absurd(c.target.value, "The target", "capacity/target");
    if (!refused) refused = absurd(u.volume, "The usable capacity", "capacity/person");
    if (!refused && u.volume < r.needed - kSolvedMm3)
      out.push_back({Severity::warning, "capacity.person_short", "capacity/person",
                     "The usable capacity " + litres(u.volume) + " is " + litres(r.needed - u.volume) +
                         " less than the rule of 1 in3 a pound asks for a person of " + kilograms(kg) +
                         " with a margin of " + shortest(c.margin.value * 100, 1) + " % (" + litres(r.needed) +
                         "); of such persons about " + shortest(r.share_within(u.volume) * 100, 0) +
                         " in 100 would fit.",
                     "Set a target of " + litres(r.needed + u.glaze) + " or more, or lower the margin."});
  }
  if (c.remains.known() && c.remains.value / c.filling.value * 1e9 > u.volume)
    out.push_back({Severity::warning, "capacity.remains", "capacity/remains",
                   kilograms(c.remains.value) + " take " + litres(c.remains.value / c.filling.value * 1e9) +
                       ", which is more than the usable capacity of " + litres(u.volume),
                   "Fill in less, or give a larger target."});
  const double mouth =
      2 * std::min(wall.inner_reach(0, wall.lip()), wall.inner_reach(std::numbers::pi / 2, wall.lip()));
  if (mouth < kFunnelMm)
    out.push_back({Severity::note, "capacity.mouth", "profile",
                   "The mouth is " + mm(std::floor(mouth * 10) / 10) + " wide inside; funnel and bag need about 50 mm",
                   "Widen the lip, or plan to fill the urn otherwise."});
  return out;
}

void add_capacity(const Ware& w, FigureList& f) {
  const WareMeasure& m = w.measure;
  const auto cubic_inches = [&](const char* key, const char* label, double mm3, const char* from) {
    f.add(key, label, mm3 / kCubicInch, "in3", {from}, "the same in cubic inches");
  };
  cubic_inches("fired.capacity_in3", "Capacity to the fill line", m.capacity_fill, "fired.capacity");
  cubic_inches("fired.capacity_brim_in3", "Capacity to the lip", m.capacity_brim, "fired.capacity_brim");
  const Usable& u = w.usable;
  std::vector<std::string> from{"fired.capacity", "fired.capacity_brim"};
  std::string how = "to the fill line, or to the lip less what the lid takes, whichever is less";
  if (!w.spec.lid.written()) how = "to the fill line; no lid";
  if (u.glaze > 0) {
    from.insert(from.end(), {"fired.inside_area", "materials/glazes/" + w.materials.glaze_name + "/fired_coat"});
    how += "; less inside area x fired coat";
  }
  if (w.spec.lid.written()) from.push_back("lid");
  f.add("capacity.usable", "Usable capacity", u.volume * kLitres, "L", from, how);
  band_capacity(w, 1, f);
  cubic_inches("capacity.usable_in3", "Usable capacity", u.volume, "capacity.usable");
  if (w.solved.asked) {
    f.add("capacity.drawn", "Capacity as typed", w.solved.drawn * kLitres, "L", {"profile", "wall", "base"},
          "to the fill line, before the form was scaled to the target");
    f.add("capacity.scale", "Scale of the girth, solved", w.solved.scale.girth, "",
          {"capacity/target", "capacity/by", "profile"},
          "outer form over the typed one; wall, base and fill line kept");
    f.add("capacity.scale.height", "Scale of the height, solved", w.solved.scale.height, "",
          {"capacity/target", "capacity/by", "profile"}, "the same along the height");
  }
  const CapacitySpec& c = w.spec.capacity;
  if (!c.person.known()) return;
  const PersonRule r = person_rule(c.person.value, c.margin.value, c.filling.value);
  f.add(
      "capacity.rule", "Asked by the rule", r.mean * kLitres, "L", {"capacity/person"},
      "1 in3 for each pound of living mass (36.127 cm3/kg); the range holds 95 % of persons of that mass: 487 g about "
      "the rule, from published ranges, over the bulk density");
  f.list.back().low = r.low * kLitres;
  f.list.back().high = r.high * kLitres;
  f.add("capacity.needed", "Asked with the margin", r.needed * kLitres, "L", {"capacity.rule", "capacity/margin"},
        "rule x (1 + margin)");
  cubic_inches("capacity.needed_in3", "Asked with the margin", r.needed, "capacity.needed");
  f.add("capacity.share", "Persons of that mass who fit", r.share_within(u.volume) * 100, "%",
        {"capacity.usable", "capacity.rule"}, "normal distribution about the rule; a guide, not a promise");
}

product::Table capacity_table(const Ware& w) {
  const WareMeasure& m = w.measure;
  product::Table t{
      "capacity", "Capacity, fired", {"up to", "above the foot mm", "L", "in3"}, {false, true, true, true}, {}};
  const auto row = [&](const char* name, const std::string& z, double volume) {
    t.rows.push_back({name, z, format_number(volume * kLitres, 3), format_number(volume / kCubicInch, 1)});
  };
  row("fill line", format_number(m.fill_level, 1), m.capacity_fill);
  row("lip", format_number(w.wall.lip(), 1), m.capacity_brim);
  if (w.usable.displaced > 0) row("less: taken by the lid", "", w.usable.displaced);
  if (w.usable.glaze > 0) row("less: glaze inside", "", w.usable.glaze);
  row("usable", "", w.usable.volume);
  if (w.spec.capacity.person.known()) {
    const CapacitySpec& c = w.spec.capacity;
    const PersonRule r = person_rule(c.person.value, c.margin.value, c.filling.value);
    row("asked by the rule", "", r.mean);
    row("asked with the margin", "", r.needed);
  }
  return t;
}

std::vector<product::Offer> solved_offers(const Ware& w) {
  if (!w.solved.asked) return {};
  product::Offer o;
  o.id = "solved-sizes";
  o.label = "Adopt solved sizes";
  o.help =
      "Writes the sizes that hold the target into the profile (and the lid), and takes the target out: the form then "
      "stays as it is, whatever else is changed.";
  const auto take = [&o](const std::string& field, const Quantity& typed, const Quantity& solved) {
    if (typed.known() && solved.known() && typed.value != solved.value) o.edits.push_back({field, solved.value});
  };
  for (std::size_t i = 0; i < w.spec.profile.size(); ++i) {
    const std::string at = "profile/" + std::to_string(i) + "/";
    const ProfilePoint &a = w.typed.profile[i], &b = w.spec.profile[i];
    take(at + "height", a.height, b.height);
    take(at + "half_width", a.half_width, b.half_width);
    take(at + "half_depth", a.half_depth, b.half_depth);
    take(at + "corner_radius", a.corner_radius, b.corner_radius);
  }
  for (std::size_t i = 0; i < w.spec.lid.profile.size(); ++i) {
    const std::string at = "lid/profile/" + std::to_string(i) + "/";
    take(at + "height", w.typed.lid.profile[i].height, w.spec.lid.profile[i].height);
    take(at + "half_width", w.typed.lid.profile[i].half_width, w.spec.lid.profile[i].half_width);
  }
  take("lid/height", w.typed.lid.height, w.spec.lid.height);
  take("lid/knob/height", w.typed.lid.knob.height, w.spec.lid.knob.height);
  take("lid/knob/diameter", w.typed.lid.knob.diameter, w.spec.lid.knob.diameter);
  take("lid/knob/neck", w.typed.lid.knob.neck, w.spec.lid.knob.neck);
  o.edits.push_back({"capacity/target", std::nan("")});
  return {o};
}

std::vector<product::Table> solved_tables(const Ware& w) {
  if (!w.solved.asked) return {};
  product::Table t{
      "solved",
      "Typed and solved sizes, fired",
      {"point", "height typed", "solved mm", "half width typed", "solved mm", "half depth typed", "solved mm"},
      {true, true, true, true, true, true, true},
      {}};
  const auto number = [](const Quantity& q) { return q.known() ? shortest(q.value, 2) : std::string(); };
  for (std::size_t i = 0; i < w.spec.profile.size(); ++i) {
    const ProfilePoint &a = w.typed.profile[i], &b = w.spec.profile[i];
    t.rows.push_back({std::to_string(i + 1), bare(number(a.height)), number(b.height), bare(number(a.half_width)),
                      number(b.half_width), bare(number(a.half_depth)), number(b.half_depth)});
  }
  return {t};
}

}  // namespace kerfkiln::urn
