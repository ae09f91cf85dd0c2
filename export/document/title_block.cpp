#include "export/document/title_block.hpp"

#include <algorithm>
#include <vector>

#include "export/document/figure_text.hpp"
#include "export/document/flow.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kTitleMm = 5.4, kCaptionMm = 2.1, kValueMm = 2.9, kPad = 1.4;

struct Cell {
  std::string caption, value;
  double share;
};

std::vector<Cell> cells(const JobInfo& info, const std::string& page) {
  return {{"ORDER", info.order.customer, 34},
          {"DRAWING", info.order.drawing, 24},
          {"REVISION", info.order.revision, 17},
          {"DATE", info.order.date, 23},
          {"DRAWN", info.order.drawn, 22},
          {"APPROVED", info.order.approved, 20},
          {"DESIGN", info.hash, 39},
          {"PAGE", page, 17}};
}

TextStyle title_style() {
  TextStyle s;
  s.height_mm = kTitleMm;
  s.bold = true;
  return s;
}
TextStyle value_style() {
  TextStyle s;
  s.height_mm = kValueMm;
  return s;
}

struct Layout {
  std::vector<std::string> title;
  std::vector<Cell> cells;
  std::vector<double> widths;
  std::vector<std::vector<std::string>> values;
  double title_height = 0, row_height = 0;
};

Layout lay_out(const JobInfo& info, double width, const std::string& page) {
  Layout l;
  l.title = wrapped(info.title.empty() ? "Untitled job" : info.title, width, title_style());
  l.title_height = static_cast<double>(l.title.size()) * line_height(kTitleMm) + 1;
  l.cells = cells(info, page);
  double sum = 0;
  for (const Cell& c : l.cells) sum += c.share;
  std::size_t lines = 1;
  for (const Cell& c : l.cells) {
    l.widths.push_back(width * c.share / sum);
    l.values.push_back(wrapped(c.value, l.widths.back() - 2 * kPad, value_style()));
    lines = std::max(lines, l.values.back().size());
  }
  l.row_height = line_height(kCaptionMm) + static_cast<double>(lines) * line_height(kValueMm) + 2;
  return l;
}

}  // namespace

double title_block_height(const JobInfo& info, double width_mm) {
  const Layout l = lay_out(info, width_mm, "88 of 88");
  return l.title_height + l.row_height;
}

void draw_title_block(Canvas& canvas, Vec2 corner, double width_mm, const JobInfo& info, int page, int count) {
  const Layout l = lay_out(info, width_mm, std::to_string(page) + " of " + std::to_string(count));
  draw_lines(canvas, corner, l.title, title_style());
  const double top = corner.y + l.title_height;
  canvas.line({corner.x, top}, {corner.x + width_mm, top}, {0.7, ink::kText, {}});
  double x = corner.x;
  TextStyle caption;
  caption.height_mm = kCaptionMm;
  caption.colour = ink::kQuiet;
  for (std::size_t i = 0; i < l.cells.size(); ++i) {
    const double pad = i == 0 ? 0 : kPad;
    if (i > 0) canvas.line({x, top}, {x, top + l.row_height}, {0.13, ink::kRule, {}});
    draw_lines(canvas, {x + pad, top + 0.7}, {l.cells[i].caption}, caption);
    draw_lines(canvas, {x + pad, top + 0.7 + line_height(kCaptionMm)}, l.values[i], value_style());
    x += l.widths[i];
  }
  canvas.line({corner.x, top + l.row_height}, {corner.x + width_mm, top + l.row_height}, {0.35, ink::kText, {}});
}

void draw_foot(Canvas& canvas, Vec2 baseline, double width_mm, const JobInfo& info, const std::string& what) {
  TextStyle s;
  s.height_mm = 2.3;
  s.colour = ink::kQuiet;
  const std::string unit = info.units == job::Units::inch ? "inches" : "millimetres";
  const std::string lengths = "lengths in " + unit + " unless another unit stands beside them";
  canvas.text(baseline, what + "  ·  " + lengths, s);
  s.anchor = product::Anchor::right;
  canvas.text({baseline.x + width_mm, baseline.y}, info.program, s);
}

}  // namespace kerfkiln::output
