#include "modeler/cushion/gauge.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

// A board that is stiff in 4 mm sheet and comfortable to hold; common practice.
constexpr double kBodyMm = 70, kHeelMm = 28, kArmMm = 28, kReachMm = 45, kOuterRoundMm = 12;
constexpr double kHoleRadiusMm = 7;  // to hang it up
// The two ends of the working edge are eased, so that the tips do not dig into the foam.
constexpr double kTipRoundMm = 6;
constexpr double kLetterWidth = 0.6;  // of a letter's height, a generous mean

// The working edge with the rise of either face added: sampled within kCurveFitMm, heel and arm included.
plane::Loop risen(const plane::Loop& flat, const GaugeRequest& r, double bottom_drop, double heel_end, double arm_end) {
  plane::Loop chain = flat;
  chain.insert(chain.begin(), {{heel_end, 0}, 0, 0});
  chain.push_back({{arm_end, r.height_mm}, 0, 0});
  plane::Loop out;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const plane::Segment s{chain[i].at, chain[i + 1].at, chain[i].bulge};
    // An arc of angle a within tolerance e of its chords: about a sqrt(r / 8 e) of them; faces bend far less.
    const double arc = s.is_line() ? 0 : std::abs(s.sweep()) * std::sqrt(s.radius() / (4 * kCurveFitMm));
    const int n =
        std::max({1, static_cast<int>(std::ceil(arc)), static_cast<int>(std::ceil(std::abs(s.b.x - s.a.x) / 4))});
    for (int k = i == 0 ? 0 : 1; k <= n; ++k) out.push_back({k == n ? s.b : s.point(static_cast<double>(k) / n), 0, 0});
  }
  for (plane::Vertex& v : out) v.at.y += v.at.y > bottom_drop ? r.top_rise(v.at.x) : -r.bottom_rise(v.at.x);
  return out;
}

// The board's own outline with its corners rounded; the working edge stays untouched.
plane::Loop risen_body(const plane::Loop& working) {
  const double quarter = std::tan(std::numbers::pi / 8), r = kOuterRoundMm, t = kTipRoundMm;
  double low = working.front().at.y, high = working.back().at.y;
  for (const plane::Vertex& v : working) low = std::min(low, v.at.y), high = std::max(high, v.at.y);
  low -= kHeelMm;
  high += kArmMm;
  const double heel_end = working.front().at.x, arm_end = working.back().at.x;
  plane::Loop board{{{-kBodyMm + r, low}, 0, 0}, {{heel_end - t, low}, quarter, 0}, {{heel_end, low + t}, 0, 0}};
  extend(board, working);
  const plane::Loop rest{{{arm_end, high - t}, quarter, 0},
                         {{arm_end - t, high}, 0, 0},
                         {{-kBodyMm + r, high}, quarter, 0},
                         {{-kBodyMm, high - r}, 0, 0},
                         {{-kBodyMm, low + r}, quarter, 0}};
  extend(board, rest);
  return board;
}

plane::Loop body(const plane::Loop& working, double heel_end, double arm_end, double height, double depth) {
  const double quarter = std::tan(std::numbers::pi / 8);
  const double low = -kHeelMm, high = height + kArmMm, r = kOuterRoundMm, t = kTipRoundMm;
  plane::Loop board{
      {{-depth + r, low}, 0, 0}, {{heel_end - t, low}, quarter, 0}, {{heel_end, low + t}, 0, 0}, {{heel_end, 0}, 0, 0}};
  extend(board, working);
  const plane::Loop rest{{{arm_end, height}, 0, 0},   {{arm_end, high - t}, quarter, 0},
                         {{arm_end - t, high}, 0, 0}, {{-depth + r, high}, quarter, 0},
                         {{-depth, high - r}, 0, 0},  {{-depth, low + r}, quarter, 0}};
  extend(board, rest);
  return board;
}

}  // namespace

std::string gauge_label(const GaugeRequest& request) {
  return (request.topper_mm > 0 ? "Edge gauge over the topper, " : "Edge gauge, ") + listed(request.sides);
}

product::FlatPart edge_gauge(const GaugeRequest& request) {
  using product::LineRole;
  const double topper = request.topper_mm, height = request.height_mm + topper;
  const ProfileCurve bottom = profile_curve(request.bottom), top = profile_curve(request.top);
  const bool rises = request.top_rise && request.bottom_rise;
  const double heel_end = bottom.run + kReachMm, arm_end = top.run + kReachMm;
  const plane::Loop flat =
      topper > 0 ? topped_side_curve(bottom, top, request.height_mm, topper) : side_curve(bottom, top, height);
  const plane::Loop working = rises ? risen(flat, request, bottom.drop, heel_end, arm_end) : flat;

  product::FlatPart part;
  part.id = request.id;
  part.label = gauge_label(request);
  part.material = "template board";
  part.face_up = "either face";
  product::Sketch& sketch = part.sketch;
  sketch.strokes.push_back(product::closed(
      rises ? risen_body(working) : body(working, heel_end, arm_end, height, kBodyMm + topper), LineRole::cut));
  sketch.strokes.push_back(
      product::circle({-kBodyMm - topper + 18, height + kArmMm - 18}, kHoleRadiusMm, LineRole::cut));
  for (const double z : request.glue_mm) {
    const plane::Loop at_side = between_heights(flat, z, height);
    const double x = at_side.empty() ? 0 : at_side.front().at.x;
    sketch.strokes.push_back(product::line({x - 16, z}, {x, z}, LineRole::scribe));
  }
  for (std::size_t i = 0; i < request.marks.size(); ++i) {
    const auto& [mark, side_mm] = request.marks[i];
    const double z = height - side_mm;
    sketch.strokes.push_back(product::line({-14, z}, {0, z}, LineRole::scribe));
    // Marks of nearly equal heights stand side by side.
    const double beside = -18 - 8 * static_cast<double>(i % 3);
    sketch.labels.push_back({{beside, z - 1}, mark, 2.5, product::Anchor::centre, 0});
  }
  // Text runs up the body, clear of the hole above and of the glue marks on the right.
  const double turn = std::numbers::pi / 2, middle = height / 2;
  const double room = height + kArmMm + kHeelMm - 2 * kOuterRoundMm - 20;
  const auto write = [&](double x, const std::string& text, double size) {
    const double fitting =
        room / (kLetterWidth * static_cast<double>(std::max<std::size_t>(product::shown_size(text), 1)));
    sketch.labels.push_back({{x - topper, middle}, text, std::min(size, fitting), product::Anchor::centre, turn});
  };
  write(-56, request.title + ": " + listed(request.sides), 5);
  write(-46, "top " + request.top_words + (topper > 0 ? ", topper " + mm_text(topper) : ""), 3.5);
  write(-39, "bottom " + request.bottom_words, 3.5);
  if (!request.stations.empty() && !rises) write(-32, "at " + listed(request.stations), 3.5);
  if (rises)
    sketch.labels.push_back({{-62, middle},
                             "arm on the top, then heel underneath; " + request.fit_words,
                             std::min(3.0, room / (kLetterWidth * static_cast<double>(42 + request.fit_words.size()))),
                             product::Anchor::centre,
                             turn});
  // Clear of a face that rises along the arm.
  const double on_arm = rises ? std::max(0.0, std::max(request.top_rise(top.run), request.top_rise(arm_end))) : 0;
  sketch.labels.push_back({{top.run + kReachMm / 2, height + on_arm + 10}, "top", 4, product::Anchor::centre, 0});
  sketch.labels.push_back({{bottom.run + kReachMm / 2, -14}, "heel", 4, product::Anchor::centre, 0});
  return part;
}

}  // namespace kerfkiln::cushion
