#include "modeler/urn/shrinkage.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <utility>

#include "modeler/base/number_text.hpp"
#include "modeler/numeric/student.hpp"

namespace kerfkiln::urn {
namespace {

constexpr std::size_t kFewestBars = 3;
constexpr double kSameBarMm = 0.005;  // what a caliper's last digit leaves open

using Bars = std::vector<material::Bar>;

bool enough(const Bars& bars) { return bars.size() >= kFewestBars; }

std::vector<double> shrinkages(const Bars& bars) {
  std::vector<double> out;
  for (const material::Bar& b : bars) out.push_back((b.before.value - b.after.value) / b.before.value);
  return out;
}

double figure(const material::ShrinkageStage& s) {
  if (s.shrinkage.known()) return s.shrinkage.value;
  if (!s.volume_shrinkage.known()) return std::numeric_limits<double>::quiet_NaN();
  return s.volume_of == "after" ? linear_from_dry_volume(s.volume_shrinkage.value)
                                : linear_from_plastic_volume(s.volume_shrinkage.value);
}

// The bars that speak for a direction; null: none do.
const Bars* bars_of(const material::ShrinkageStage& s, bool height) {
  if (height && enough(s.height_bars)) return &s.height_bars;
  if (height && s.height_shrinkage.known()) return nullptr;
  return enough(s.bars) ? &s.bars : nullptr;
}

Scale before(Scale after, Scale shrunk) {
  return {after.girth / (1 - shrunk.girth), after.height / (1 - shrunk.height)};
}

Spread spread_of(const BarSample& s) {
  Spread out;
  out.known = true;
  out.bars = s.n;
  out.deviation = s.deviation;
  out.relative = s.deviation * std::sqrt(1 + 1.0 / s.n) / (1 - s.mean);
  out.freedom = s.n - 1;
  out.same_bars = true;
  return out;
}

// Welch and Satterthwaite, as in the GUM, G.4.1.
Spread combined(const std::vector<Spread>& parts, double total) {
  Spread out;
  double variance = 0, fourth = 0, deviation = 0;
  for (const Spread& p : parts) {
    if (!p.known) continue;
    const double u2 = p.relative * p.relative, one = 1 + 1.0 / p.bars;
    variance += u2, fourth += u2 * u2 / p.freedom, deviation += u2 / one;
    out.bars = out.known ? std::min(out.bars, p.bars) : p.bars;
    out.freedom = out.known ? std::min(out.freedom, p.freedom) : p.freedom;
    out.known = true;
  }
  if (!out.known) return out;
  out.relative = std::sqrt(variance);
  out.deviation = std::sqrt(deviation) * (1 - total);
  if (fourth > 0) out.freedom = variance * variance / fourth;
  return out;
}

// Are these the same bars, followed from stage to stage?
bool followed(const material::Body& body, bool height) {
  for (std::size_t i = 0; i < body.stages.size(); ++i) {
    const Bars* now = bars_of(body.stages[i], height);
    if (!now) return false;
    if (i == 0) continue;
    const Bars& last = *bars_of(body.stages[i - 1], height);
    if (last.size() != now->size()) return false;
    for (std::size_t j = 0; j < last.size(); ++j)
      if (std::abs(last[j].after.value - (*now)[j].before.value) > kSameBarMm) return false;
  }
  return !body.stages.empty();
}

BarSample through_all(const material::Body& body, bool height) {
  std::vector<double> total(bars_of(body.stages.front(), height)->size(), 1);
  for (const material::ShrinkageStage& stage : body.stages) {
    const Bars& bars = *bars_of(stage, height);
    for (std::size_t j = 0; j < total.size(); ++j) total[j] *= bars[j].after.value / bars[j].before.value;
  }
  for (double& t : total) t = 1 - t;
  return bar_sample(total);
}

Spread body_spread(const material::Body& body, bool height, double total) {
  if (followed(body, height)) {
    Spread s = spread_of(through_all(body, height));
    s.whole = true;
    return s;
  }
  std::vector<Spread> parts;
  bool whole = true;
  for (const material::ShrinkageStage& stage : body.stages) {
    const Bars* bars = bars_of(stage, height);
    whole = whole && bars != nullptr;
    if (bars) parts.push_back(spread_of(bar_sample(shrinkages(*bars))));
  }
  Spread out = combined(parts, total);
  out.whole = whole && out.known;
  return out;
}

std::string percent(double fraction) { return trimmed_number(fraction * 100, 3) + " %"; }

void check_bars(const Bars& bars, const std::string& whose, const std::string& path, Findings& out) {
  if (!bars.empty() && !enough(bars))
    out.push_back({Severity::error, "shrinkage.bars_few", path,
                   whose + " has " + std::to_string(bars.size()) + (bars.size() == 1 ? " test bar" : " test bars") +
                       "; at least 3 are needed to tell how much it scatters",
                   "Measure more bars (ASTM C326 asks for ten), or give the shrinkage as one figure."});
  for (std::size_t i = 0; i < bars.size(); ++i) {
    const double a = bars[i].before.value, b = bars[i].after.value;
    if (a > b) continue;
    if (std::isnan(a) || std::isnan(b)) {
      out.push_back({Severity::error, "shrinkage.missing", path,
                     whose + ": test bar " + std::to_string(i + 1) + " has no usable length",
                     "Give both lengths between the marks, before and after."});
      continue;
    }
    out.push_back({Severity::error, "shrinkage.bars_grow", path,
                   whose + ": test bar " + std::to_string(i + 1) + " measures " + trimmed_number(a, 3) +
                       " mm before and " + trimmed_number(b, 3) + " mm after the stage; it must become shorter",
                   "Check that before and after were not swapped, and that both are lengths between the same marks."});
  }
}

void check_range(double s, bool zero_too, const std::string& whose, const std::string& path, Findings& out) {
  if (s < 0.5 && (zero_too ? s >= 0 : s > 0)) return;
  out.push_back({Severity::error, "shrinkage.range", path,
                 whose + " shrinks by " + percent(s) + ", which is outside " + (zero_too ? "0 %" : "more than 0 %") +
                     " to less than 50 %",
                 zero_too ? "Give the share of the size before."
                          : "Leave out a stage that does not shrink; give each "
                            "as a share of the size before it."});
}

void check_stage(const std::string& whose, const material::ShrinkageStage& s, Findings& out) {
  const std::string path = "body";
  check_bars(s.bars, whose, path, out);
  check_bars(s.height_bars, whose + ", along the height,", path, out);
  if (has_errors(out)) return;
  if (s.shrinkage.known() && s.volume_shrinkage.known())
    out.push_back({Severity::error, "shrinkage.two_values", path,
                   whose + " has a linear shrinkage (" + percent(s.shrinkage.value) + ") and a volume shrinkage (" +
                       percent(s.volume_shrinkage.value) + ")",
                   "Keep one of them; the linear one follows from the volume."});
  const Scale shrunk = stage_shrinkage(s);
  if (std::isnan(shrunk.girth)) {
    out.push_back({Severity::error, "shrinkage.missing", path,
                   whose + " has no usable shrinkage; more than 0 % to less than 50 % is possible",
                   "Give \"shrinkage\", at least three test \"bars\" or \"volume_shrinkage\"."});
    return;
  }
  check_range(shrunk.girth, false, whose, path, out);
  if (shrunk.height != shrunk.girth) check_range(shrunk.height, false, whose + ", along the height,", path, out);
  const double typed = figure(s);
  if (!enough(s.bars) || std::isnan(typed)) return;
  const BarSample b = bar_sample(shrinkages(s.bars));
  const double sure = student_quantile(0.975, b.n - 1) * b.deviation / std::sqrt(b.n);
  if (std::abs(typed - b.mean) > sure + 5e-6)
    out.push_back({Severity::warning, "shrinkage.two_values", path,
                   whose + " is given as " + percent(typed) + ", but its " + std::to_string(b.n) + " test bars say " +
                       percent(b.mean) + " (their mean is sure within " + percent(sure) + "); the bars are used",
                   "Remove the figure, or the bars if they are of another batch."});
}

}  // namespace

BarSample bar_sample(const std::vector<double>& x) {
  BarSample s;
  s.n = static_cast<int>(x.size());
  for (const double v : x) s.mean += v / s.n;
  double square = 0;
  for (const double v : x) square += (v - s.mean) * (v - s.mean);
  s.deviation = s.n > 1 ? std::sqrt(square / (s.n - 1)) : 0;
  return s;
}

double Spread::half_width(int pieces, double confidence) const {
  if (!known) return 0;
  return student_quantile(1 - (1 - confidence) / 2 / std::max(1, pieces), freedom) * relative;
}

const State& ShrinkageChain::state(const std::string& id) const {
  const auto it = std::find_if(states.begin(), states.end(), [&](const State& s) { return s.id == id; });
  if (it == states.end()) std::abort();  // a fault of ours: ids are fixed
  return *it;
}

Scale stage_shrinkage(const material::ShrinkageStage& s) {
  const double typed = figure(s);
  const Bars *girth = bars_of(s, false), *height = bars_of(s, true);
  Scale out;
  out.girth = girth ? bar_sample(shrinkages(*girth)).mean : typed;
  out.height = height                       ? bar_sample(shrinkages(*height)).mean
               : s.height_shrinkage.known() ? s.height_shrinkage.value
                                            : out.girth;
  return out;
}

double model_shrinkage(const material::Model& m) {
  return enough(m.bars) ? bar_sample(shrinkages(m.bars)).mean : m.shrinkage.value;
}

ShrinkageChain shrinkage_chain(const material::Body& body, const material::Model& model,
                               const material::Plaster& plaster, int generations) {
  ShrinkageChain chain;
  Scale size;
  chain.states.push_back({"fired", "Fired", size, "the form as drawn"});
  for (std::size_t i = body.stages.size(); i-- > 0;) {
    size = before(size, stage_shrinkage(body.stages[i]));
    const bool cast = i == 0;
    // Bars that were followed through all stages say the whole at once.
    if (cast && followed(body, false)) size.girth = 1 / (1 - through_all(body, false).mean);
    if (cast && followed(body, true)) size.height = 1 / (1 - through_all(body, true).mean);
    const std::string id = cast ? "cavity" : body.stages[i - 1].name;
    const std::string label = cast ? "Cavity (as cast)" : "After " + body.stages[i - 1].name;
    chain.states.push_back(
        {id, label, size, "size after " + body.stages[i].name + " / (1 - shrinkage of " + body.stages[i].name + ")"});
  }
  if (body.stages.empty()) chain.states.push_back({"cavity", "Cavity (as cast)", size, "no shrinkage given"});
  chain.oversize = size;
  chain.total = {1 - 1 / size.girth, 1 - 1 / size.height};

  const double grown = std::pow(1 + plaster.setting_expansion.value, generations);
  size = {size.girth / grown, size.height / grown};
  chain.states.push_back({"model", "Model, when moulded", size, "cavity / (1 + setting expansion)^generations"});
  const double until = model_shrinkage(model);
  chain.model = {until, until};
  size = before(size, chain.model);
  chain.states.push_back({"thrown", "Thrown (or made)", size, "model / (1 - shrinkage of the model until moulded)"});

  chain.body = {body_spread(body, false, chain.total.girth), body_spread(body, true, chain.total.height)};
  Spread own;
  if (enough(model.bars)) own = spread_of(bar_sample(shrinkages(model.bars)));
  chain.with_model = chain.body;
  if (own.known)
    chain.with_model = {combined({chain.body.girth, own}, chain.total.girth),
                        combined({chain.body.height, own}, chain.total.height)};
  return chain;
}

Findings check_shrinkage(const std::string& body_name, const material::Body& body) {
  Findings out;
  if (body.stages.empty())
    out.push_back({Severity::error, "shrinkage.missing", "body",
                   "The clay body \"" + body_name +
                       "\" has 0 shrinkage stages, so no cavity size follows from it; at least 1 is needed.",
                   "Give it stages such as drying 3 % and firing 9 %, measured on bars cast from the same slip."});
  for (const material::ShrinkageStage& s : body.stages) {
    Findings own;
    check_stage("Stage \"" + s.name + "\" of clay body \"" + body_name + "\"", s, own);
    append(out, std::move(own));
  }
  if (has_errors(out)) return out;
  Scale left{1, 1};
  for (const material::ShrinkageStage& s : body.stages) {
    const Scale shrunk = stage_shrinkage(s);
    left = {left.girth * (1 - shrunk.girth), left.height * (1 - shrunk.height)};
  }
  if (const double least = std::min(left.girth, left.height); least <= 0.5)
    out.push_back({Severity::error, "shrinkage.range", "body",
                   "The stages of clay body \"" + body_name + "\" together shrink by " + percent(1 - least) +
                       ", which is outside more than 0 % to less than 50 %",
                   "Give each stage as a share of the size before it; all together clays shrink by 5 % to 17 %."});
  const auto measured = [&body](bool height) {
    return std::count_if(body.stages.begin(), body.stages.end(),
                         [height](const material::ShrinkageStage& s) { return bars_of(s, height) != nullptr; });
  };
  const auto all = static_cast<std::ptrdiff_t>(body.stages.size());
  const auto girth = measured(false), height = measured(true);
  if (girth == 0 && height == 0) return out;
  if (girth < all || height < all)
    out.push_back({Severity::note, "shrinkage.bars_differ", "body",
                   "Clay body \"" + body_name + "\" has test bars" + (girth < all ? "" : " along the height") + " in " +
                       std::to_string(girth < all ? girth : height) + " of its " + std::to_string(all) +
                       " stages: the ranges leave out how much the other stages scatter",
                   "Follow the same bars through all stages."});
  else if (!followed(body, false))
    out.push_back({Severity::note, "shrinkage.bars_differ", "body",
                   "The " + std::to_string(all) + " stages of clay body \"" + body_name +
                       "\" have different test bars: their scatter is combined as if it were independent",
                   "Follow the same bars through all stages, listed in the same order; then their total counts."});
  return out;
}

Findings check_shrinkage(const std::string& model_name, const material::Model& model) {
  Findings out;
  const std::string whose = "Model material \"" + model_name + "\"", path = "mould/model";
  check_bars(model.bars, whose, path, out);
  if (has_errors(out)) return out;
  const double s = model_shrinkage(model);
  if (std::isnan(s))
    out.push_back({Severity::error, "shrinkage.missing", path,
                   whose + " has no usable shrinkage; 0 % to less than 50 % is possible",
                   "Give \"shrinkage\" (0 for printed or plaster models) or at least three test \"bars\"."});
  else
    check_range(s, true, whose, path, out);
  return out;
}

double linear_from_plastic_volume(double shrunk) { return 1 - std::cbrt(1 - shrunk); }
double linear_from_dry_volume(double shrunk) { return 1 - 1 / std::cbrt(1 + shrunk); }
double volume_from_linear(Scale s) { return 1 - (1 - s.height) * (1 - s.girth) * (1 - s.girth); }

}  // namespace kerfkiln::urn
