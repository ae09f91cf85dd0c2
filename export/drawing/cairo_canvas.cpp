#include "export/drawing/cairo_canvas.hpp"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <numbers>

#include "export/drawing/text_shaper.hpp"

namespace kerfkiln::output {

using product::Colour;
using product::Hatch;

namespace {

constexpr double kHatchPitchMm = 2.2;
constexpr double kHatchLineMm = 0.18;

void set_colour(cairo_t* cr, Colour c) { cairo_set_source_rgb(cr, c.r, c.g, c.b); }

// A hatch is read beside its ground: darker on light grounds, lighter on dark ones.
Colour hatch_colour(Colour c) {
  const double light = 0.3 * c.r + 0.59 * c.g + 0.11 * c.b;
  if (light > 0.35) return {0.5 * c.r, 0.5 * c.g, 0.5 * c.b};
  return {0.5 + 0.5 * c.r, 0.5 + 0.5 * c.g, 0.5 + 0.5 * c.b};
}

// Lines x + slope * y = k * pitch * sqrt(2), slope +-1, over the box, on a lattice fixed to the paper.
void slanted_lines(cairo_t* cr, const plane::Box& box, double slope) {
  const double step = kHatchPitchMm * std::numbers::sqrt2;
  const double at_low = box.low.x + std::min(slope * box.low.y, slope * box.high.y);
  const double at_high = box.high.x + std::max(slope * box.low.y, slope * box.high.y);
  for (double k = std::floor(at_low / step); k * step <= at_high; ++k) {
    cairo_move_to(cr, k * step - slope * box.low.y, box.low.y);
    cairo_line_to(cr, k * step - slope * box.high.y, box.high.y);
  }
  cairo_stroke(cr);
}

void dots(cairo_t* cr, const plane::Box& box) {
  const double row = kHatchPitchMm * 0.8;
  for (double j = std::floor(box.low.y / row); j * row <= box.high.y + row; ++j) {
    const double shift = std::fmod(std::abs(j), 2.0) * kHatchPitchMm / 2;
    for (double i = std::floor(box.low.x / kHatchPitchMm) - 1; i * kHatchPitchMm <= box.high.x + kHatchPitchMm; ++i) {
      cairo_new_sub_path(cr);
      cairo_arc(cr, i * kHatchPitchMm + shift, j * row, 0.24, 0, 2 * std::numbers::pi);
    }
  }
  cairo_fill(cr);
}

void waves(cairo_t* cr, const plane::Box& box) {
  const double half = 2.0, rise = 0.55;  // half a wave length, and its height
  for (double j = std::floor(box.low.y / kHatchPitchMm) - 1; j * kHatchPitchMm <= box.high.y + kHatchPitchMm; ++j) {
    const double y = j * kHatchPitchMm;
    double i = 2 * std::floor(box.low.x / (2 * half)) - 2;
    cairo_move_to(cr, i * half, y);
    for (double up = 1; i * half <= box.high.x; ++i, up = -up)
      cairo_curve_to(cr, (i + 0.4) * half, y - up * rise * 1.3, (i + 0.6) * half, y - up * rise * 1.3, (i + 1) * half,
                     y);
  }
  cairo_stroke(cr);
}

}  // namespace

void CairoCanvas::trace(const plane::Loop& loop, bool closed) {
  if (loop.empty()) return;
  cairo_move_to(cr_, loop[0].at.x, loop[0].at.y);
  const std::size_t segments = closed ? loop.size() : loop.size() - 1;
  for (std::size_t i = 0; i < segments; ++i) {
    const plane::Segment s = plane::segment(loop, i);
    if (s.is_line()) {
      if (!closed || i + 1 < segments) cairo_line_to(cr_, s.b.x, s.b.y);
      continue;
    }
    const Vec2 c = s.centre();
    const double from = std::atan2(s.a.y - c.y, s.a.x - c.x), to = from + s.sweep();
    if (s.bulge > 0)
      cairo_arc(cr_, c.x, c.y, s.radius(), from, to);
    else
      cairo_arc_negative(cr_, c.x, c.y, s.radius(), from, to);
  }
  if (closed) cairo_close_path(cr_);
}

void CairoCanvas::stroke(const LineStyle& style) {
  set_colour(cr_, style.colour);
  cairo_set_line_width(cr_, style.width_mm);
  cairo_set_line_join(cr_, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(cr_, CAIRO_LINE_CAP_BUTT);
  cairo_set_dash(cr_, style.dashes_mm.data(), static_cast<int>(style.dashes_mm.size()), 0);
  cairo_stroke(cr_);
  cairo_set_dash(cr_, nullptr, 0, 0);
}

void CairoCanvas::line(Vec2 a, Vec2 b, const LineStyle& style) {
  cairo_new_path(cr_);
  cairo_move_to(cr_, a.x, a.y);
  cairo_line_to(cr_, b.x, b.y);
  stroke(style);
}

void CairoCanvas::path(const plane::Loop& loop, bool closed, const LineStyle& style) {
  cairo_new_path(cr_);
  trace(loop, closed);
  stroke(style);
}

void CairoCanvas::rectangle(Vec2 corner, double w, double h, const LineStyle& style) {
  cairo_new_path(cr_);
  cairo_rectangle(cr_, corner.x, corner.y, w, h);
  stroke(style);
}

void CairoCanvas::fill_rectangle(Vec2 corner, double w, double h, Colour colour) {
  cairo_new_path(cr_);
  cairo_rectangle(cr_, corner.x, corner.y, w, h);
  set_colour(cr_, colour);
  cairo_fill(cr_);
}

void CairoCanvas::fill(const plane::Outline& area, Colour colour, Hatch pattern) {
  if (area.outer.empty()) return;
  cairo_save(cr_);
  cairo_new_path(cr_);
  trace(area.outer, true);
  for (const plane::Loop& hole : area.holes) trace(hole, true);
  cairo_set_fill_rule(cr_, CAIRO_FILL_RULE_EVEN_ODD);
  set_colour(cr_, colour);
  if (pattern == Hatch::none) {
    cairo_fill(cr_);
  } else {
    cairo_fill_preserve(cr_);
    cairo_clip(cr_);
    hatch(plane::bounds(area.outer), colour, pattern);
  }
  cairo_restore(cr_);
}

void CairoCanvas::hatch(const plane::Box& box, Colour colour, Hatch pattern) {
  set_colour(cr_, hatch_colour(colour));
  cairo_set_line_width(cr_, kHatchLineMm);
  cairo_new_path(cr_);
  switch (pattern) {
    case Hatch::none:
      break;
    case Hatch::lines:
      slanted_lines(cr_, box, 1);
      break;
    case Hatch::cross:
      slanted_lines(cr_, box, 1);
      slanted_lines(cr_, box, -1);
      break;
    case Hatch::dots:
      dots(cr_, box);
      break;
    case Hatch::waves:
      waves(cr_, box);
      break;
  }
}

void CairoCanvas::text(Vec2 baseline, const std::string& words, const TextStyle& style) {
  if (words.empty()) return;
  PangoLayout* layout = TextShaper::of_this_thread().layout(words, style);
  double shift = 0;
  if (style.anchor != product::Anchor::left) {
    PangoRectangle logical;
    pango_layout_get_extents(layout, nullptr, &logical);
    const double width = static_cast<double>(logical.width) / PANGO_SCALE;
    shift = style.anchor == product::Anchor::centre ? width / 2 : width;
  }
  cairo_save(cr_);
  set_colour(cr_, style.colour);
  cairo_translate(cr_, baseline.x, baseline.y);
  if (style.turn_rad != 0) cairo_rotate(cr_, -style.turn_rad);
  cairo_move_to(cr_, -shift, 0);
  pango_cairo_show_layout_line(cr_, pango_layout_get_line_readonly(layout, 0));
  cairo_restore(cr_);
}

double CairoCanvas::text_width(const std::string& words, const TextStyle& style) {
  return output::text_width(words, style);
}

std::vector<std::string> CairoCanvas::wrapped(const std::string& words, double width_mm, const TextStyle& style) {
  return output::wrapped(words, width_mm, style);
}

void CairoCanvas::picture(Vec2 corner, double w, double h, const std::vector<unsigned char>& rgb, int pixels_wide,
                          int pixels_high) {
  if (pixels_wide <= 0 || pixels_high <= 0) return;
  const std::size_t columns = static_cast<std::size_t>(pixels_wide), rows = static_cast<std::size_t>(pixels_high);
  if (rgb.size() < 3 * columns * rows) return;
  cairo_surface_t* image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels_wide, pixels_high);
  unsigned char* data = cairo_image_surface_get_data(image);
  const std::size_t stride = static_cast<std::size_t>(cairo_image_surface_get_stride(image));
  for (std::size_t y = 0; y < rows; ++y) {
    const unsigned char* from = &rgb[3 * columns * y];
    for (std::size_t x = 0; x < columns; ++x, from += 3) {
      const std::uint32_t pixel = std::uint32_t{0xff000000} | static_cast<std::uint32_t>(from[0]) << 16 |
                                  static_cast<std::uint32_t>(from[1]) << 8 | static_cast<std::uint32_t>(from[2]);
      std::memcpy(data + y * stride + 4 * x, &pixel, 4);
    }
  }
  cairo_surface_mark_dirty(image);
  cairo_save(cr_);
  cairo_translate(cr_, corner.x, corner.y);
  cairo_scale(cr_, w / pixels_wide, h / pixels_high);
  cairo_set_source_surface(cr_, image, 0, 0);
  cairo_pattern_set_filter(cairo_get_source(cr_), CAIRO_FILTER_GOOD);
  cairo_rectangle(cr_, 0, 0, pixels_wide, pixels_high);
  cairo_fill(cr_);
  cairo_restore(cr_);
  cairo_surface_destroy(image);
}

void CairoCanvas::clip(Vec2 corner, double w, double h) {
  cairo_save(cr_);
  cairo_new_path(cr_);
  cairo_rectangle(cr_, corner.x, corner.y, w, h);
  cairo_clip(cr_);
}

void CairoCanvas::unclip() { cairo_restore(cr_); }

}  // namespace kerfkiln::output
