#include "export/document/part_sheet.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "export/document/flow.hpp"
#include "export/document/part_title.hpp"
#include "export/document/scale_bars.hpp"
#include "export/drawing/sketch_painter.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {

using product::FlatPart;

namespace {

constexpr double kGapMm = 6;               // between the part and its title
constexpr double kSheetMarginMm = 12;      // of a page as large as the part
constexpr double kLeastSheetHighMm = 140;  // room for the upright scale bar
// Words in the margins of tiles: as near the drawing as they can be, for printers that spare 4.2 mm of each edge.
constexpr double kTitleBaseMm = 9.1, kFootBaseMm = 5.2;

// All that the pages of one part share.
struct Part {
  product::Sketch sketch;
  PartTitle title;
  SketchStyle style;
  plane::Box box;  // of the drawing at 1:1
  PrintScale print;
};
using Shared = std::shared_ptr<const Part>;

Shared share(const JobInfo& info, const product::Product& piece, const FlatPart& part, const PrintScale& print) {
  auto p = std::make_shared<Part>();
  p->sketch = part.sketch;
  p->title = part_title(info, piece, part);
  p->print = print;
  if (print.corrects()) p->title.state.push_back("for a printer that draws 100 mm as " + print_reading(print));
  p->style.plates = false;
  if (info.units == job::Units::inch) p->style.length = inch_text;
  p->box = sketch_bounds(p->sketch, 1, p->style);
  return p;
}

std::string tile_name(int row, int column) {
  std::string letters;
  for (int r = row; r >= 0; r = r / 26 - 1) letters.insert(letters.begin(), static_cast<char>('A' + r % 26));
  return letters + std::to_string(column + 1);
}

// One page: the part, its title strip below, an upright scale bar in the left margin.
Page one_page(const Shared& part, PageSize size, double margin) {
  return {size, [part, size, margin](Canvas& canvas) {
            const double width = size.width_mm - 2 * margin;
            const double strip = title_strip_height(part->title, width);
            const double top = size.height_mm - margin - strip;
            const double room = top - kGapMm - margin;
            const Vec2 corner{margin + (width - part->box.width()) / 2, margin + (room - part->box.depth()) / 2};
            paint(canvas, part->sketch, {corner - part->box.low, 1}, part->style);
            draw_title_strip(canvas, {margin, top}, width, part->title, "page 1 of 1");
            draw_upright_mm_bar(canvas, {margin - 5, size.height_mm - margin - 104}, 100);
          }};
}

Page sheet_page(const Shared& part) {
  const double width = std::max(part->box.width(), kLeastStripMm);
  const double high = part->box.depth() + kGapMm + title_strip_height(part->title, width) + 2 * kSheetMarginMm;
  return one_page(part, {width + 2 * kSheetMarginMm, std::max(high, kLeastSheetHighMm)}, kSheetMarginMm);
}

bool fits_one_page(const Shared& part, PageSize size) {
  const double width = size.width_mm - 2 * kTileMarginMm;
  const double room = size.height_mm - 2 * kTileMarginMm - kGapMm - title_strip_height(part->title, width);
  return part->box.width() <= width && part->box.depth() <= room;
}

// Where the drawing's top left corner stands in the joined area of all tiles: in the middle of it, but for an even
// number of tiles a little off it, so that no seam runs along the centre line of the part.
Vec2 offset_in(const TileGrid& grid, const Part& part) {
  const auto place = [](int tiles, double printable, double drawing) {
    const double slack = printable + (tiles - 1) * (printable - kTileOverlapMm) - drawing;
    return tiles % 2 == 0 ? std::max(0.0, slack / 2 - 12) : slack / 2;
  };
  return {place(grid.columns, grid.printable.width_mm, part.box.width()),
          place(grid.rows, grid.printable.height_mm, part.box.depth())};
}

void draw_cross(Canvas& canvas, Vec2 at) {
  const LineStyle thin{0.15, ink::kText, {}};
  canvas.line({at.x - 4, at.y}, {at.x + 4, at.y}, thin);
  canvas.line({at.x, at.y - 4}, {at.x, at.y + 4}, thin);
  canvas.path({{{at.x - 2, at.y}, 1, -1}, {{at.x + 2, at.y}, 1, -1}}, true, thin);
}

// Two lines of title in the upper margin, whatever their length: the letters shrink rather than leave the page.
void draw_tile_title(Canvas& canvas, const TileGrid& grid, const Part& part, const std::string& name,
                     const std::string& page) {
  TextStyle big;
  big.height_mm = 5;
  big.bold = true;
  canvas.text({kTileMarginMm, kTitleBaseMm - 0.4}, name, big);
  const double start = kTileMarginMm + text_width(name, big) + 4;
  TextStyle small;
  small.height_mm = 2.3;
  small.colour = ink::kQuiet;
  const std::string words = part.title.one_line() + "  ·  " + page;
  std::vector<std::string> lines;
  for (int tries = 0; tries < 20; ++tries, small.height_mm *= 0.93) {
    lines = wrapped(words, grid.page.width_mm - kTileMarginMm - start, small);
    if (lines.size() <= 2) break;
  }
  const double above = static_cast<double>(lines.size() - 1) * line_height(small.height_mm) + 1.02 * small.height_mm;
  draw_lines(canvas, {start, kTitleBaseMm - above}, lines, small);
}

Page tile_page(const Shared& part, const TileGrid& grid, int row, int column, const std::string& page) {
  return {grid.page, [part, grid, row, column, page](Canvas& canvas) {
            const double step_x = grid.printable.width_mm - kTileOverlapMm;
            const double step_y = grid.printable.height_mm - kTileOverlapMm;
            const Vec2 corner{kTileMarginMm, kTileMarginMm};
            const Vec2 shift = offset_in(grid, *part) - Vec2{column * step_x, row * step_y};
            canvas.clip(corner, grid.printable.width_mm, grid.printable.height_mm);
            paint(canvas, part->sketch, {corner + shift - part->box.low, 1}, part->style);
            canvas.unclip();
            for (const double x : {kTileOverlapMm / 2, kTileOverlapMm / 2 + step_x})
              for (const double y : {kTileOverlapMm / 2, kTileOverlapMm / 2 + step_y})
                draw_cross(canvas, {corner.x + x, corner.y + y});
            draw_tile_title(canvas, grid, *part, tile_name(row, column), page);
            const double low = grid.page.height_mm - kFootBaseMm;
            TextStyle small;
            small.height_mm = 2.8;
            std::string joins;
            if (column + 1 < grid.columns) joins = "to the right: " + tile_name(row, column + 1);
            if (row + 1 < grid.rows)
              joins += (joins.empty() ? "below: " : "   ·   below: ") + tile_name(row + 1, column);
            canvas.text({kTileMarginMm, low}, joins, small);
            draw_mm_bar(canvas, {grid.page.width_mm - kTileMarginMm - 66, low}, 50);
          }};
}

void draw_page_map(Canvas& canvas, Vec2 corner, double width, double height, const TileGrid& grid, const Part& part) {
  const double step_x = grid.printable.width_mm - kTileOverlapMm, step_y = grid.printable.height_mm - kTileOverlapMm;
  const double wide = grid.columns * step_x + kTileOverlapMm, high = grid.rows * step_y + kTileOverlapMm;
  const double scale = std::min(width / wide, height / high);
  product::Sketch bare = part.sketch;
  bare.labels.clear();
  bare.dimensions.clear();
  const Vec2 at = corner + scale * (offset_in(grid, part) - part.box.low);
  paint(canvas, bare, {at, scale}, part.style);
  TextStyle name;
  name.anchor = product::Anchor::centre;
  name.bold = true;
  name.colour = ink::kBrick;
  name.height_mm = std::clamp(0.22 * scale * std::min(step_x, step_y), 1.6, 6.0);
  for (int r = 0; r < grid.rows; ++r)
    for (int c = 0; c < grid.columns; ++c) {
      const Vec2 cell{corner.x + scale * (kTileOverlapMm / 2 + c * step_x),
                      corner.y + scale * (kTileOverlapMm / 2 + r * step_y)};
      canvas.rectangle(cell, scale * step_x, scale * step_y, {0.2, ink::kBrick, {}});
      canvas.text({cell.x + scale * step_x / 2, cell.y + scale * step_y / 2 + 0.36 * name.height_mm}, tile_name(r, c),
                  name);
    }
}

std::string measure_step(const PrintScale& print) {
  if (print.corrects())
    return "Measure the square: it should now be 100 mm both ways, within 0.5 mm. These pages are for the printer "
           "that drew 100 mm as " +
           print_reading(print) + "; on any other nothing on them is true.";
  return "Measure the square: 100 mm both ways, within 0.5 mm, or the printer scales and nothing on these pages is "
         "true. At 99.2 mm a length of 560 mm comes out " +
         format_number(-printed_error(99.2, 560), 1) + " mm short: write the packet again with what you measured.";
}

Page first_page(const Shared& part, const TileGrid& grid, Paper paper, int pages) {
  const PageSize size = page_size(paper);
  return {
      size, [part, grid, size, pages](Canvas& canvas) {
        const double width = size.width_mm - 2 * kTileMarginMm;
        const double strip = title_strip_height(part->title, width);
        double y = kTileMarginMm;
        draw_title_strip(canvas, {kTileMarginMm, y}, width, part->title, "page 1 of " + std::to_string(pages));
        y += strip + 5;
        draw_check_square(canvas, {kTileMarginMm, y}, 100);
        draw_page_map(canvas, {kTileMarginMm + 106, y}, width - 106, 100, grid, *part);
        y += 108;
        const std::string count = std::to_string(grid.rows * grid.columns);
        const std::vector<std::string> text = {
            "Print all pages at actual size (100 %), never fitted to the page.", measure_step(part->print),
            "Lay the " + count + " pages out as in the map, rows A, B, … from the top, columns 1, 2, … from the left.",
            "Neighbours overlap by 10 mm: trim one along the line between its crosses, lay crosses on crosses, "
            "tape. Start at A1, join each row, then the rows.",
            "Measure across a seam once more before cutting."};
        TextStyle style;
        style.height_mm = 3.6;
        for (std::size_t i = 0; i < text.size(); ++i) {
          TextStyle number = style;
          number.bold = true;
          draw_lines(canvas, {kTileMarginMm, y}, {std::to_string(i + 1)}, number);
          y += draw_lines(canvas, {kTileMarginMm + 8, y}, canvas.wrapped(text[i], width - 8, style), style) + 2;
        }
      }};
}

}  // namespace

int tile_count(double drawing_mm, double printable_mm, double overlap_mm) {
  if (drawing_mm <= printable_mm) return 1;
  // A hair of rounding must not cost a page.
  return 1 + static_cast<int>(std::ceil((drawing_mm - printable_mm) / (printable_mm - overlap_mm) - 1e-9));
}

TileGrid tile_grid(double width_mm, double height_mm, Paper paper) {
  TileGrid best;
  for (const bool landscape : {false, true}) {
    TileGrid g;
    g.page = page_size(paper, landscape);
    g.printable = {g.page.width_mm - 2 * kTileMarginMm, g.page.height_mm - 2 * kTileMarginMm};
    g.columns = tile_count(width_mm, g.printable.width_mm, kTileOverlapMm);
    g.rows = tile_count(height_mm, g.printable.height_mm, kTileOverlapMm);
    if (!landscape || g.columns * g.rows < best.columns * best.rows) best = g;
  }
  return best;
}

namespace {

// The paper's short side runs across the printer, on whichever side the page lies.
void make_up_for(const PrintScale& print, Page& page) {
  const bool turned = page.size.width_mm > page.size.height_mm;
  page.stretch_x = print_factor(turned ? print.along_mm : print.across_mm);
  page.stretch_y = print_factor(turned ? print.across_mm : print.along_mm);
}

Drawing composed(const JobInfo& info, const Shared& part, Paper paper) {
  Drawing drawing;
  drawing.title = part->title.name;
  drawing.keywords = info.order.drawing + " " + info.order.revision + " " + info.hash;
  drawing.date = info.order.date;
  if (paper == Paper::sheet) {
    drawing.pages.push_back(sheet_page(part));
    return drawing;
  }
  for (const bool landscape : {false, true}) {
    const PageSize size = page_size(paper, landscape);
    if (!fits_one_page(part, size)) continue;
    drawing.pages.push_back(one_page(part, size, kTileMarginMm));
    return drawing;
  }
  const TileGrid grid = tile_grid(part->box.width(), part->box.depth(), paper);
  const int pages = 1 + grid.rows * grid.columns;
  drawing.pages.push_back(first_page(part, grid, paper, pages));
  for (int r = 0; r < grid.rows; ++r)
    for (int c = 0; c < grid.columns; ++c) {
      const int number = 2 + r * grid.columns + c;
      drawing.pages.push_back(
          tile_page(part, grid, r, c, "page " + std::to_string(number) + " of " + std::to_string(pages)));
    }
  return drawing;
}

}  // namespace

Drawing part_sheet(const JobInfo& info, const product::Product& piece, const FlatPart& flat, Paper paper,
                   const PrintScale& print) {
  Drawing drawing = composed(info, share(info, piece, flat, print), paper);
  if (print.corrects())
    for (Page& page : drawing.pages) make_up_for(print, page);
  return drawing;
}

}  // namespace kerfkiln::output
