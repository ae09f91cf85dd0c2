// Paper: pages in millimetres, origin at the top left, y down, drawn by one routine for PDF, SVG and PNG.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/product/sketch.hpp"

namespace kerfkiln::output {

enum class Paper { a4, letter, sheet };  // sheet: one page as large as the drawing
struct PageSize {
  double width_mm, height_mm;
};
PageSize page_size(Paper, bool landscape = false);

struct TextStyle {
  double height_mm = 3.2;  // of the font's em square
  bool bold = false;
  product::Colour colour{0.1, 0.1, 0.12};
  double turn_rad = 0;  // counter-clockwise as the reader sees it
  product::Anchor anchor = product::Anchor::left;
};
struct LineStyle {
  double width_mm = 0.25;
  product::Colour colour{0.1, 0.1, 0.12};
  std::vector<double> dashes_mm;
};

// Of one line of text, and of text broken at words (in a word only where it alone is wider) to fit width_mm: the very
// numbers the canvas draws with, so that layout needs no canvas. Any thread.
double text_width(const std::string&, const TextStyle&);
std::vector<std::string> wrapped(const std::string&, double width_mm, const TextStyle&);

// What a document draws on. All lengths mm on paper. Implemented by cairo/pango in canvas.cpp.
class Canvas {
 public:
  virtual ~Canvas() = default;
  virtual PageSize size() const = 0;
  virtual void line(Vec2 a, Vec2 b, const LineStyle&) = 0;
  // Bulge arcs stay arcs as far as the format has them.
  virtual void path(const plane::Loop&, bool closed, const LineStyle&) = 0;
  virtual void fill(const plane::Outline&, product::Colour, product::Hatch = product::Hatch::none) = 0;
  virtual void rectangle(Vec2 corner, double w, double h, const LineStyle&) = 0;
  virtual void fill_rectangle(Vec2 corner, double w, double h, product::Colour) = 0;
  virtual void text(Vec2 baseline, const std::string&, const TextStyle&) = 0;
  virtual double text_width(const std::string&, const TextStyle&) = 0;
  // Breaks at words to fit width; returns the lines.
  virtual std::vector<std::string> wrapped(const std::string&, double width_mm, const TextStyle&) = 0;
  // An RGB picture, row-major, 3 bytes a pixel.
  virtual void picture(Vec2 corner, double w, double h, const std::vector<unsigned char>& rgb, int pixels_wide,
                       int pixels_high) = 0;
  virtual void clip(Vec2 corner, double w, double h) = 0;  // until the matching unclip
  virtual void unclip() = 0;
};

// A page is a size and a routine that draws it; a drawing is pages. The same drawing goes to every format.
// `draw` owns all it draws and may be called any number of times from any thread.
struct Page {
  PageSize size;
  std::function<void(Canvas&)> draw;
  // What is drawn is made larger by these about the middle of the page, for a printer that draws it smaller.
  double stretch_x = 1, stretch_y = 1;
};
struct Drawing {
  std::string title;
  std::string keywords;
  std::string date;  // "2031-04-02", the order's: stamped into the PDF instead of the clock; empty: a fixed day
  std::vector<Page> pages;
};
// Any thread. Fail with "drawing.size" (no page, or a page no format can hold) or "drawing.failed". A PDF asks viewers
// to print at actual size (ISO 32000-1, table 150, PrintScaling).
Result<std::string> pdf_bytes(const Drawing&);                     // deterministic
Result<std::string> svg_bytes(const Page&);                        // deterministic
Result<std::string> png_bytes(const Page&, double pixels_per_mm);  // RGB
Result<std::vector<unsigned char>> rgba_pixels(const Page&, double pixels_per_mm, int& wide,
                                               int& high);  // for the viewer

}  // namespace kerfkiln::output
