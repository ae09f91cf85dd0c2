#include "modeler/cushion/gauge.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

// A board that is stiff in 4 mm sheet and comfortable to hold; common practice.
constexpr double kBodyMm = 70, kHeelMm = 28, kArmMm = 28, kReachMm = 45, kOuterRoundMm = 12;
constexpr double kHoleRadiusMm = 7;  // to hang it up
// The two ends of the working edge are eased, so that the tips do not dig into the foam.
constexpr double kTipRoundMm = 6;
constexpr double kLetterWidth = 0.6;  // of a letter's height, a generous mean

// The board's own outline with its corners rounded; the working edge stays untouched.
plane::Loop body(const plane::Loop& working, double heel_end, double arm_end, double height) {
  const double quarter = std::tan(std::numbers::pi / 8);
  const double low = -kHeelMm, high = height + kArmMm, r = kOuterRoundMm, t = kTipRoundMm;
  plane::Loop board{{{-kBodyMm + r, low}, 0, 0},
                    {{heel_end - t, low}, quarter, 0},
                    {{heel_end, low + t}, 0, 0},
                    {{heel_end, 0}, 0, 0}};
  extend(board, working);
  const plane::Loop rest{{{arm_end, height}, 0, 0},    {{arm_end, high - t}, quarter, 0},
                         {{arm_end - t, high}, 0, 0},  {{-kBodyMm + r, high}, quarter, 0},
                         {{-kBodyMm, high - r}, 0, 0}, {{-kBodyMm, low + r}, quarter, 0}};
  extend(board, rest);
  return board;
}

}  // namespace

product::FlatPart edge_gauge(const GaugeRequest& request) {
  using product::LineRole;
  const double height = request.height_mm;
  const ProfileCurve bottom = profile_curve(request.bottom), top = profile_curve(request.top);
  const plane::Loop working = side_curve(bottom, top, height);

  product::FlatPart part;
  part.id = request.id;
  part.label = "Edge gauge, " + listed(request.sides);
  part.material = "template board";
  part.face_up = "either face";
  product::Sketch& sketch = part.sketch;
  sketch.strokes.push_back(
      product::closed(body(working, bottom.run + kReachMm, top.run + kReachMm, height), LineRole::cut));
  sketch.strokes.push_back(product::circle({-kBodyMm + 18, height + kArmMm - 18}, kHoleRadiusMm, LineRole::cut));
  for (const double z : request.glue_mm) {
    const plane::Loop at_side = between_heights(working, z, height);
    const double x = at_side.empty() ? 0 : at_side.front().at.x;
    sketch.strokes.push_back(product::line({x - 16, z}, {x, z}, LineRole::scribe));
  }
  // Text runs up the body, clear of the hole above and of the glue marks on the right.
  const double turn = std::numbers::pi / 2, middle = height / 2;
  const double room = height + kArmMm + kHeelMm - 2 * kOuterRoundMm - 20;
  const auto write = [&](double x, const std::string& text, double size) {
    const double fitting = room / (kLetterWidth * static_cast<double>(std::max<std::size_t>(text.size(), 1)));
    sketch.labels.push_back({{x, middle}, text, std::min(size, fitting), product::Anchor::centre, turn});
  };
  write(-56, request.title + ": " + listed(request.sides), 5);
  write(-46, "top " + request.top_words, 3.5);
  write(-39, "bottom " + request.bottom_words, 3.5);
  if (!request.stations.empty()) write(-32, "at " + listed(request.stations), 3.5);
  sketch.labels.push_back({{top.run + kReachMm / 2, height + 10}, "top", 4, product::Anchor::centre, 0});
  sketch.labels.push_back({{bottom.run + kReachMm / 2, -14}, "heel", 4, product::Anchor::centre, 0});
  return part;
}

}  // namespace kerfkiln::cushion
