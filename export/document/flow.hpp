// Blocks laid down one under the other, with page breaks where they are harmless.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "export/drawing/canvas.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::output {

// The house colours: ink on white, fired brick for what leads the eye, warm grey for grounds.
namespace ink {
inline constexpr product::Colour kText{0.1, 0.1, 0.12}, kQuiet{0.40, 0.39, 0.38}, kBrick{0.60, 0.25, 0.14},
    kRule{0.70, 0.68, 0.66}, kHair{0.86, 0.85, 0.83}, kGround{0.958, 0.948, 0.93}, kWhite{1, 1, 1};
}

using Draw = std::function<void(Canvas&, Vec2 corner)>;

struct TableStyle {
  double text_mm = 3.1;
  double keep_whole_mm = 70;   // a table no longer than this is not split
  double most_stretch_mm = 9;  // by which a column may outgrow its widest word or number when there is room
};

class Flow {
 public:
  // `top` and `bottom` are the margins that hold title block and foot.
  Flow(PageSize, double left_mm, double right_mm, double top_mm, double bottom_mm);
  double width() const { return size_.width_mm - left_ - right_; }
  double room() const { return size_.height_mm - bottom_ - y_; }  // left on this page
  bool fresh() const { return fresh_; }                           // nothing on this page yet

  void new_page();        // no effect on a fresh page
  void space(double mm);  // swallowed at the top of a page
  void need(double mm);   // a new page if less is left
  void block(double height_mm, Draw);

  // A title that never stands alone: `follows_mm` of what comes next goes with it.
  void heading(const std::string&, double follows_mm);
  void paragraph(const std::string&, const TextStyle&, double indent_mm = 0);
  // Rows stay whole, the head comes again on each page, the title stays with at least two rows.
  void table(const product::Table&, const TableStyle& = {});
  double table_height(const product::Table&, const TableStyle& = {}) const;  // with its title, on one page

  // Pages with what was laid on them; `frame` draws title block and foot on each, told page and count.
  std::vector<Page> pages(std::function<void(Canvas&, int page, int count)> frame) const;

 private:
  struct Placed {
    Vec2 corner;
    Draw draw;
  };
  PageSize size_;
  double left_, right_, top_, bottom_, y_;
  bool fresh_ = true;
  std::vector<std::vector<Placed>> pages_;
};

TextStyle text_style(double height_mm, bool bold = false, product::Colour = ink::kText);
double line_height(double text_mm);  // from baseline to baseline
// Draws lines under each other, the first with its capitals just below `top`; returns the height taken.
double draw_lines(Canvas&, Vec2 top, const std::vector<std::string>&, const TextStyle&);

}  // namespace kerfkiln::output
