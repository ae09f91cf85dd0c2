#include <algorithm>
#include <memory>

#include "export/document/figure_text.hpp"
#include "export/document/job_sections.hpp"
#include "export/drawing/sketch_painter.hpp"

namespace kerfkiln::output {

using product::Product;

namespace {

constexpr double kViewHighMm = 150, kPairHighMm = 118;      // of a view by itself, of two side by side
constexpr double kPairLeastMm = 55;                         // smaller, and a pair is not worth it
constexpr double kShrunkLeast = 0.45, kShrunkLeastMm = 80;  // of its scale; drawn so large
constexpr double kViewGapMm = 10, kViewCaptionsMm = 16, kViewsHeadMm = 15;

struct PlacedView {
  const product::View* view;
  Fit fit;
};

// A row of views side by side, each with its caption above.
void add_view_row(Flow& flow, const std::vector<PlacedView>& row, const SketchStyle& style, const std::string& unit) {
  struct Item {
    product::View view;
    Fit fit;
    std::vector<std::string> caption;
    double width;
  };
  const double gap = kViewGapMm, caption_mm = 3.2;
  auto items = std::make_shared<std::vector<Item>>();
  const double cell = (flow.width() - gap * static_cast<double>(row.size() - 1)) / static_cast<double>(row.size());
  double drawing = 0, captions = 0;
  for (const PlacedView& p : row) {
    Item item{*p.view, p.fit, {}, row.size() == 1 ? flow.width() : std::max(cell, p.fit.box.width())};
    item.caption = wrapped(p.view->caption, item.width, text_style(caption_mm, true));
    item.caption.push_back("scale " + p.fit.text + ", " + unit);
    drawing = std::max(drawing, p.fit.box.depth());
    captions = std::max(captions, static_cast<double>(item.caption.size()) * line_height(caption_mm));
    items->push_back(std::move(item));
  }
  flow.space(5);
  flow.block(drawing + captions + 3, [items, style, drawing, captions, gap](Canvas& canvas, Vec2 corner) {
    double x = corner.x;
    for (const Item& item : *items) {
      std::vector<std::string> head(item.caption.begin(), item.caption.end() - 1);
      const double used = draw_lines(canvas, {x, corner.y}, head, text_style(3.2, true));
      draw_lines(canvas, {x, corner.y + used}, {item.caption.back()}, text_style(2.8, false, ink::kQuiet));
      const Placement place{{x + (item.width - item.fit.box.width()) / 2 - item.fit.box.low.x,
                             corner.y + captions + 2 + (drawing - item.fit.box.depth()) / 2 - item.fit.box.low.y},
                            item.fit.scale};
      paint(canvas, item.view.sketch, place, style);
      x += item.width + gap;
    }
  });
}

SketchStyle view_style(job::Units units) {
  SketchStyle style;
  style.length = length_text(units);
  return style;
}

struct ViewRow {
  std::vector<PlacedView> views;
  double height = 0;  // captions and the space above included
};

// The larger side of what is drawn, dimensions apart, on paper.
double drawn_size(const product::Sketch& sketch, double scale) {
  product::Sketch bare;
  bare.strokes = sketch.strokes;
  bare.fills = sketch.fills;
  const plane::Box box = sketch_bounds(bare, scale);
  return std::max(box.width(), box.depth());
}

// Neighbours stand side by side where that leaves them large enough at one scale; else each takes the full width, or
// half of it where that costs little of the scale.
std::vector<ViewRow> view_rows(const Product& piece, double width, const SketchStyle& style) {
  const double half = (width - kViewGapMm) / 2;
  std::vector<ViewRow> rows;
  const auto add = [&](std::vector<PlacedView> views) {
    ViewRow row{std::move(views), 0};
    for (const PlacedView& v : row.views) row.height = std::max(row.height, v.fit.box.depth() + kViewCaptionsMm + 5);
    rows.push_back(std::move(row));
  };
  for (std::size_t i = 0; i < piece.views.size(); ++i) {
    const product::View& v = piece.views[i];
    const Fit narrow = fit(v.sketch, half, kPairHighMm, style);
    if (i + 1 < piece.views.size()) {
      const product::View& w = piece.views[i + 1];
      const Fit beside = fit(w.sketch, half, kPairHighMm, style);
      if (beside.scale == narrow.scale &&
          std::min(drawn_size(v.sketch, narrow.scale), drawn_size(w.sketch, beside.scale)) >= kPairLeastMm) {
        add({{&v, narrow}, {&w, beside}});
        ++i;
        continue;
      }
    }
    const Fit wide = fit(v.sketch, width, kViewHighMm, style);
    add({{&v, narrow.scale > 0.74 * wide.scale ? narrow : wide}});
  }
  return rows;
}

// A view by itself that what is left of the page has no room for, at the next smaller scale if that is large enough
// yet: better than half a page left empty.
void shrink_into(ViewRow& row, double rest, double width, const SketchStyle& style) {
  if (row.views.size() != 1 || rest < kViewCaptionsMm + 5 + kShrunkLeastMm / 2) return;
  PlacedView& v = row.views.front();
  const Fit smaller = fit(v.view->sketch, width, rest - kViewCaptionsMm - 5, style);
  if (smaller.scale < kShrunkLeast * v.fit.scale || drawn_size(v.view->sketch, smaller.scale) < kShrunkLeastMm) return;
  v.fit = smaller;
  row.height = smaller.box.depth() + kViewCaptionsMm + 5;
}

}  // namespace

void add_views(Flow& flow, const Product& piece, job::Units units, const std::string& title) {
  const SketchStyle style = view_style(units);
  std::vector<ViewRow> waiting = view_rows(piece, flow.width(), style);
  bool first = true;
  while (!waiting.empty()) {
    // The first row that the rest of the page has room for goes next.
    const double rest = flow.room() - (first ? kViewsHeadMm : 0);
    auto next = std::find_if(waiting.begin(), waiting.end(), [&](const ViewRow& r) { return r.height <= rest; });
    if (next == waiting.end()) {
      next = waiting.begin();
      shrink_into(*next, rest, flow.width(), style);
    }
    if (first) flow.heading(title, next->height);
    first = false;
    add_view_row(flow, next->views, style, length_unit(units));
    waiting.erase(next);
  }
}

double least_views_height(const Product& piece, double width_mm, job::Units units) {
  double least = 0;
  for (const ViewRow& r : view_rows(piece, width_mm, view_style(units)))
    least = least == 0 ? r.height : std::min(least, r.height);
  return least == 0 ? 0 : least + kViewsHeadMm;
}

}  // namespace kerfkiln::output
