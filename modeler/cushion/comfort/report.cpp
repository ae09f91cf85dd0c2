#include "modeler/cushion/comfort/report.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/words.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kGravity = 9.80665;
constexpr double kPeakFactor = 2;                    // zone under the sitting bones, over the mean
constexpr double kRatioLow = 1.2, kRatioHigh = 1.6;  // from memory
constexpr double kHeavyKg = 115, kShare = 0.75, kContactMm2 = 110000;

double or_default(const Quantity& q, double otherwise) { return q.known() ? q.value : otherwise; }

plane::Outline disc(Vec2 centre, double area) {
  const double r = std::sqrt(area / 3.141592653589793);
  return {{{centre + Vec2{r, 0}, 1, -1}, {centre - Vec2{r, 0}, 1, -1}}, {}, {}};
}

double share_of(const plane::Region& region, const plane::Region& under, double whole) {
  const Result<plane::Region> shared = plane::intersected(region, under);
  return shared ? plane::area(*shared) / whole : 0;
}

std::string percent(double share) { return number_text(share * 100, 0) + " %"; }

class Reporter {
 public:
  Reporter(const Core& core, const Spec& spec, const material::Library& materials, Findings& out)
      : core_(core), spec_(spec), materials_(materials), out_(out) {}

  std::optional<Comfort> report() {
    const LoadSpec& l = spec_.load;
    const plane::Box box = plane::bounds(core_.plan.outline);
    at_ = 0.5 * (box.low + box.high);
    if (l.x.known() && l.y.known()) {
      at_ = {l.x.value, l.y.value};
      if (spec_.mirrored) at_.x = box.low.x + box.high.x - at_.x;
    }
    if (!plane::contains(core_.outline(), at_)) {
      out_.push_back(warning("comfort.place", l.x.known() ? "load/at" : "load",
                             "the middle of the load, " + number_text(at_.x) + " across and " + number_text(at_.y) +
                                 " back, lies outside the piece: no sag is computed",
                             "give the load's \"at\" within the outline"));
      return std::nullopt;
    }
    contact_ = or_default(l.contact_area, kContactMm2);
    under_ = {disc(at_, contact_)};
    if (const double plan = plane::area(core_.outline()); contact_ > plan)
      out_.push_back(warning("comfort.area", "load/contact_area",
                             "the contact area " + number_text(contact_ / 100, 0) + " cm2 is larger than the piece, " +
                                 number_text(plan / 100, 0) + " cm2",
                             "give the area that the body really touches"));
    if (!add_stack()) return std::nullopt;
    c_.force_n = l.person.value * kGravity * or_default(l.share, kShare);
    c_.pressure_kpa = c_.force_n / contact_ * 1000;
    c_.heavy_kpa = c_.pressure_kpa * or_default(l.heavy_person, kHeavyKg) / l.person.value;
    c_.peak_kpa = kPeakFactor * c_.pressure_kpa;
    c_.seat_height_mm = or_default(l.height, 0);
    judge();
    report_under();
    if (c_.seat_height_mm > 0) report_body();
    return std::move(c_);
  }

 private:
  // The foam's law, or a finding.
  std::optional<StackLayer> layer_of(const std::string& name, double thickness, const std::string& path) {
    const material::Foam* foam = material::find(materials_.foams, name);
    if (foam == nullptr) return std::nullopt;
    const material::Hardness& h = foam->hardness;
    const bool enough = h.known() && (h.indentation_65.known() || h.support_factor.known());
    if (!enough) {
      out_.push_back(warning("comfort.hardness", path,
                             "\"" + name + "\" has no " + (h.known() ? "hardness at 65 %" : "indentation hardness") +
                                 ": no sag is computed",
                             "give \"hardness\" in materials: indentation_25 with indentation_65 or support_factor"));
      return std::nullopt;
    }
    const double ratio = or_default(h.indentation_ratio, kUsualIndentationRatio);
    const double s25 = uniaxial_kpa(h.indentation_25.value, ratio);
    const double s65 =
        h.indentation_65.known() ? uniaxial_kpa(h.indentation_65.value, ratio) : s25 * h.support_factor.value;
    Result<FoamLaw> law = h.indentation_40.known()
                              ? FoamLaw::through(s25, uniaxial_kpa(h.indentation_40.value, ratio), s65)
                              : FoamLaw::through(s25, s65);
    if (!law) {
      Findings why = law.findings();
      for (Finding& f : why) {
        f.path = path;
        f.message = "hardness of \"" + name + "\": " + f.message + "; no sag is computed";
      }
      append(out_, std::move(why));
      return std::nullopt;
    }
    ratios_.push_back(ratio);
    return StackLayer{thickness,
                      *law,
                      open_cell(foam->density.value).densification,
                      or_default(foam->set, 0.05),
                      or_default(foam->hardness_loss, 0.22),
                      0};
  }

  bool add(ComfortLayer l, double thickness) {
    if (!(thickness > 0)) return true;
    std::optional<StackLayer> layer = layer_of(l.foam, thickness, l.path);
    if (!layer) return false;
    c_.stack.push_back(*layer);
    c_.layers.push_back(std::move(l));
    return true;
  }

  bool add_stack() {
    bool all = true;
    if (!spec_.topper_foam.empty() && spec_.topper_thickness.known())
      all = add({"topper", "topper", spec_.topper_foam, "topper/foam"}, spec_.topper_thickness.value) && all;
    const double top = core_.form.z_top(at_), bottom = core_.form.z_bottom(at_);
    for (std::size_t i = core_.layers.size(); i-- > 0;) {
      const Layer& l = core_.layers[i];
      const std::string n = std::to_string(i + 1), path = "layers/" + std::to_string(i);
      std::string foam = l.foam, field = path + "/foam";
      double most = l.zones.empty() ? 1 : share_of(l.rest, under_, contact_);
      for (std::size_t k = 0; k < l.zones.size(); ++k) {
        const double share = share_of(l.zones[k].plan.region, under_, contact_);
        if (share < 0.005) continue;
        under_words_.push_back(percent(share) + " of it on zone " + std::to_string(k + 1) + " of layer " + n + " (" +
                               l.zones[k].foam + ")");
        if (share <= most) continue;
        most = share;
        foam = l.zones[k].foam;
        field = path + "/zones/" + std::to_string(k) + "/foam";
      }
      const double high = i + 1 == core_.layers.size() ? top : std::min(top, l.high_mm);
      const double low = i == 0 ? bottom : std::max(bottom, l.low_mm);
      all = add({"layer." + n, "layer " + n, foam, field}, high - low) && all;
    }
    if (!all || c_.stack.empty()) return false;
    double mean = 0;
    for (double r : ratios_) mean += r / static_cast<double>(ratios_.size());
    c_.indentation_ratio = mean;
    c_.low_ratio_factor = mean / kRatioLow;
    c_.high_ratio_factor = mean / kRatioHigh;
    return true;
  }

  struct Run {
    std::string words;
    std::vector<StackLayer> stack;
    double pressure;
  };

  // One finding a layer, and one for the stack, that names all loads at which it comes near its bottom. What happens
  // new under the person is a fault of the design; the others show what is to come.
  void judge() {
    const Run runs[] = {{"new", c_.stack, c_.pressure_kpa},
                        {"when old", aged(c_.stack), c_.pressure_kpa},
                        {"under the heavy person", c_.stack, c_.heavy_kpa},
                        {"under the sitting bones (twice the mean pressure)", c_.stack, c_.peak_kpa}};
    const auto report = [&](const std::string& code, const std::string& path, const std::string& what,
                            const std::string& permitted, const std::string& remedy, auto judged) {
      std::vector<std::string> near;
      bool now = false, through = false;
      for (const Run& r : runs) {
        const auto [bottoming, strain] = judged(r);
        if (bottoming == Bottoming::none) continue;
        now = now || &r == runs;
        through = through || bottoming == Bottoming::bottomed;
        near.push_back(percent(strain) + " " + r.words);
      }
      if (near.empty()) return;
      const std::string message = what + listed(near) + ": it " + (through ? "bottoms out" : "is near bottoming") +
                                  "; permitted is " + permitted;
      out_.push_back(now ? warning(code, path, message, remedy) : note(code, path, message, remedy));
    };
    for (std::size_t i = 0; i < c_.layers.size(); ++i)
      report("comfort.layer", c_.layers[i].path,
             "the " + c_.layers[i].name + " (" + c_.layers[i].foam + ") is pressed to ",
             "65 %, or less where the foam is dense", "take a harder foam there, or spread the load",
             [&](const Run& r) {
               const double e = r.stack[i].law.strain(r.pressure);
               return std::pair(layer_bottoming(r.stack[i], e), e);
             });
    report("comfort.stack", "load", "of its height the whole stack gives ", "55 %; beyond 65 % no sag is given",
           "make it thicker or harder", [&](const Run& r) {
             const StackState s = pressed(r.stack, r.pressure);
             return std::pair(s.bottoming(), s.overall());
           });
  }

  void report_under() {
    for (const Crease& c : core_.cuts.creases)
      for (const CreaseRun& r : c.runs)
        if (share_of({r.strip}, under_, contact_) > 0) {
          under_words_.push_back(c.name + ", " + mm_text(c.depth_mm) + " deep");
          break;
        }
    for (const Pocket& p : core_.cuts.pockets) {
      if (p.from == Pocket::From::side) continue;
      if (const double share = share_of({p.outline}, under_, contact_); share > 0)
        under_words_.push_back(p.name + " under " + percent(share) + " of it, " + mm_text(p.depth_mm) + " deep");
    }
    if (under_words_.empty()) return;
    out_.push_back(note("comfort.under", "load",
                        "under the load area: " + listed(under_words_) +
                            ". The stack that is computed is the foam at the middle of the load, uncut, with the foam "
                            "that carries most of each layer",
                        "try it out there, or move the load's \"at\""));
  }

  // Body sizes: GB and US surveys in published tables, BIFMA G1, ANSI/HFES 100 and SS 514 in summaries (reference 9).
  void report_body() {
    const double loaded = c_.seat_height_mm - pressed(c_.stack, c_.pressure_kpa).sag_mm;
    if (loaded < 380 || loaded > 465)
      out_.push_back(note("seat.height", "load/height",
                          "the loaded seat is " + mm_text(std::round(loaded)) +
                              " high; a fixed seat is usual between 380 mm (small women in shoes) and 465 mm (tall "
                              "lower legs of men, half of them)",
                          "change the height of the frame or the cushion"));
    const plane::Box box = plane::bounds(core_.plan.outline);
    if (box.width() < 465)
      out_.push_back(note("seat.width", "outline",
                          "the seat is " + mm_text(box.width()) +
                              " wide; wide hips in clothes need 465 mm, and published rules ask for 457 mm at least",
                          "make it wider if the frame allows"));
    if (box.depth() > 430)
      out_.push_back(note(
          "seat.depth", "outline",
          "the seat is " + mm_text(box.depth()) + " deep; short thighs want 430 mm at most in front of the back rest",
          "reckon the back rest's thickness off, or make it shallower"));
  }

  const Core& core_;
  const Spec& spec_;
  const material::Library& materials_;
  Findings& out_;
  Comfort c_;
  Vec2 at_;
  double contact_ = 0;
  plane::Region under_;
  std::vector<double> ratios_;
  std::vector<std::string> under_words_;
};

// Value with the band of a hardness 10 % higher and lower.
struct Banded {
  double value, low, high;
};
template <class F>
Banded banded(const std::vector<StackLayer>& stack, F f) {
  const double a = f(harder(stack, 1 - kHardnessSpread)), b = f(harder(stack, 1 + kHardnessSpread));
  return {f(stack), std::min(a, b), std::max(a, b)};
}
Banded sag_of(const std::vector<StackLayer>& stack, double pressure) {
  double lost = 0;
  for (const StackLayer& l : stack) lost += l.thickness_lost;
  return banded(stack, [&](const auto& s) { return pressed(s, pressure).sag_mm + lost; });
}
bool bottomed(const std::vector<StackLayer>& stack, double pressure) {
  return pressed(stack, pressure).bottoming() == Bottoming::bottomed;
}

void add(std::vector<product::Figure>& f, std::string key, std::string label, Banded b, std::string unit,
         std::vector<std::string> from, std::string how) {
  f.push_back(
      {std::move(key), std::move(label), b.value, std::move(unit), b.low, b.high, std::move(from), std::move(how)});
}
void add(std::vector<product::Figure>& f, std::string key, std::string label, double v, std::string unit,
         std::vector<std::string> from, std::string how) {
  f.push_back({std::move(key), std::move(label), v, std::move(unit), {}, {}, std::move(from), std::move(how)});
}

std::vector<std::string> hardness_paths(const Comfort& c) {
  std::vector<std::string> from{"load.pressure"};
  for (const ComfortLayer& l : c.layers) {
    const std::string path = "materials/foams/" + l.foam + "/hardness";
    if (std::find(from.begin(), from.end(), path) == from.end()) from.push_back(path);
  }
  return from;
}

}  // namespace

std::optional<Comfort> comfort_of(const Core& core, const Spec& spec, const material::Library& materials,
                                  Findings& out) {
  if (!spec.load.known()) return std::nullopt;
  return Reporter(core, spec, materials, out).report();
}

void add_comfort_figures(const Comfort& c, std::vector<product::Figure>& f) {
  const std::vector<std::string> from = hardness_paths(c);
  const double p = c.pressure_kpa;
  const std::vector<StackLayer> old = aged(c.stack);
  add(f, "load.force", "Load", c.force_n, "N", {"load/person", "load/share"}, "person x share x 9.80665 m/s2");
  add(f, "load.pressure", "Mean pressure", p, "kPa", {"load.force", "load/contact_area"}, "force over contact area");
  if (!bottomed(c.stack, p)) {
    add(f, "sag", "Sag, new", sag_of(c.stack, p), "mm", from,
        "sum of the layers' thickness x strain at the middle of the load; band: hardness 10 % more or less");
    const auto at_ratio = [&](double factor) { return pressed(harder(c.stack, factor), p).sag_mm; };
    add(f, "sag.indentation_ratio", "Sag, if the indentation ratio is 1.2 to 1.6",
        {at_ratio(1), at_ratio(c.low_ratio_factor), at_ratio(c.high_ratio_factor)}, "mm", from,
        "the largest unknown: what a foot measures is not what the same foam bears when pressed all over; calibrate "
        "with one compression test");
  }
  if (!bottomed(old, p))
    add(f, "sag.aged", "Sag, old", sag_of(old, p), "mm", from,
        "drop of the surface below the new one: set, and sag of what is left with the hardness lost");
  if (!bottomed(c.stack, c.heavy_kpa))
    add(f, "sag.heavy", "Sag, heavy person", sag_of(c.stack, c.heavy_kpa), "mm", {"sag", "load/heavy_person"},
        "as sag, with the heavy person on the same area");
  for (std::size_t i = c.layers.size(); i-- > 0;) {
    const ComfortLayer& l = c.layers[i];
    const auto strain = [&](const auto& s) { return 100 * pressed(s, p).strains[i]; };
    add(f, l.key + ".strain", "Strain of the " + l.name, banded(c.stack, strain), "%", from,
        "share of its thickness that the layer (" + l.foam + ") gives");
    add(f, l.key + ".margin", "Margin of the " + l.name,
        banded(c.stack, [&](const auto& s) { return margin(s[i], p); }), "", from,
        "pressure that presses it to 65 % over the mean pressure; below 1 it is near bottoming");
    add(f, l.key + ".strain.aged", "Strain of the " + l.name + ", old", banded(old, strain), "%", from,
        "as new, with set and hardness loss");
  }
  const Grade g = effective_grade(c.stack, c.indentation_ratio);
  add(f, "stack.hardness", "Hardness of the whole stack", g.indentation_25_n, "N", from,
      "force on the test foot at 25 % of the whole height, as of one foam");
  add(f, "stack.support_factor", "Support factor of the stack", g.support_factor, "", from,
      "pressure at 65 % over pressure at 25 % of the whole height");
  add(f, "stack.stiffness", "Stiffness for small movements", stiffness_kpa_mm(c.stack, p), "kPa/mm", from,
      "slope of pressure against sag at the load, layers in series");
  if (c.seat_height_mm > 0) {
    if (!bottomed(c.stack, p)) {
      const Banded s = sag_of(c.stack, p);
      add(f, "seat.loaded_height", "Loaded seat height, new",
          {c.seat_height_mm - s.value, c.seat_height_mm - s.high, c.seat_height_mm - s.low}, "mm",
          {"load/height", "sag"}, "height of the unloaded top - sag");
    }
    if (!bottomed(old, p)) {
      const Banded s = sag_of(old, p);
      add(f, "seat.loaded_height.aged", "Loaded seat height, old",
          {c.seat_height_mm - s.value, c.seat_height_mm - s.high, c.seat_height_mm - s.low}, "mm",
          {"load/height", "sag.aged"}, "height of the unloaded new top - sag when old");
    }
  }
}

product::Table comfort_table(const Comfort& c) {
  product::Table t;
  t.id = "comfort";
  t.title = "Under load: " + number_text(c.force_n, 0) + " N, mean pressure " + number_text(c.pressure_kpa, 2) +
            " kPa; strain in % (hardness 10 % softer to harder)";
  t.columns = {"layer", "foam", "mm", "new", "band", "margin", "old", "heavy", "bones"};
  t.numeric = {false, false, true, true, true, true, true, true, true};
  const std::vector<StackLayer> old = aged(c.stack);
  const StackState now = pressed(c.stack, c.pressure_kpa), then = pressed(old, c.pressure_kpa),
                   heavy = pressed(c.stack, c.heavy_kpa), bones = pressed(c.stack, c.peak_kpa),
                   soft = pressed(harder(c.stack, 1 - kHardnessSpread), c.pressure_kpa),
                   hard = pressed(harder(c.stack, 1 + kHardnessSpread), c.pressure_kpa);
  const auto strain = [](const StackLayer& l, double e) {
    return layer_bottoming(l, e) == Bottoming::bottomed ? std::string("bottomed") : number_text(e * 100, 0);
  };
  for (std::size_t i = 0; i < c.stack.size(); ++i) {
    const StackLayer& l = c.stack[i];
    t.rows.push_back({c.layers[i].name, c.layers[i].foam, number_text(l.thickness_mm, 1), strain(l, now.strains[i]),
                      number_text(soft.strains[i] * 100, 0) + " to " + number_text(hard.strains[i] * 100, 0),
                      number_text(margin(l, c.pressure_kpa), 2), strain(old[i], then.strains[i]),
                      strain(l, heavy.strains[i]), strain(l, bones.strains[i])});
  }
  double lost = 0;
  for (const StackLayer& l : old) lost += l.thickness_lost;
  const auto sag = [](const StackState& s, double more) {
    return s.bottoming() == Bottoming::bottomed ? std::string("bottomed") : number_text(s.sag_mm + more, 0);
  };
  t.rows.push_back({"sag mm", "", number_text(now.height_mm, 1), sag(now, 0), sag(soft, 0) + " to " + sag(hard, 0), "",
                    sag(then, lost), sag(heavy, 0), sag(bones, 0)});
  const auto at_ratio = [&](double factor) { return pressed(harder(c.stack, factor), c.pressure_kpa); };
  t.rows.push_back({"if ratio 1.2 to 1.6", "", "", "",
                    sag(at_ratio(c.low_ratio_factor), 0) + " to " + sag(at_ratio(c.high_ratio_factor), 0), "", "", "",
                    ""});
  return t;
}

}  // namespace kerfkiln::cushion
