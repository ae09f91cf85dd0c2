// What every full-size sheet says about the part on it.
#pragma once
#include <string>
#include <vector>

#include "export/document/job_info.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

struct PartTitle {
  std::string name;                // "seat · Plan template"
  std::vector<std::string> make;   // "make 2", "left hand", "top face up", "foam firm 50 mm"
  std::vector<std::string> state;  // "OB-104 rev A", "2031-04-02", "design 0f..."
  std::vector<product::LineRole> roles;
  std::string one_line() const;
};
PartTitle part_title(const JobInfo&, const product::Product&, const product::FlatPart&);

// The strip with name, making, state, the meaning of the lines and two scale bars; words break, nothing is cut off.
// At least kLeastStripMm wide.
inline constexpr double kLeastStripMm = 125;
double title_strip_height(const PartTitle&, double width_mm);
void draw_title_strip(Canvas&, Vec2 corner, double width_mm, const PartTitle&, const std::string& page);

}  // namespace kerfkiln::output
