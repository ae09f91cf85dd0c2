// Rectangles cut from sheets by straight cuts right through (guillotine cuts), each turned a quarter if that helps.
// Lengths in mm.
#pragma once
#include <span>
#include <vector>

namespace kerfkiln::stock {

struct Sheet {
  double width = 0, length = 0;
};
struct Part {
  double width = 0, depth = 0;
  int count = 1;
};

// Equal parts in rows and columns: floor((length + kerf) / (a + kerf)) floor((width + kerf) / (b + kerf)).
// as_given: part width along the sheet's length; turned: along its width (reference part 10).
struct GridCount {
  int as_given = 0, turned = 0;
  int best() const { return as_given > turned ? as_given : turned; }
};
GridCount grid_count(Sheet, double width, double depth, double kerf);

struct Placed {
  std::size_t part = 0;  // index into the parts
  double x = 0, y = 0;   // lower left corner; x along the sheet's length
  double wide = 0, high = 0;
};
struct Offcut {
  double x = 0, y = 0, wide = 0, high = 0;
};
struct CutSheet {
  std::vector<Placed> parts;
  std::vector<Offcut> offcuts;
  int times = 1;  // how many sheets are cut alike
};
struct SheetPlan {
  std::vector<CutSheet> sheets;
  std::vector<std::size_t> too_large;  // parts that fit no sheet
  double used_mm2 = 0;                 // area of all parts that were placed
  int count() const {
    int n = 0;
    for (const CutSheet& s : sheets) n += s.times;
    return n;
  }
  double utilisation(Sheet s) const { return count() > 0 ? used_mm2 / (count() * s.width * s.length) : 0; }
};

// As few sheets as the best of some hundred greedy layouts needs; never more than rows and columns of each part by
// itself. Deterministic. More than kMostPlaced parts are laid out kind by kind, in rows and columns.
inline constexpr int kMostPlaced = 600;
SheetPlan plan_sheets(std::span<const Part>, Sheet, double kerf);

}  // namespace kerfkiln::stock
