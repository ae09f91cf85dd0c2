// The canvas on a cairo context whose user space is already millimetres; for canvas.cpp only.
#pragma once
#include "export/drawing/canvas.hpp"

typedef struct _cairo cairo_t;

namespace kerfkiln::output {

class CairoCanvas final : public Canvas {
 public:
  CairoCanvas(cairo_t* context, PageSize size) : cr_(context), size_(size) {}
  PageSize size() const override { return size_; }
  void line(Vec2 a, Vec2 b, const LineStyle&) override;
  void path(const plane::Loop&, bool closed, const LineStyle&) override;
  void fill(const plane::Outline&, product::Colour, product::Hatch) override;
  void rectangle(Vec2 corner, double w, double h, const LineStyle&) override;
  void fill_rectangle(Vec2 corner, double w, double h, product::Colour) override;
  void text(Vec2 baseline, const std::string&, const TextStyle&) override;
  double text_width(const std::string&, const TextStyle&) override;
  std::vector<std::string> wrapped(const std::string&, double width_mm, const TextStyle&) override;
  void picture(Vec2 corner, double w, double h, const std::vector<unsigned char>& rgb, int pixels_wide,
               int pixels_high) override;
  void clip(Vec2 corner, double w, double h) override;
  void unclip() override;

 private:
  void trace(const plane::Loop&, bool closed);
  void stroke(const LineStyle&);
  void hatch(const plane::Box&, product::Colour, product::Hatch);

  cairo_t* cr_;
  PageSize size_;
};

}  // namespace kerfkiln::output
