// Edge gauges: boards that are held against a finished edge to check it.
#pragma once
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "modeler/cushion/profile_curve.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct GaugeRequest {
  EdgeProfile top, bottom;  // of the core
  std::string top_words, bottom_words;
  double height_mm = 0;
  std::vector<double> glue_mm;        // heights of the glue lines, marked on the board
  std::vector<std::string> sides;     // where it applies, as shown
  std::string id;                     // "gauge-front"
  std::vector<std::string> stations;  // their marks on the plan template
  std::string title;                  // of the piece
  // With a crown or contour the faces rise inward from the side, by these amounts at a distance from it (0 at 0), and
  // the side's height differs from station to station. The gauge is then longer than the side is high: its arm is laid
  // on the top to check the top edge, its heel under the underside to check the bottom edge, never both. marks: station
  // and side height; a line on the board shows where the underside comes while the arm lies on the top.
  std::function<double(double)> top_rise, bottom_rise;
  std::vector<std::pair<std::string, double>> marks;
  std::string fit_words;  // "exact at F2, within 0.3 mm at F1 and F3"
  // Held over a topper of this thickness: the working edge is topped_side_curve (topper.hpp). Not with a rise.
  double topper_mm = 0;
};
inline constexpr double kGaugeClearMm = 20;  // how much longer than the highest side such a gauge is

// The board lies left of the cushion's edge in side_curve's coordinates (x the inset, z up from the underside): its
// heel hooks under the underside and its arm lies on the top, each reaching past the end of the profile, so that the
// board stands square by itself. The edge that touches the foam is side_curve (over a topper topped_side_curve)
// exactly.
product::FlatPart edge_gauge(const GaugeRequest&);
std::string gauge_label(const GaugeRequest&);

}  // namespace kerfkiln::cushion
