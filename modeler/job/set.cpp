#include "modeler/job/set.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"
#include "modeler/quantity/sheet_plan.hpp"

namespace kerfkiln::job {
namespace {

using product::Blank;
using product::Product;

constexpr double kSameMm = 0.005;

std::string mm(double value) { return trimmed_number(value, 1) + " mm"; }
std::string size_text(double w, double d) {
  return product::bare_length(trimmed_number(w, 1)) + " x " + product::bare_length(trimmed_number(d, 1));
}

int count_of(const Design& d, const std::vector<Product>& products, std::size_t i) {
  if (i >= d.pieces.size()) return products[i].count;
  return std::visit([](const auto& spec) { return spec.count; }, d.pieces[i]);
}

// All blanks that are cut side by side: one foam, one thickness of stock.
struct Lot {
  const Blank* first = nullptr;
  double stock_mm = 0;  // as bought; where no stock is said, the blank's own thickness
  struct Row {
    const Blank* blank;
    std::string piece;
    int count;   // blanks in all
    int slices;  // of them one over the other in the stock
  };
  std::vector<Row> rows;
  stock::Sheet sheet() const { return {first->sheet_width_mm, first->sheet_length_mm}; }
  bool has_sheet() const { return first->sheet_width_mm > 0 && first->sheet_length_mm > 0; }
};

std::vector<Lot> lots_of(const Design& d, const std::vector<Product>& products) {
  std::vector<Lot> lots;
  for (std::size_t i = 0; i < products.size(); ++i)
    for (const Blank& b : products[i].blanks) {
      const double stock = b.stock_mm > 0 ? b.stock_mm : b.thickness_mm;
      auto lot = std::find_if(lots.begin(), lots.end(), [&](const Lot& l) {
        return l.first->material == b.material && std::abs(l.stock_mm - stock) < kSameMm;
      });
      if (lot == lots.end()) lot = lots.insert(lots.end(), Lot{&b, stock, {}});
      const int slices =
          std::max(1, static_cast<int>(std::floor((stock + b.kerf_mm) / (b.thickness_mm + b.kerf_mm) + 1e-9)));
      lot->rows.push_back({&b, products[i].name, b.count * (b.once ? 1 : count_of(d, products, i)), slices});
    }
  return lots;
}

struct Cut {
  stock::SheetPlan plan;
  double kerf = 0;
};
Cut cut_of(const Lot& lot) {
  std::vector<stock::Part> parts;
  Cut cut;
  for (const Lot::Row& r : lot.rows) {
    parts.push_back({r.blank->width_mm, r.blank->depth_mm, (r.count + r.slices - 1) / r.slices});
    cut.kerf = std::max(cut.kerf, r.blank->kerf_mm);
  }
  cut.plan = stock::plan_sheets(parts, lot.sheet(), cut.kerf);
  return cut;
}

constexpr double kLabelMm = 2.8, kLeastTextMm = 1.6;
constexpr double kLeastNamedMm = 90;  // offcuts smaller than this either way are scrap

product::View layout_view(const Lot& lot, const stock::CutSheet& sheet, std::size_t number, std::size_t of) {
  using product::LineRole;
  product::View view;
  view.id = "sheet-" + lot.first->material + "-" + trimmed_number(lot.stock_mm, 2) + "-" + std::to_string(number);
  view.caption = "Cutting layout: " + lot.first->material + ", " + mm(lot.stock_mm) + " thick" +
                 (of > 1 ? ", layout " + std::to_string(number) + " of " + std::to_string(of) : "") + "; cut " +
                 std::to_string(sheet.times) + (sheet.times == 1 ? " sheet" : " sheets alike");
  product::Sketch& s = view.sketch;
  const auto box = [](double x, double y, double w, double h) {
    return plane::Outline{{{{x, y}, 0, -1}, {{x + w, y}, 0, -1}, {{x + w, y + h}, 0, -1}, {{x, y + h}, 0, -1}}, {}, {}};
  };
  const stock::Sheet size = lot.sheet();
  s.strokes.push_back(product::closed(box(0, 0, size.length, size.width).outer, LineRole::visible));
  // Model millimetres for one on paper, where a sheet comes out 100 mm long.
  const double unit = size.length / 100;
  std::vector<std::size_t> small;  // parts with room for a number only
  for (const stock::Placed& p : sheet.parts) {
    const Lot::Row& row = lot.rows[p.part];
    const plane::Outline o = box(p.x, p.y, p.wide, p.high);
    s.fills.push_back({o, row.blank->colour, row.blank->hatch});
    s.strokes.push_back(product::closed(o.outer, LineRole::cut));
    const Vec2 middle{p.x + p.wide / 2, p.y + p.high / 2};
    std::vector<std::string> lines{row.piece, row.blank->name, size_text(row.blank->width_mm, row.blank->depth_mm)};
    if (row.slices > 1) lines.push_back("slit to " + std::to_string(row.slices) + " x " + mm(row.blank->thickness_mm));
    const bool upright = p.high > p.wide;
    const double along = upright ? p.high : p.wide, across = upright ? p.wide : p.high;
    std::size_t longest = 1;
    for (const std::string& l : lines) longest = std::max(longest, product::shown_size(l));
    const double text = std::min({kLabelMm, along / unit / (0.62 * static_cast<double>(longest)),
                                  across / unit / (1.5 * static_cast<double>(lines.size()))});
    if (text < kLeastTextMm) {
      s.labels.push_back(
          {middle - Vec2{0, 1.2 * unit}, std::to_string(p.part + 1), kLabelMm, product::Anchor::centre, 0});
      if (std::find(small.begin(), small.end(), p.part) == small.end()) small.push_back(p.part);
      continue;
    }
    const Vec2 down = upright ? Vec2{1, 0} : Vec2{0, -1};
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const double step = (static_cast<double>(i) - static_cast<double>(lines.size() - 1) / 2) * 1.45 + 0.35;
      s.labels.push_back({middle + step * text * unit * down, lines[i], text, product::Anchor::centre,
                          upright ? 1.5707963267948966 : 0});
    }
  }
  for (std::size_t i = 0; i < small.size(); ++i) {
    const Lot::Row& row = lot.rows[small[i]];
    s.labels.push_back(
        {{0, -(17 + 4.2 * static_cast<double>(i)) * unit},
         std::to_string(small[i] + 1) + ": " + row.piece + ", " + row.blank->name + ", " +
             size_text(row.blank->width_mm, row.blank->depth_mm) +
             (row.slices > 1 ? ", slit to " + std::to_string(row.slices) + " x " + mm(row.blank->thickness_mm) : ""),
         kLabelMm,
         product::Anchor::left,
         0});
  }
  for (const stock::Offcut& o : sheet.offcuts) {
    if (std::min(o.wide, o.high) < kLeastNamedMm) continue;
    s.strokes.push_back(product::closed(box(o.x, o.y, o.wide, o.high).outer, LineRole::hidden));
    const std::string text = "left over " + size_text(o.wide, o.high);
    const bool upright = o.high > o.wide;
    const double height =
        std::min(kLabelMm, std::max(o.wide, o.high) / unit / (0.62 * static_cast<double>(product::shown_size(text))));
    if (height < kLeastTextMm) continue;
    s.labels.push_back({{o.x + o.wide / 2, o.y + o.high / 2},
                        text,
                        height,
                        product::Anchor::centre,
                        upright ? 1.5707963267948966 : 0});
  }
  s.dimensions.push_back({product::DimensionKind::horizontal, {size.length, 0}, {0, 0}, 8, {}, {}});
  s.dimensions.push_back({product::DimensionKind::vertical, {size.length, size.width}, {size.length, 0}, 8, {}, {}});
  return view;
}

product::Figure figure(std::string key, std::string label, double value, std::string unit,
                       std::vector<std::string> from, std::string how) {
  return {std::move(key), std::move(label), value, std::move(unit), {}, {}, std::move(from), std::move(how)};
}

struct Grade {
  std::string name;
  double finished_mm3 = 0, blanks_mm3 = 0, mass_kg = 0, bought_mm3 = 0, price_m3 = std::nan("");
  int sheets = 0;
  bool laid_out = true;
  std::vector<std::string> from;
};

class Gatherer {
 public:
  Gatherer(const Design& d, const std::vector<Product>& products) : design_(d), products_(products) {}

  Set gathered() {
    bool foam = false;
    for (const Product& p : products_) foam = foam || !p.blanks.empty();
    if (!foam) return {};
    cut_lots();
    add_grades();
    add_totals();
    set_.tables.insert(set_.tables.begin(), set_table());
    check_pairs();
    return std::move(set_);
  }

 private:
  Grade& grade(const Blank& b) {
    auto it = std::find_if(grades_.begin(), grades_.end(), [&](const Grade& g) { return g.name == b.material; });
    if (it == grades_.end()) {
      it = grades_.insert(grades_.end(), Grade{});
      it->name = b.material;
      it->price_m3 = b.price_m3;
    }
    return *it;
  }

  void cut_lots() {
    product::Table t;
    t.id = "sheets";
    t.title = "Foam to buy: sheets, all pieces";
    t.columns = {"foam", "thick mm", "sheet mm", "blanks", "sheets", "used %"};
    t.numeric = {false, true, false, true, true, true};
    for (const Lot& lot : lots_of(design_, products_)) {
      Grade& g = grade(*lot.first);
      int blanks = 0;
      for (const Lot::Row& r : lot.rows) {
        const Blank& b = *r.blank;
        blanks += r.count;
        g.finished_mm3 += b.finished_mm3 * r.count;
        g.blanks_mm3 += b.width_mm * b.depth_mm * b.thickness_mm * r.count;
        g.mass_kg += b.finished_mm3 * 1e-9 * b.density_kg_m3 * r.count;
      }
      std::vector<std::string> row{lot.first->material, trimmed_number(lot.stock_mm, 2)};
      if (!lot.has_sheet()) {
        g.laid_out = false;
        row.insert(row.end(), {"not said", std::to_string(blanks), "", ""});
        t.rows.push_back(std::move(row));
        continue;
      }
      const Cut cut = cut_of(lot);
      for (const std::size_t i : cut.plan.too_large) {
        g.laid_out = false;
        set_.findings.push_back({Severity::note, "set.sheet", "materials/foams/" + lot.first->material + "/sheet",
                                 "the blank of " + lot.rows[i].piece + ", " + lot.rows[i].blank->name + ", " +
                                     size_text(lot.rows[i].blank->width_mm, lot.rows[i].blank->depth_mm) +
                                     " mm, fits no sheet and is not in the cutting layout",
                                 "join it from two pieces, or find a larger sheet"});
      }
      const int sheets = cut.plan.count();
      g.sheets += sheets;
      g.bought_mm3 += sheets * lot.sheet().width * lot.sheet().length * lot.stock_mm;
      row.insert(row.end(), {size_text(lot.sheet().length, lot.sheet().width), std::to_string(blanks),
                             std::to_string(sheets), format_number(100 * cut.plan.utilisation(lot.sheet()), 1)});
      t.rows.push_back(std::move(row));
      for (std::size_t i = 0; i < cut.plan.sheets.size(); ++i)
        set_.views.push_back(layout_view(lot, cut.plan.sheets[i], i + 1, cut.plan.sheets.size()));
    }
    set_.tables.push_back(std::move(t));
  }

  void add_grades() {
    product::Table t;
    t.id = "foam";
    t.title = "Foam by grade, all pieces";
    t.columns = {"foam", "finished L", "mass kg", "blanks L", "sheets", "cost of blanks", "cost of whole sheets"};
    t.numeric = {false, true, true, true, true, true, true};
    for (const Grade& g : grades_) {
      const std::string key = "foam." + g.name + ".", name = "Foam \"" + g.name + "\", ",
                        path = "materials/foams/" + g.name;
      std::vector<std::string> from;
      for (std::size_t i = 0; i < products_.size(); ++i)
        for (const Blank& b : products_[i].blanks)
          if (b.material == g.name && (from.empty() || from.back() != "pieces/" + std::to_string(i)))
            from.push_back("pieces/" + std::to_string(i));
      set_.figures.push_back(figure(key + "volume", name + "finished", g.finished_mm3 * 1e-6, "L", from,
                                    "sum of count x volume of its layers, zones, lids and toppers"));
      std::vector<std::string> with_density{key + "volume", path + "/density"};
      set_.figures.push_back(figure(key + "mass", name + "mass", g.mass_kg, "kg", with_density, "volume x density"));
      set_.figures.push_back(figure(key + "blanks", name + "blanks", g.blanks_mm3 * 1e-6, "L", from,
                                    "sum of count x width x depth x thickness of the blanks, trim included"));
      if (g.laid_out)
        set_.figures.push_back(figure(key + "sheets", name + "sheets", g.sheets, "", {key + "blanks", path + "/sheet"},
                                      "sheets of all thicknesses in the cutting layouts of the set"));
      const bool priced = !std::isnan(g.price_m3);
      if (priced)
        set_.figures.push_back(figure(key + "cost", name + "cost of the blanks", g.blanks_mm3 * 1e-9 * g.price_m3, "",
                                      {key + "blanks", path + "/price"}, "volume of the blanks x price"));
      if (priced && g.laid_out)
        set_.figures.push_back(figure(key + "cost_of_sheets", name + "cost of whole sheets",
                                      g.bought_mm3 * 1e-9 * g.price_m3, "", {key + "sheets", path + "/price"},
                                      "volume of the sheets bought x price"));
      t.rows.push_back({g.name, format_number(g.finished_mm3 * 1e-6, 2), format_number(g.mass_kg, 2),
                        format_number(g.blanks_mm3 * 1e-6, 2), g.laid_out ? std::to_string(g.sheets) : "",
                        priced ? format_number(g.blanks_mm3 * 1e-9 * g.price_m3, 2) : "",
                        priced && g.laid_out ? format_number(g.bought_mm3 * 1e-9 * g.price_m3, 2) : ""});
    }
    set_.tables.push_back(std::move(t));
  }

  // Sum over the pieces of count x figure, of those that have it; all: whether every piece does.
  struct Sum {
    double value = 0;
    std::vector<std::string> from;
    bool all = true, any = false;
  };
  Sum sum_of(const char* key) const {
    Sum s;
    for (std::size_t i = 0; i < products_.size(); ++i) {
      const product::Figure* f = products_[i].figure(key);
      s.all = s.all && f != nullptr;
      if (f == nullptr) continue;
      s.any = true;
      s.value += count_of(design_, products_, i) * f->value;
      s.from.push_back("pieces/" + std::to_string(i) + "/count");
      s.from.push_back("pieces/" + std::to_string(i) + "/" + key);
    }
    return s;
  }

  void add_totals() {
    if (const Sum glue = sum_of("glue.mass"); glue.any)
      set_.figures.push_back(figure("total.glue", "Adhesive for all pieces", glue.value, "kg", glue.from,
                                    "sum of count times adhesive of each piece, loss included"));
    if (const Sum cost = sum_of("total.cost"); cost.any && cost.all)
      set_.figures.push_back(figure("total.cost", "Cost of all pieces", cost.value, "", cost.from,
                                    "sum of count times cost of each piece; what each leaves out is said there"));
  }

  product::Table set_table() const {
    product::Table t;
    t.id = "set";
    t.title = "The set";
    t.columns = {"piece", "hand", "make", "foam kg", "all kg", "adhesive g", "cost each", "cost all"};
    t.numeric = {false, false, true, true, true, true, true, true};
    double kg = 0, glue = 0, cost = 0;
    bool priced = true;
    int made = 0;
    for (std::size_t i = 0; i < products_.size(); ++i) {
      const Product& p = products_[i];
      if (p.blanks.empty()) continue;
      const int n = count_of(design_, products_, i);
      const product::Figure *g = p.figure("glue.mass"), *c = p.figure("total.cost");
      double foam = 0;  // core, lids and whatever else has a blank
      for (const Blank& b : p.blanks)
        if (!b.once) foam += b.count * b.finished_mm3 * 1e-9 * b.density_kg_m3;
      const std::string hand = i < design_.pieces.size() ? hand_of(i) : std::string();
      made += n;
      kg += n * foam;
      glue += g ? n * g->value * 1000 : 0;
      cost += c ? n * c->value : 0;
      priced = priced && c;
      t.rows.push_back({p.name, hand, std::to_string(n), format_number(foam, 3), format_number(n * foam, 3),
                        g ? format_number(n * g->value * 1000, 0) : "", c ? format_number(c->value, 2) : "",
                        c ? format_number(n * c->value, 2) : ""});
    }
    t.rows.push_back({"all", "", std::to_string(made), "", format_number(kg, 3), format_number(glue, 0), "",
                      priced ? format_number(cost, 2) : ""});
    return t;
  }

  std::string hand_of(std::size_t i) const {
    const auto* c = std::get_if<cushion::Spec>(&design_.pieces[i]);
    if (c == nullptr) return {};
    return !c->hand.empty() ? c->hand : c->mirrored ? "other hand" : "";
  }

  void check_pairs() {
    int left = 0, right = 0;
    for (const Piece& piece : design_.pieces)
      if (const auto* c = std::get_if<cushion::Spec>(&piece)) {
        left += c->hand == "left" ? c->count : 0;
        right += c->hand == "right" ? c->count : 0;
      }
    if (left != right)
      set_.findings.push_back(
          {Severity::note, "set.pair", "pieces",
           "the set has " + std::to_string(left) + " left and " + std::to_string(right) + " right pieces",
           "make as many of each hand, or leave \"hand\" out"});
  }

  const Design& design_;
  const std::vector<Product>& products_;
  std::vector<Grade> grades_;
  Set set_;
};

}  // namespace

Set set_of(const Design& d, const std::vector<Product>& products) {
  Set set = Gatherer(d, products).gathered();
  const std::vector<std::string> names = names_with_lengths(d);
  for (product::Table& t : set.tables) product::tell_in(t, d.units, names);
  for (product::View& v : set.views) product::tell_in(v, d.units, names);
  product::tell_in(set.figures, d.units, names);
  product::tell_in(set.findings, d.units, names);
  return set;
}

}  // namespace kerfkiln::job
