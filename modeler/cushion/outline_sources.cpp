#include "modeler/cushion/outline_sources.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/frame.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/corners.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/product/lengths.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kDisagreeMm = 2, kSquareDegrees = 0.5;  // what a tape and a steady hand reach; common practice
constexpr double kDegrees = 180 / std::numbers::pi;

std::string degrees_text(double rad) { return number_text(rad * kDegrees) + " degrees"; }

product::Table frame_table(const FrameMeasures& m, const FrameFit& fit) {
  product::Table t;
  t.id = "frame";
  t.title = "Measured frame: least-squares fit, mm";
  t.columns = {"measure", "measured", "fitted", "difference"};
  t.numeric = {false, true, true, true};
  const auto bare = [](double mm) { return product::bare_length(number_text(mm)); };
  for (std::size_t i = 0; i < m.size(); ++i)
    t.rows.push_back({kFrameMeasureNames[i], bare(m[i]), bare(m[i] + fit.residual[i]), bare(fit.residual[i])});
  constexpr std::array<const char*, 4> kCorners{"corner front left", "corner front right", "corner back right",
                                                "corner back left"};
  for (std::size_t i = 0; i < 4; ++i)
    t.rows.push_back({kCorners[i], "", number_text(fit.angle_rad[i] * kDegrees) + " degrees",
                      number_text(fit.angle_rad[i] * kDegrees - 90) + " off square"});
  t.rows.push_back(
      {"out of square at most", "", number_text(fit.out_of_square_mm) + " mm", degrees_text(fit.out_of_square_rad)});
  return t;
}

void judge(const FrameFit& fit, Findings& out) {
  if (fit.worst_mm > kDisagreeMm)
    out.push_back(warning("frame.residual", "outline/frame",
                          "sides and diagonals disagree: the best fit is up to " + mm_text(fit.worst_mm) +
                              " off a measure; up to " + mm_text(kDisagreeMm) +
                              " is usual. Which measure is wrong cannot be told from these six",
                          "measure again, first the diagonals, all to the same corners"));
  if (fit.out_of_square_rad * kDegrees > kSquareDegrees)
    out.push_back(note("frame.square", "outline/frame",
                       "the frame is out of square by " + degrees_text(fit.out_of_square_rad) + ", " +
                           mm_text(fit.out_of_square_mm) + " over the shorter side; the outline follows it",
                       "nothing to do if the frame is meant so; else check the measures"));
}

}  // namespace

Result<SourcedOutline> frame_outline(const FrameSpec& f) {
  const std::string path = "outline/frame";
  const FrameMeasures m{f.front.value, f.right.value,    f.back.value,
                        f.left.value,  f.diagonal.value, f.other_diagonal.value};
  constexpr std::array<const char*, 6> kPaths{"/front", "/right", "/back", "/left", "/diagonals/0", "/diagonals/1"};
  Findings out;
  for (std::size_t i = 0; i < m.size(); ++i)
    if (!(m[i] >= kSmallestSizeMm && m[i] <= kLargestSizeMm))
      out.push_back(error("frame.size", path + kPaths[i],
                          std::string(kFrameMeasureNames[i]) + " is " + (std::isnan(m[i]) ? "missing" : mm_text(m[i])) +
                              "; permitted is 0.1 mm to 10 m",
                          "give a length in that range"));
  if (!out.empty()) return out;
  const Result<FrameFit> fit = fitted_frame(m);
  if (!fit) return under(path, fit.findings());
  SourcedOutline result;
  result.outline.sides = {"front", "right", "back", "left"};
  const double radius = f.corner_radius.known() ? f.corner_radius.value : 0;
  std::vector<plane::Corner> corners;
  for (int i = 0; i < 4; ++i) {
    const Vec2 c = fit->corners[static_cast<std::size_t>(i)];
    corners.push_back({{snap_to_plan_grid(c.x), snap_to_plan_grid(c.y)}, radius, 0, i});
  }
  Result<plane::Loop> loop = plane::rounded(corners);
  if (!loop) {
    // All four corners have the one radius that was typed.
    Finding first = loop.findings().front();
    first.path = path + (first.code == "outline.radius" ? "/corner_radius" : "");
    return first;
  }
  result.outline.outer = std::move(*loop);
  result.outline = plane::snapped(plane::moved(result.outline, -plane::bounds(result.outline).low));
  if (Findings crossing = plane::check_outline(result.outline); !crossing.empty()) {
    for (Finding& x : crossing) x.path = path;
    return crossing;
  }
  result.tables.push_back(frame_table(m, *fit));
  judge(*fit, result.notes);
  return result;
}

Result<SourcedOutline> dxf_outline(const DxfSpec& d) {
  const std::string path = "outline/dxf";
  if (!d.drawing)
    return error("dxf.file", path + "/file",
                 d.file.empty() ? "no drawing file is named"
                                : "the drawing \"" + d.file + "\" was not read: the design has no folder to find it in",
                 "save the design in the drawing's folder and open it from there");
  if (!*d.drawing) return under(path + "/file", d.drawing->findings());
  const double gap = d.gap.known() ? d.gap.value : plane::kUsualGapMm;
  Findings out;
  if (!(gap >= 0 && gap <= 5))
    out.push_back(error("dxf.gap", path + "/gap", "the gap is " + mm_text(gap) + "; permitted is 0 mm to 5 mm",
                        "give a gap in that range"));
  if (!d.unit.empty() && drawing_unit_mm(d.unit) == 0)
    out.push_back(error("drawing.unit", path + "/unit", "\"" + d.unit + "\" is no unit of a drawing",
                        offer(d.unit, {"mm", "cm", "m", "in", "ft"})));
  if (!out.empty()) return out;
  Result<plane::DrawnOutline> drawn = plane::outline_of(**d.drawing, {d.layer, drawing_unit_mm(d.unit), gap});
  if (!drawn) return under(path, drawn.findings());
  SourcedOutline result;
  result.outline = std::move(drawn->outline);
  result.notes = under(path, std::move(drawn->notes));
  return result;
}

}  // namespace kerfkiln::cushion
