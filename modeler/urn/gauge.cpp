// Profile gauges: boards cut to the outside of the prototype at the size it is made.
#include <cmath>
#include <numbers>

#include "modeler/product/sketch_tools.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/silhouette.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

using product::LineRole;

constexpr double kFitMm = 0.02;      // a knife line is ten times as wide
constexpr double kBodyMm = 82;       // stiff in 4 mm sheet and comfortable to hold; common practice
constexpr double kHoleRadiusMm = 6;  // to hang it up
constexpr double kRoundMm = 8;

product::FlatPart gauge(const Ware& w, bool depth) {
  const Scale s = w.chain.state("thrown").over_fired;
  const plane::Loop edge = silhouette_chain(w.form().profile(), depth, s, kFitMm);
  const double high = edge.back().at.y;
  const double widest = (depth ? w.form().max_depth() : w.form().max_width()) / 2 * s.girth;
  const double back = widest + kBodyMm, quarter = std::tan(std::numbers::pi / 8);

  product::FlatPart part;
  part.id = depth ? "gauge-depth" : "gauge-width";
  part.label = w.form().round() ? "Profile gauge" : depth ? "Profile gauge, depth" : "Profile gauge, width";
  part.material = "template board";
  part.face_up = "either face";
  product::Sketch& sketch = part.sketch;

  // The work lies left of the board; the board stands on the bat, so its lower edge is the heel.
  plane::Loop board{{{back - kRoundMm, 0}, quarter, 0},
                    {{back, kRoundMm}, 0, 0},
                    {{back, high - kRoundMm}, quarter, 0},
                    {{back - kRoundMm, high}, 0, 0}};
  for (auto it = edge.rbegin(); it != edge.rend(); ++it) {
    const bool first = it + 1 == edge.rend();
    board.push_back({it->at, first ? 0 : -(it + 1)->bulge, 0});
  }
  sketch.strokes.push_back(product::closed(board, LineRole::cut));
  sketch.strokes.push_back(product::circle({back - 18, high - 18}, kHoleRadiusMm, LineRole::cut));

  // Marks at the points of the profile, with the reach from the axis at which the board must stand there.
  for (const ProfilePoint& p : w.spec.profile) {
    const double z = p.height.value;
    const SectionSize size = w.form().size_at(z);
    const double reach = (depth ? size.half_depth : size.half_width) * s.girth, at = z * s.height;
    if (at < 4 || at > high - 4) continue;
    sketch.strokes.push_back(product::line({reach, at}, {reach + 12, at}, LineRole::scribe));
    sketch.labels.push_back(
        {{reach + 14, at}, shortest(at, 1) + " up, " + shortest(reach, 1) + " out", 2.8, product::Anchor::left, 0});
  }
  const double text_x = back - 12, middle = high / 2, turn = std::numbers::pi / 2;
  const double room = high - 2 * kRoundMm - 30;
  const auto write = [&](double x, const std::string& text, double size) {
    const double fitting = room / (0.6 * static_cast<double>(text.size()));
    sketch.labels.push_back({{x, middle - 8}, text, std::min(size, fitting), product::Anchor::centre, turn});
  };
  write(text_x, part.label + " of the prototype, wet size", 4);
  write(text_x - 8, "foot edge " + shortest(edge.front().at.x, 1) + " from the axis, height " + shortest(high, 1), 3.2);
  return part;
}

}  // namespace

std::vector<product::FlatPart> gauges_of(const Ware& w) {
  std::vector<product::FlatPart> out{gauge(w, false)};
  if (!w.form().round()) out.push_back(gauge(w, true));
  return out;
}

}  // namespace kerfkiln::urn
