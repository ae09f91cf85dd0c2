#include "modeler/quantity/sheet_plan.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::stock {
namespace {

constexpr double kSlackMm = 1e-6;  // a part that fits exactly must not fail by rounding

int fits(double room, double size, double kerf) {
  return std::max(0, static_cast<int>(std::floor((room + kerf) / (size + kerf) + 1e-9)));
}

enum class Turn { as_given, turned, whichever };
enum class Order { area, longest, widest, deepest };
enum class Split { shorter, longer, across, along };  // which of the two cuts goes right through the free rectangle
struct Strategy {
  Turn turn;
  Order order;
  Split split;
};

struct Single {
  std::size_t part;
  double width, depth;
};

// One greedy layout: parts in order, each into the free rectangle that it leaves least of.
class Layout {
 public:
  Layout(Sheet sheet, double kerf, Strategy how) : sheet_(sheet), kerf_(kerf), how_(how) {}

  std::vector<CutSheet> laid(std::vector<Single> parts) {
    const auto key = [this](const Single& s) {
      switch (how_.order) {
        case Order::area:
          return s.width * s.depth;
        case Order::longest:
          return std::max(s.width, s.depth);
        case Order::widest:
          return s.width;
        case Order::deepest:
          return s.depth;
      }
      return 0.0;
    };
    std::stable_sort(parts.begin(), parts.end(), [&](const Single& a, const Single& b) { return key(a) > key(b); });
    std::vector<CutSheet> sheets;
    for (const Single& s : parts) {
      bool done = false;
      for (std::size_t i = 0; i < sheets.size() && !done; ++i) done = place(sheets[i], s);
      if (done) continue;
      sheets.push_back({{}, {{0, 0, sheet_.length, sheet_.width}}, 1});
      // A strategy that keeps parts one way round may find no room even on a whole sheet.
      if (!place(sheets.back(), s)) return {};
    }
    return sheets;
  }

 private:
  bool place(CutSheet& sheet, const Single& s) {
    double least = INFINITY;
    std::size_t at = 0;
    bool turned = false;
    for (std::size_t i = 0; i < sheet.offcuts.size(); ++i)
      for (const bool turn : {false, true}) {
        if ((turn && how_.turn == Turn::as_given) || (!turn && how_.turn == Turn::turned)) continue;
        const double w = turn ? s.depth : s.width, h = turn ? s.width : s.depth;
        const Offcut& f = sheet.offcuts[i];
        if (w > f.wide + kSlackMm || h > f.high + kSlackMm) continue;
        const double left = std::min(f.wide - w, f.high - h);
        if (left < least - kSlackMm) {
          least = left;
          at = i;
          turned = turn;
        }
      }
    if (least == INFINITY) return false;
    const Offcut f = sheet.offcuts[at];
    const double w = turned ? s.depth : s.width, h = turned ? s.width : s.depth;
    sheet.offcuts.erase(sheet.offcuts.begin() + static_cast<std::ptrdiff_t>(at));
    sheet.parts.push_back({s.part, f.x, f.y, w, h});
    const double right = f.wide - w - kerf_, above = f.high - h - kerf_;
    bool upright = how_.split == Split::across;  // the upright cut goes right through
    if (how_.split == Split::shorter) upright = right > above;
    if (how_.split == Split::longer) upright = right <= above;
    const Offcut beside{f.x + w + kerf_, f.y, right, upright ? f.high : h};
    const Offcut over{f.x, f.y + h + kerf_, upright ? w : f.wide, above};
    for (const Offcut& o : {beside, over})
      if (o.wide > kSlackMm && o.high > kSlackMm) sheet.offcuts.push_back(o);
    return true;
  }

  Sheet sheet_;
  double kerf_;
  Strategy how_;
};

bool fits_sheet(Sheet s, const Part& p) {
  return (p.width <= s.length + kSlackMm && p.depth <= s.width + kSlackMm) ||
         (p.depth <= s.length + kSlackMm && p.width <= s.width + kSlackMm);
}

// Rows and columns of one part; `n` of them on this sheet.
CutSheet grid_sheet(Sheet s, const Part& p, std::size_t part, double kerf, int n) {
  const GridCount g = grid_count(s, p.width, p.depth, kerf);
  const bool turned = g.turned > g.as_given;
  const double w = turned ? p.depth : p.width, h = turned ? p.width : p.depth;
  const int columns = fits(s.length, w, kerf);
  CutSheet sheet;
  for (int i = 0; i < n; ++i) sheet.parts.push_back({part, i % columns * (w + kerf), i / columns * (h + kerf), w, h});
  const int full = std::min(n, columns), rows = (n + columns - 1) / columns;
  const double beside = s.length - full * (w + kerf), over = s.width - rows * (h + kerf);
  if (beside > 0) sheet.offcuts.push_back({full * (w + kerf), 0, beside, s.width});
  if (over > 0) sheet.offcuts.push_back({0, rows * (h + kerf), full * (w + kerf) - kerf, over});
  return sheet;
}

std::vector<CutSheet> by_kind(std::span<const Part> parts, Sheet sheet, double kerf) {
  std::vector<CutSheet> sheets;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (!fits_sheet(sheet, parts[i])) continue;
    const int each = grid_count(sheet, parts[i].width, parts[i].depth, kerf).best();
    const int whole = parts[i].count / each, rest = parts[i].count % each;
    if (whole > 0) {
      sheets.push_back(grid_sheet(sheet, parts[i], i, kerf, each));
      sheets.back().times = whole;
    }
    if (rest > 0) sheets.push_back(grid_sheet(sheet, parts[i], i, kerf, rest));
  }
  return sheets;
}

bool alike(const CutSheet& a, const CutSheet& b) {
  return a.parts.size() == b.parts.size() &&
         std::equal(a.parts.begin(), a.parts.end(), b.parts.begin(), [](const Placed& p, const Placed& q) {
           return p.part == q.part && p.x == q.x && p.y == q.y && p.wide == q.wide;
         });
}
void unite_alike(std::vector<CutSheet>& sheets) {
  std::vector<CutSheet> out;
  for (CutSheet& s : sheets) {
    const auto same = std::find_if(out.begin(), out.end(), [&](const CutSheet& o) { return alike(o, s); });
    if (same == out.end())
      out.push_back(std::move(s));
    else
      same->times += s.times;
  }
  sheets = std::move(out);
}

int count_of(const std::vector<CutSheet>& sheets) {
  int n = 0;
  for (const CutSheet& s : sheets) n += s.times;
  return n;
}
// The largest piece that is left over: of equal counts the layout that leaves most in one piece is the better one.
double largest_left(const std::vector<CutSheet>& sheets) {
  double most = 0;
  for (const CutSheet& s : sheets)
    for (const Offcut& o : s.offcuts) most = std::max(most, o.wide * o.high);
  return most;
}

}  // namespace

GridCount grid_count(Sheet s, double width, double depth, double kerf) {
  return {fits(s.length, width, kerf) * fits(s.width, depth, kerf),
          fits(s.length, depth, kerf) * fits(s.width, width, kerf)};
}

SheetPlan plan_sheets(std::span<const Part> parts, Sheet sheet, double kerf) {
  SheetPlan plan;
  std::vector<Single> singles;
  long long total = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (!fits_sheet(sheet, parts[i])) {
      plan.too_large.push_back(i);
      continue;
    }
    plan.used_mm2 += parts[i].width * parts[i].depth * parts[i].count;
    total += parts[i].count;
  }
  plan.sheets = by_kind(parts, sheet, kerf);
  if (total <= kMostPlaced) {
    for (std::size_t i = 0; i < parts.size(); ++i)
      for (int n = 0; fits_sheet(sheet, parts[i]) && n < parts[i].count; ++n)
        singles.push_back({i, parts[i].width, parts[i].depth});
    for (const Turn turn : {Turn::whichever, Turn::as_given, Turn::turned})
      for (const Order order : {Order::area, Order::longest, Order::widest, Order::deepest})
        for (const Split split : {Split::shorter, Split::longer, Split::across, Split::along}) {
          std::vector<CutSheet> sheets = Layout(sheet, kerf, {turn, order, split}).laid(singles);
          if (sheets.empty()) continue;
          const int now = count_of(sheets), best = count_of(plan.sheets);
          if (now < best || (now == best && largest_left(sheets) > largest_left(plan.sheets) + 1))
            plan.sheets = std::move(sheets);
        }
  }
  unite_alike(plan.sheets);
  return plan;
}

}  // namespace kerfkiln::stock
