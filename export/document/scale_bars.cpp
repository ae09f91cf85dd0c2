#include "export/document/scale_bars.hpp"

#include <numbers>
#include <string>

#include "export/document/flow.hpp"

namespace kerfkiln::output {

namespace {

const LineStyle kBar{0.3, ink::kText, {}};
const LineStyle kTick{0.2, ink::kText, {}};

TextStyle word() {
  TextStyle s;
  s.height_mm = 2.5;
  return s;
}

}  // namespace

void draw_mm_bar(Canvas& canvas, Vec2 start, int length_mm) {
  canvas.line(start, {start.x + length_mm, start.y}, kBar);
  for (int mm = 0; mm <= length_mm; mm += 10) {
    const double rise = mm % 50 == 0 ? 2.4 : 1.4;
    canvas.line({start.x + mm, start.y}, {start.x + mm, start.y - rise}, kTick);
  }
  canvas.text({start.x + length_mm + 1.5, start.y}, std::to_string(length_mm) + " mm", word());
}

void draw_inch_bar(Canvas& canvas, Vec2 start, int length_in) {
  canvas.line(start, {start.x + 25.4 * length_in, start.y}, kBar);
  for (int half = 0; half <= 2 * length_in; ++half) {
    const double x = start.x + 12.7 * half;
    canvas.line({x, start.y}, {x, start.y - (half % 2 == 0 ? 2.4 : 1.4)}, kTick);
  }
  canvas.text({start.x + 25.4 * length_in + 1.5, start.y}, std::to_string(length_in) + " in", word());
}

void draw_upright_mm_bar(Canvas& canvas, Vec2 top, int length_mm) {
  canvas.line(top, {top.x, top.y + length_mm}, kBar);
  for (int mm = 0; mm <= length_mm; mm += 10)
    canvas.line({top.x, top.y + mm}, {top.x + (mm % 50 == 0 ? 2.4 : 1.4), top.y + mm}, kTick);
  TextStyle s = word();
  s.turn_rad = std::numbers::pi / 2;
  canvas.text({top.x + 2.2, top.y - 1.5}, std::to_string(length_mm) + " mm", s);
}

void draw_check_square(Canvas& canvas, Vec2 corner, double side_mm) {
  canvas.rectangle(corner, side_mm, side_mm, kBar);
  const Vec2 middle{corner.x + side_mm / 2, corner.y + side_mm / 2};
  TextStyle s;
  s.height_mm = 3.4;
  s.anchor = product::Anchor::centre;
  const std::string side = std::to_string(static_cast<int>(side_mm)) + " mm";
  canvas.text({middle.x, corner.y + 6}, side, s);
  canvas.text({middle.x, middle.y + 1}, "measure both ways", s);
  s.turn_rad = std::numbers::pi / 2;
  canvas.text({corner.x + 6, middle.y}, side, s);
}

}  // namespace kerfkiln::output
