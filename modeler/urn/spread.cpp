// What the scatter of the shrinkage makes of the sizes, and what wrong sums would make of them.
#include <cmath>

#include "modeler/urn/message.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

struct Band {
  double low = 1, high = 1;
};
Band size_band(const Spread& s, int pieces) {
  const double x = s.half_width(pieces);
  return {1 - x, 1 + x};
}
// Height and girth of a piece move together, so their shares multiply.
Band volume_band(const Spreads& s, int pieces) {
  const Band g = size_band(s.girth, pieces), h = size_band(s.height, pieces);
  return {g.low * g.low * h.low, g.high * g.high * h.high};
}

bool known(const Ware& w) { return w.chain.with_model.girth.known || w.chain.with_model.height.known; }

std::string percent(double fraction, int decimals = 2) { return format_number(fraction * 100, decimals); }

}  // namespace

void band_size(const Ware& w, bool height, int pieces, FigureList& f) {
  const Spread& s = height ? w.chain.with_model.height : w.chain.with_model.girth;
  if (!s.known) return;
  const Band b = size_band(s, pieces);
  f.band(b.low, b.high);
}

void band_capacity(const Ware& w, int pieces, FigureList& f) {
  if (!known(w)) return;
  const Band b = volume_band(w.chain.with_model, pieces);
  f.band(b.low, b.high);
}

void add_batch(const Ware& w, FigureList& f) {
  if (!known(w) || w.spec.count < 2) return;
  const std::string how = "the range holds all " + std::to_string(w.spec.count) + " pieces, 95 %: t(1 - 0.025 / " +
                          std::to_string(w.spec.count) + ", bars - 1) x s x sqrt(1 + 1 / bars), Bonferroni";
  const auto size = [&](const char* key, const char* label, const char* of, double value, bool height) {
    f.add(key, label, value, "mm", {of, "count"}, how);
    band_size(w, height, w.spec.count, f);
  };
  size("batch.height", "Height, whole batch", "fired.height", w.form().height(), true);
  size("batch.max_width", "Width, whole batch", "fired.max_width", w.form().max_width(), false);
  size("batch.max_depth", "Depth, whole batch", "fired.max_depth", w.form().max_depth(), false);
  f.add("batch.capacity", "Capacity to the fill line, whole batch", w.measure.capacity_fill * kLitres, "L",
        {"fired.capacity", "count"}, how + "; girth twice and height once");
  band_capacity(w, w.spec.count, f);
}

std::vector<product::Table> spread_tables(const Ware& w) {
  if (!known(w)) return {};
  const ShrinkageChain& c = w.chain;
  const std::string all = "all " + std::to_string(w.spec.count);
  product::Table t{"scatter",
                   "Fired sizes with the scatter of the test bars, 95 %",
                   {"", "as drawn", "one piece from", "to", all + " from", "to"},
                   {false, true, true, true, true, true},
                   {}};
  const auto row = [&](const char* name, double value, int decimals, Band one, Band batch) {
    const auto n = [&](double x) { return format_number(value * x, decimals); };
    t.rows.push_back({name, n(1), n(one.low), n(one.high), n(batch.low), n(batch.high)});
  };
  const Spreads& s = c.with_model;
  const int k = w.spec.count;
  row("height mm", w.form().height(), 1, size_band(s.height, 1), size_band(s.height, k));
  row("width mm", w.form().max_width(), 1, size_band(s.girth, 1), size_band(s.girth, k));
  row("depth mm", w.form().max_depth(), 1, size_band(s.girth, 1), size_band(s.girth, k));
  row("capacity to the fill line L", w.measure.capacity_fill * kLitres, 3, volume_band(s, 1), volume_band(s, k));

  product::Table bars{"bars",
                      "Shrinkage by test bars",
                      {"", "bars", "mean %", "s %", "one piece +- %", all + " +- %"},
                      {false, true, true, true, true, true},
                      {}};
  const auto sample = [&](const std::string& name, int n, double mean, double deviation) {
    const double one = deviation * std::sqrt(1 + 1.0 / n);
    Spread p;
    p.known = true, p.freedom = n - 1, p.relative = one;
    bars.rows.push_back({name, std::to_string(n), percent(mean, 3), percent(deviation, 3), percent(p.half_width(1), 3),
                         percent(p.half_width(k), 3)});
  };
  const auto list = [&](const std::string& name, const std::vector<material::Bar>& rows) {
    if (rows.size() < 3) return;
    std::vector<double> x;
    for (const material::Bar& b : rows) x.push_back((b.before.value - b.after.value) / b.before.value);
    const BarSample b = bar_sample(x);
    sample(name, b.n, b.mean, b.deviation);
  };
  for (const material::ShrinkageStage& stage : w.materials.body.stages) {
    list(stage.name, stage.bars);
    list(stage.name + ", height", stage.height_bars);
  }
  if (c.body.girth.same_bars && w.materials.body.stages.size() > 1)
    sample("total, the same bars", c.body.girth.bars, c.total.girth, c.body.girth.deviation);
  list("model until moulded", w.materials.model.bars);
  return {t, bars};
}

product::Table wrong_sums(const Ware& w) {
  const ShrinkageChain& c = w.chain;
  double sum = 0;
  for (const material::ShrinkageStage& s : w.materials.body.stages) sum += stage_shrinkage(s).height;
  const double right = 1 / (1 - c.total.height), height = w.form().height();
  product::Table t{"wrong-sums",
                   "What a wrong sum would give, height",
                   {"sum", "cavity mm", "fires to mm", "off mm", "what is wrong"},
                   {false, true, true, true, false},
                   {}};
  const auto row = [&](const std::string& name, double factor, const std::string& why) {
    const double fires = height * factor / right;
    t.rows.push_back(
        {name, format_number(height * factor, 1), format_number(fires, 1), format_number(fires - height, 1), why});
  };
  const std::string total = percent(c.total.height) + " %", added = percent(sum) + " %";
  row("fired / (1 - " + total + ")", right, "right: what this sheet uses");
  if (w.materials.body.stages.size() > 1)
    row("fired / (1 - " + added + ")", 1 / (1 - sum), "stages added; each is a share of the size before it");
  row("fired x (1 + " + total + ")", 1 + c.total.height, "shrinkage is a share of the larger size: divide by 1 - s");
  if (w.materials.body.stages.size() > 1) row("fired x (1 + " + added + ")", 1 + sum, "both of these");
  // A volume figure on the dry basis, b = V / (1 - V), read as one on the plastic volume.
  const double v = volume_from_linear({c.total.height, c.total.height}), dry = v / (1 - v);
  if (dry < 1)
    row("volume " + percent(dry) + " % of the dry piece", 1 / (1 - linear_from_plastic_volume(dry)),
        "an older table's figure taken as a share of the wet volume");
  return t;
}

}  // namespace kerfkiln::urn
