// The band at the head of every page: whose work this is, and which state of the design it shows.
#pragma once
#include <string>

#include "export/document/job_info.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

// Nothing is cut off: long words break and the band grows.
double title_block_height(const JobInfo&, double width_mm);
void draw_title_block(Canvas&, Vec2 corner, double width_mm, const JobInfo&, int page, int count);
// One quiet line: program, unit of lengths, what the sheet is.
void draw_foot(Canvas&, Vec2 baseline, double width_mm, const JobInfo&, const std::string& what);

}  // namespace kerfkiln::output
