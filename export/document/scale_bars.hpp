// Bars and squares to lay a rule on before anything is cut.
#pragma once
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

// From `start` to the right, ticks every 10 mm (inch: every 1/2 in), the length written beside its far end.
void draw_mm_bar(Canvas&, Vec2 start, int length_mm);
void draw_inch_bar(Canvas&, Vec2 start, int length_in);
void draw_upright_mm_bar(Canvas&, Vec2 top, int length_mm);  // downwards
void draw_check_square(Canvas&, Vec2 corner, double side_mm);

}  // namespace kerfkiln::output
