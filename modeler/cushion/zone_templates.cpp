#include "modeler/cushion/zone_templates.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

using product::LineRole;

constexpr double kTextMm = 6;

// Beside the centre lines, which are read too.
void add_name(product::Sketch& s, const plane::Region& region, Vec2 centre, const std::string& words) {
  if (region.empty()) return;
  const plane::Outline& largest = *std::max_element(
      region.begin(), region.end(),
      [](const plane::Outline& a, const plane::Outline& b) { return plane::area(a) < plane::area(b); });
  const product::Room room = product::room_in(largest);
  // Words run on beyond the largest disc in a long band; three quarters of its width are enough for one line.
  const plane::Box b = plane::bounds(largest);
  const double across = std::max(2 * room.radius_mm, 0.4 * b.width());
  const double size = std::min({kTextMm, room.radius_mm, across / (0.62 * static_cast<double>(words.size()))});
  Vec2 at = room.at - Vec2{0, size / 2};
  const double half = 0.31 * size * static_cast<double>(words.size());
  if (std::abs(at.x - centre.x) < half + 3) at.x = centre.x - half - 4;
  if (std::abs(room.at.y - centre.y) < size) at.y = centre.y + size;
  s.labels.push_back({at, words, size, product::Anchor::centre, 0});
}

product::FlatPart zone_template(const Core& core, std::size_t i) {
  const Layer& l = core.layers[i];
  const std::string n = std::to_string(i + 1);
  product::FlatPart part;
  part.id = "layer-" + n + "-zones";
  part.label = "Zones of layer " + n;
  part.material = "template board";
  part.hand = core.hand;
  part.face_up = "top face up";
  product::Sketch& s = part.sketch;
  product::add_outline(s, core.outline(), LineRole::cut);
  // Joints once: the boundaries of the zones, and of what two zones share only the first one's.
  std::vector<plane::Segment> done;
  for (const LayerZone& z : l.zones)
    for (const plane::Segment& j : inner_boundary(z.plan.region, core.outline())) {
      const bool twice = std::any_of(done.begin(), done.end(), [&](const plane::Segment& d) {
        return plane::nearest(d, j.point(0.5)).distance < 1e-6;
      });
      if (twice) continue;
      done.push_back(j);
      s.strokes.push_back({{{j.a, j.bulge, -1}, {j.b, 0, -1}}, false, LineRole::cut});
    }
  for (const std::size_t joint : {i - 1, i}) {
    if (joint >= core.joints.size() || core.joints[joint].whole) continue;
    for (const plane::Outline& o : core.joints[joint].outlines)
      product::add_outline(s, o, joint == i ? LineRole::scribe : LineRole::hidden);
  }
  const plane::Box box = plane::bounds(core.outline());
  const Vec2 c = 0.5 * (box.low + box.high);
  s.strokes.push_back(product::line({c.x, box.low.y}, {c.x, box.high.y}, LineRole::centre));
  s.strokes.push_back(product::line({box.low.x, c.y}, {box.high.x, c.y}, LineRole::centre));
  add_name(s, l.rest, c, core.name + ", layer " + n + ", " + l.foam + ", top face up");
  for (std::size_t k = 0; k < l.zones.size(); ++k)
    add_name(s, l.zones[k].plan.region, c, "zone " + std::to_string(k + 1) + ", " + l.zones[k].foam);
  return part;
}

}  // namespace

std::vector<product::FlatPart> zone_templates(const Core& core) {
  std::vector<product::FlatPart> parts;
  for (std::size_t i = 0; i < core.layers.size(); ++i)
    if (!core.layers[i].zones.empty()) parts.push_back(zone_template(core, i));
  return parts;
}

}  // namespace kerfkiln::cushion
