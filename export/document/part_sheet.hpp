// Flat parts at full size: 1 mm on the part is 1 mm on the paper.
#pragma once
#include <string>
#include <vector>

#include "export/document/job_info.hpp"
#include "export/document/print_scale.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

inline constexpr double kTileMarginMm = 10, kTileOverlapMm = 10;  // common practice

// Pages side by side: n = 1 if W <= p, else 1 + ceil((W - p) / (p - o)), p the printable size, o the overlap.
int tile_count(double drawing_mm, double printable_mm, double overlap_mm);
struct TileGrid {
  int columns = 1, rows = 1;
  PageSize page;  // turned the way that needs fewer pages
  PageSize printable;
};
TileGrid tile_grid(double width_mm, double height_mm, Paper);

// The sheets of one part. Paper::sheet: one page as large as the part. A4 or Letter: one page where the part and its
// title fit, else a first page (title, page map, check square) and the tiles, row by row. Every page carries the title
// line; nothing but the part's own lines and the registration crosses stands inside the part's bounds. A printer that
// draws the check square wrong is made up for on every page, and every page says so.
Drawing part_sheet(const JobInfo&, const product::Product&, const product::FlatPart&, Paper, const PrintScale& = {});

}  // namespace kerfkiln::output
