#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>

#include "export/drawing/text_shaper.hpp"

namespace kerfkiln::output {

namespace {
// Line feeds would open a second line where the caller asked for one.
std::string printable(const std::string& text) {
  char* valid = g_utf8_make_valid(text.c_str(), static_cast<gssize>(text.size()));
  std::string out = valid;
  g_free(valid);
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 0x20) c = ' ';
  return out;
}
}  // namespace

TextShaper::TextShaper() {
  PangoFontMap* map = pango_cairo_font_map_new();
  context_ = pango_font_map_create_context(map);
  g_object_unref(map);  // the context holds it
  // In millimetres hinted metrics and rounded positions would move letters by whole units: PDF readers then see gaps
  // inside words.
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context_, options);
  cairo_font_options_destroy(options);
  pango_context_set_round_glyph_positions(context_, FALSE);
  pango_context_set_language(context_, pango_language_from_string("en"));
  layout_ = pango_layout_new(context_);
  pango_layout_context_changed(layout_);
}

TextShaper::~TextShaper() {
  g_object_unref(layout_);
  g_object_unref(context_);
}

TextShaper& TextShaper::of_this_thread() {
  thread_local TextShaper shaper;
  return shaper;
}

PangoLayout* TextShaper::layout(const std::string& text, const TextStyle& style, double width_mm) {
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family_static(font, "DejaVu Sans");
  pango_font_description_set_weight(font, style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font, std::round(style.height_mm * PANGO_SCALE));
  pango_layout_set_font_description(layout_, font);
  pango_font_description_free(font);
  pango_layout_set_wrap(layout_, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_width(layout_, width_mm < 0 ? -1 : static_cast<int>(std::ceil(width_mm * PANGO_SCALE)));
  const std::string clean = printable(text);
  pango_layout_set_text(layout_, clean.c_str(), static_cast<int>(clean.size()));
  return layout_;
}

double text_width(const std::string& text, const TextStyle& style) {
  if (text.empty()) return 0;
  PangoRectangle logical;
  pango_layout_get_extents(TextShaper::of_this_thread().layout(text, style), nullptr, &logical);
  return static_cast<double>(logical.width) / PANGO_SCALE;
}

std::vector<std::string> wrapped(const std::string& text, double width_mm, const TextStyle& style) {
  std::vector<std::string> lines;
  std::size_t start = 0;
  while (start <= text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    PangoLayout* layout = TextShaper::of_this_thread().layout(text.substr(start, end - start), style,
                                                              std::max(width_mm, style.height_mm));
    const std::string laid_out = pango_layout_get_text(layout);
    for (int i = 0; i < pango_layout_get_line_count(layout); ++i) {
      const PangoLayoutLine* line = pango_layout_get_line_readonly(layout, i);
      std::string part =
          laid_out.substr(static_cast<std::size_t>(line->start_index), static_cast<std::size_t>(line->length));
      while (!part.empty() && part.back() == ' ') part.pop_back();
      lines.push_back(std::move(part));
    }
    start = end + 1;
  }
  return lines;
}

}  // namespace kerfkiln::output
