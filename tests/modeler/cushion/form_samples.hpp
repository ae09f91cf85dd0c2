// Forms for the tests of the form: outlines and edge profiles by hand and by seed.
#pragma once
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "modeler/cushion/form.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion::test {

inline EdgeProfile edge(std::string_view type, std::vector<double> lengths = {}, double height = 100) {
  return *edge_profile(type, lengths, height);
}
inline EdgeProfiles all(EdgeProfile p) { return {{}, std::move(p)}; }

inline plane::Loop circle(Vec2 centre, double radius, bool hole = false, int side = 0) {
  const double b = hole ? -1 : 1;
  return {{{centre.x - radius, centre.y}, b, side}, {{centre.x + radius, centre.y}, b, side}};
}

// An L of width w and depth d with arms of the given widths, sharp but for an arc of radius r at the inner corner.
inline plane::Outline ell(double w, double d, double across, double along, double r) {
  plane::Outline o;
  o.sides = {"front", "right", "inner front", "inner right", "back", "left"};
  const double b = -std::tan(std::numbers::pi / 8);
  if (r > 0)
    o.outer = {{{0, 0}, 0, 0},
               {{w, 0}, 0, 1},
               {{w, along}, 0, 2},
               {{across + r, along}, b, -1},
               {{across, along + r}, 0, 3},
               {{across, d}, 0, 4},
               {{0, d}, 0, 5}};
  else
    o.outer = {{{0, 0}, 0, 0},          {{w, 0}, 0, 1},      {{w, along}, 0, 2},
               {{across, along}, 0, 3}, {{across, d}, 0, 4}, {{0, d}, 0, 5}};
  return o;
}

// Values by seed, the same on every machine (the distributions of <random> are not).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1p-53;
  }
  int below(int n) { return static_cast<int>(engine_() % static_cast<std::uint64_t>(n)); }

 private:
  std::mt19937_64 engine_;
};

struct RandomForm {
  plane::Outline outline;
  double height = 0;
  EdgeProfiles top, bottom;
  std::vector<double> levels;
};

inline EdgeProfile random_edge(Dice& dice, double height, double room) {
  const double a = dice.between(2, room), b = dice.between(2, height * 0.45);
  switch (dice.below(5)) {
    case 0:
      return {};
    case 1:
      return edge("round", {std::min(a, height * 0.45)}, height);
    case 2:
      return edge("ellipse", {a, b}, height);
    case 3:
      return edge("chamfer", {a, b}, height);
    default:
      return edge("bullnose", {}, height);
  }
}

inline RandomForm random_form(std::uint64_t seed) {
  Dice dice(seed);
  RandomForm f;
  f.height = dice.between(30, 160);
  const double w = dice.between(150, 700), d = dice.between(150, 700);
  switch (dice.below(4)) {
    case 0:
      f.outline = plane::rectangle(w, d, 0);
      break;
    case 1:
      f.outline = plane::rectangle(w, d, dice.between(5, std::min(w, d) / 2));
      break;
    case 2:
      f.outline = ell(w, d, w * dice.between(0.3, 0.6), d * dice.between(0.3, 0.6),
                      dice.below(2) == 0 ? 0.0 : dice.between(5, 30));
      break;
    default:
      f.outline = plane::rectangle(w, d, dice.between(5, 40));
      f.outline.sides.push_back("hole");
      f.outline.holes.push_back(circle({w * dice.between(0.45, 0.55), d * dice.between(0.45, 0.55)},
                                       dice.between(8, std::min(w, d) / 5), true, 4));
  }
  const double room = dice.between(10, std::min(w, d) / 2);
  const bool uniform = dice.below(3) == 0;
  for (EdgeProfiles* e : {&f.top, &f.bottom}) {
    e->other = random_edge(dice, f.height, room);
    for (std::size_t i = 0; i < f.outline.sides.size(); ++i)
      e->by_side.push_back(uniform ? e->other : random_edge(dice, f.height, room));
  }
  f.levels = {0};
  const int layers = 1 + dice.below(4);
  for (int i = 1; i < layers; ++i) f.levels.push_back(f.height * (i + dice.between(-0.3, 0.3)) / layers);
  f.levels.push_back(f.height);
  return f;
}

}  // namespace kerfkiln::cushion::test
