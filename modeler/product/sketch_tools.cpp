#include "modeler/product/sketch_tools.hpp"

#include <charconv>
#include <utility>

namespace kerfkiln::product {

Stroke line(Vec2 a, Vec2 b, LineRole role) { return {{{a, 0, 0}, {b, 0, 0}}, false, role}; }

Stroke circle(Vec2 centre, double radius_mm, LineRole role) {
  const Vec2 r{radius_mm, 0};
  return {{{centre + r, 1, 0}, {centre - r, 1, 0}}, true, role};  // two half turns, bulge tan(180/4)
}

Stroke closed(plane::Loop path, LineRole role) { return {std::move(path), true, role}; }
Stroke open(plane::Loop path, LineRole role) { return {std::move(path), false, role}; }

void add_outline(Sketch& sketch, const plane::Outline& outline, LineRole role) {
  sketch.strokes.push_back(closed(outline.outer, role));
  for (const plane::Loop& hole : outline.holes) sketch.strokes.push_back(closed(hole, role));
}

Room room_in(const plane::Outline& o) {
  Room best;
  const plane::Box b = plane::bounds(o);
  constexpr int kSteps = 24;
  for (int i = 1; i < kSteps; ++i)
    for (int j = 1; j < kSteps; ++j) {
      const Vec2 p{b.low.x + b.width() * i / kSteps, b.low.y + b.depth() * j / kSteps};
      if (!plane::contains(o, p)) continue;
      if (const double r = plane::nearest(o, p).distance; r > best.radius_mm + 1e-9) best = {p, r};
    }
  return best;
}

Colour colour_of(const std::string& hex) {
  unsigned rgb = 0;
  const char* end = hex.data() + hex.size();
  if (hex.size() == 7 && hex[0] == '#') {
    const auto read = std::from_chars(hex.data() + 1, end, rgb, 16);
    if (read.ec == std::errc() && read.ptr == end)
      return {(rgb >> 16U) / 255.0, ((rgb >> 8U) & 255U) / 255.0, (rgb & 255U) / 255.0};
  }
  return {0.6, 0.6, 0.6};
}

Hatch hatch_of(const std::string& word) {
  if (word == "lines") return Hatch::lines;
  if (word == "cross") return Hatch::cross;
  if (word == "dots") return Hatch::dots;
  if (word == "waves") return Hatch::waves;
  return Hatch::none;
}

}  // namespace kerfkiln::product
