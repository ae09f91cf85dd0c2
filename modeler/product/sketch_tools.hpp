// Small pieces that sketches are put together from. Coordinates in model millimetres.
#pragma once
#include <string>

#include "modeler/product/sketch.hpp"

namespace kerfkiln::product {

Stroke line(Vec2 a, Vec2 b, LineRole role);
Stroke circle(Vec2 centre, double radius_mm, LineRole role);
Stroke closed(plane::Loop path, LineRole role);
Stroke open(plane::Loop path, LineRole role);

// The outer loop and the holes, each a closed stroke of the same role.
void add_outline(Sketch&, const plane::Outline&, LineRole role);

// The place for words on an outline: of a fine grid over its bounds the point farthest from the boundary, and how far
// that is; a radius of 0 where no grid point lies inside.
struct Room {
  Vec2 at;
  double radius_mm = 0;
};
Room room_in(const plane::Outline&);

// "#rrggbb" -> colour; anything else (a reader has already complained) gives a mid grey.
Colour colour_of(const std::string& hex);
// "none", "lines", "cross", "dots", "waves"; anything else gives none.
Hatch hatch_of(const std::string& word);

}  // namespace kerfkiln::product
