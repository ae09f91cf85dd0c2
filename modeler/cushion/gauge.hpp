// Edge gauges: boards that are held against a finished edge to check it.
#pragma once
#include <string>
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
};

// The board lies left of the cushion's edge in side_curve's coordinates (x the inset, z up from the underside): its
// heel hooks under the underside and its arm lies on the top, each reaching past the end of the profile, so that the
// board stands square by itself. The edge that touches the foam is side_curve exactly.
product::FlatPart edge_gauge(const GaugeRequest&);

}  // namespace kerfkiln::cushion
