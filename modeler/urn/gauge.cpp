// Profile gauges: boards cut to the outside of the prototype at the size it is made.
#include "modeler/urn/message.hpp"
#include "modeler/urn/profile_board.hpp"
#include "modeler/urn/silhouette.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kFitMm = 0.02;  // a knife line is ten times as wide

product::FlatPart gauge(const Ware& w, const Form& form, bool depth) {
  const Scale s = w.chain.state("thrown").over_fired;
  const plane::Loop edge = silhouette_chain(form, depth, s, kFitMm);
  product::FlatPart part;
  part.id = depth ? "gauge-depth" : "gauge-width";
  part.label = form.round()     ? "Profile gauge"
               : form.twisted() ? std::string("Outline of the twisted form, ") + (depth ? "side" : "front")
                                : std::string("Profile gauge, ") + (depth ? "depth" : "width");
  part.material = "template board";
  part.face_up = "either face";
  // Marks at the points of the profile, with the reach from the axis at which the board must stand there.
  std::vector<BoardMark> marks;
  for (const ProfilePoint& p : w.spec.profile) {
    const double reach = form.half_extent(p.height.value, depth) * s.girth, at = p.height.value * s.height;
    marks.push_back({reach, at, bare(shortest(at, 1)) + " up, " + bare(shortest(reach, 1)) + " out"});
  }
  const double widest = form.max_half_extent(depth) * s.girth;
  std::vector<std::string> words{part.label + " of the prototype, wet size",
                                 "foot edge " + bare(shortest(edge.front().at.x, 1)) + " from the axis, height " +
                                     bare(shortest(edge.back().at.y, 1))};
  // Its edge meets the work at another place of the section on every level.
  if (form.twisted()) words.push_back("sight past it: the farthest reach at each height, not a scraping edge");
  part.sketch = profile_board(edge, widest, marks, words);
  return part;
}

}  // namespace

std::vector<product::FlatPart> gauges_of(const Ware& w) {
  const Form form = w.made_form();
  std::vector<product::FlatPart> out{gauge(w, form, false)};
  if (!form.round()) out.push_back(gauge(w, form, true));
  return out;
}

}  // namespace kerfkiln::urn
