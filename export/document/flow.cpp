#include "export/document/flow.hpp"

#include <algorithm>
#include <memory>
#include <utility>

namespace kerfkiln::output {

namespace {

constexpr double kCellPadX = 1.8, kCellPadY = 1.1;
constexpr double kHeadingSpaceMm = 5;

struct TableLayout {
  std::vector<double> widths;
  std::vector<bool> numeric;
  TextStyle text, head;
  std::vector<std::vector<std::string>> head_cells;              // column, line
  std::vector<std::vector<std::vector<std::string>>> row_cells;  // row, column, line
  double head_height = 0;
  std::vector<double> row_heights;
  double width = 0;
};

double longest_word(const std::string& text, const TextStyle& style) {
  double most = 0;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find_first_of(" \n", start), text.size());
    most = std::max(most, text_width(text.substr(start, end - start), style));
    start = end + 1;
  }
  return most;
}

// Every column gets its longest word; what is left goes by how much text a column holds in all, and no column gets more
// than its longest cell needs. Spare width is spread thinly.
std::vector<double> column_widths(const product::Table& table, const TextStyle& text, const TextStyle& head,
                                  double width, double most_stretch) {
  const std::size_t n = table.columns.size();
  std::vector<double> least(n), wish(n), text_in_all(n);
  for (std::size_t c = 0; c < n; ++c) {
    least[c] = longest_word(table.columns[c], head);
    wish[c] = text_width(table.columns[c], head);
    for (const auto& row : table.rows) {
      if (c >= row.size()) continue;
      least[c] = std::max(least[c], longest_word(row[c], text));
      const double cell = text_width(row[c], text);
      wish[c] = std::max(wish[c], cell);
      text_in_all[c] += cell;
    }
    least[c] = std::min(least[c], 0.34 * width) + 2 * kCellPadX + 0.1;
    wish[c] = std::max(wish[c] + 2 * kCellPadX + 0.1, least[c]);
  }
  double sum_least = 0, sum_wish = 0;
  for (std::size_t c = 0; c < n; ++c) {
    sum_least += least[c];
    sum_wish += wish[c];
  }
  std::vector<double> out(n);
  if (sum_wish <= width || sum_least > width) {
    for (std::size_t c = 0; c < n; ++c)
      out[c] = sum_wish <= width ? wish[c] + std::min(most_stretch, (width - sum_wish) / static_cast<double>(n))
                                 : width * least[c] / sum_least;
    return out;
  }
  out = least;
  double left = width - sum_least;
  for (std::size_t round = 0; round < n && left > 1e-6; ++round) {
    double text_waiting = 0;
    for (std::size_t c = 0; c < n; ++c)
      if (out[c] < wish[c] - 1e-9) text_waiting += text_in_all[c];
    const double spread = left;
    for (std::size_t c = 0; c < n; ++c) {
      if (!(out[c] < wish[c] - 1e-9) || text_waiting <= 0) continue;
      const double more = std::min(wish[c] - out[c], spread * text_in_all[c] / text_waiting);
      out[c] += more;
      left -= more;
    }
  }
  return out;
}

double height_of(const std::vector<std::vector<std::string>>& cells, double text_mm) {
  std::size_t lines = 1;
  for (const auto& cell : cells) lines = std::max(lines, cell.size());
  return static_cast<double>(lines) * line_height(text_mm) + 2 * kCellPadY;
}

std::shared_ptr<const TableLayout> lay_out(const product::Table& table, const TableStyle& style, double width) {
  auto t = std::make_shared<TableLayout>();
  t->text.height_mm = style.text_mm;
  t->head.height_mm = style.text_mm * 0.9;
  t->head.bold = true;
  t->head.colour = ink::kQuiet;
  t->widths = column_widths(table, t->text, t->head, width, style.most_stretch_mm);
  t->numeric.assign(table.columns.size(), false);
  for (std::size_t c = 0; c < table.columns.size() && c < table.numeric.size(); ++c) t->numeric[c] = table.numeric[c];
  for (const double w : t->widths) t->width += w;
  const auto cell = [&](const std::string& words, std::size_t c, const TextStyle& s) {
    return wrapped(words, t->widths[c] - 2 * kCellPadX, s);
  };
  for (std::size_t c = 0; c < table.columns.size(); ++c) t->head_cells.push_back(cell(table.columns[c], c, t->head));
  t->head_height = height_of(t->head_cells, t->head.height_mm);
  for (const auto& row : table.rows) {
    std::vector<std::vector<std::string>> cells;
    for (std::size_t c = 0; c < table.columns.size(); ++c)
      cells.push_back(cell(c < row.size() ? row[c] : std::string(), c, t->text));
    t->row_heights.push_back(height_of(cells, style.text_mm));
    t->row_cells.push_back(std::move(cells));
  }
  return t;
}

void draw_cells(Canvas& canvas, Vec2 corner, const TableLayout& t, const std::vector<std::vector<std::string>>& cells,
                TextStyle style) {
  double x = corner.x;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    style.anchor = t.numeric[c] ? product::Anchor::right : product::Anchor::left;
    const double at = t.numeric[c] ? x + t.widths[c] - kCellPadX : x + kCellPadX;
    draw_lines(canvas, {at, corner.y + kCellPadY}, cells[c], style);
    x += t.widths[c];
  }
}

TextStyle heading_style() { return text_style(4.6, true); }
double heading_height(std::size_t lines) {
  return static_cast<double>(lines) * line_height(heading_style().height_mm) + 3;
}

}  // namespace

TextStyle text_style(double height_mm, bool bold, product::Colour colour) {
  TextStyle style;
  style.height_mm = height_mm;
  style.bold = bold;
  style.colour = colour;
  return style;
}

double line_height(double text_mm) { return 1.36 * text_mm; }

double draw_lines(Canvas& canvas, Vec2 top, const std::vector<std::string>& lines, const TextStyle& style) {
  double y = top.y + 1.02 * style.height_mm;
  for (const std::string& line : lines) {
    canvas.text({top.x, y}, line, style);
    y += line_height(style.height_mm);
  }
  return static_cast<double>(lines.size()) * line_height(style.height_mm);
}

Flow::Flow(PageSize size, double left_mm, double right_mm, double top_mm, double bottom_mm)
    : size_(size), left_(left_mm), right_(right_mm), top_(top_mm), bottom_(bottom_mm), y_(top_mm) {
  pages_.emplace_back();
}

void Flow::new_page() {
  if (fresh_) return;
  pages_.emplace_back();
  y_ = top_;
  fresh_ = true;
}

void Flow::space(double mm) {
  if (!fresh_) y_ += mm;
}

void Flow::need(double mm) {
  if (room() < mm) new_page();
}

void Flow::block(double height_mm, Draw draw) {
  need(height_mm);
  pages_.back().push_back({{left_, y_}, std::move(draw)});
  y_ += height_mm;
  fresh_ = false;
}

void Flow::heading(const std::string& title, double follows_mm) {
  const TextStyle style = heading_style();
  const auto lines = wrapped(title, width() - 5, style);
  const double height = heading_height(lines.size());
  space(kHeadingSpaceMm);
  need(height + follows_mm);
  const double across = width();
  block(height, [lines, style, height, across](Canvas& canvas, Vec2 corner) {
    canvas.fill_rectangle({corner.x, corner.y + 0.9}, 1.6, height - 3.4, ink::kBrick);
    draw_lines(canvas, {corner.x + 4, corner.y}, lines, style);
    canvas.line({corner.x, corner.y + height - 1.8}, {corner.x + across, corner.y + height - 1.8},
                {0.2, ink::kRule, {}});
  });
}

void Flow::paragraph(const std::string& words, const TextStyle& style, double indent_mm) {
  for (const std::string& line : wrapped(words, width() - indent_mm, style))
    block(line_height(style.height_mm), [line, style, indent_mm](Canvas& canvas, Vec2 corner) {
      draw_lines(canvas, {corner.x + indent_mm, corner.y}, {line}, style);
    });
}

double Flow::table_height(const product::Table& table, const TableStyle& style) const {
  const std::shared_ptr<const TableLayout> t = lay_out(table, style, width());
  double height = t->head_height;
  for (const double row : t->row_heights) height += row;
  if (table.title.empty()) return height;
  return height + kHeadingSpaceMm + heading_height(wrapped(table.title, width() - 5, heading_style()).size());
}

void Flow::table(const product::Table& table, const TableStyle& style) {
  if (table.columns.empty()) return;
  const std::shared_ptr<const TableLayout> t = lay_out(table, style, width());
  const auto head = [&] {
    block(t->head_height, [t](Canvas& canvas, Vec2 corner) {
      draw_cells(canvas, corner, *t, t->head_cells, t->head);
      const double y = corner.y + t->head_height;
      canvas.line({corner.x, y}, {corner.x + t->width, y}, {0.35, ink::kText, {}});
    });
  };
  const std::size_t rows = t->row_heights.size();
  double whole = t->head_height, first = t->head_height;
  for (std::size_t r = 0; r < rows; ++r) {
    whole += t->row_heights[r];
    if (r < 2) first += t->row_heights[r];
  }
  if (whole <= style.keep_whole_mm) first = whole;
  if (table.title.empty())
    need(first);
  else
    heading(table.title, first);
  head();
  for (std::size_t r = 0; r < t->row_cells.size(); ++r) {
    // The last row takes the one before it along.
    const double wanted = t->row_heights[r] + (r + 2 == rows && r > 0 ? t->row_heights[r + 1] : 0);
    if (room() < wanted && !fresh()) {
      new_page();
      if (!table.title.empty()) {
        TextStyle again;
        again.height_mm = 3.1;
        again.colour = ink::kQuiet;
        paragraph(table.title + " (continued)", again);
      }
      head();
    }
    block(t->row_heights[r], [t, r](Canvas& canvas, Vec2 corner) {
      draw_cells(canvas, corner, *t, t->row_cells[r], t->text);
      const double y = corner.y + t->row_heights[r];
      canvas.line({corner.x, y}, {corner.x + t->width, y}, {0.13, ink::kHair, {}});
    });
  }
}

std::vector<Page> Flow::pages(std::function<void(Canvas&, int page, int count)> frame) const {
  std::vector<Page> out;
  const int count = static_cast<int>(pages_.size());
  const auto shared = std::make_shared<const std::function<void(Canvas&, int, int)>>(std::move(frame));
  for (int i = 0; i < count; ++i) {
    auto placed = std::make_shared<const std::vector<Placed>>(pages_[static_cast<std::size_t>(i)]);
    out.push_back({size_, [placed, shared, i, count](Canvas& canvas) {
                     (*shared)(canvas, i + 1, count);
                     for (const Placed& p : *placed) p.draw(canvas, p.corner);
                   }});
  }
  return out;
}

}  // namespace kerfkiln::output
