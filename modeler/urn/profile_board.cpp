#include "modeler/urn/profile_board.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::urn {
namespace {

using product::LineRole;

constexpr double kBodyMm = 82;       // stiff in 4 mm sheet and comfortable to hold; common practice
constexpr double kHoleRadiusMm = 6;  // to hang it up
constexpr double kRoundMm = 8;

}  // namespace

product::Sketch profile_board(const plane::Loop& edge, double widest, const std::vector<BoardMark>& marks,
                              const std::vector<std::string>& words) {
  const double high = edge.back().at.y, back = widest + kBodyMm, quarter = std::tan(std::numbers::pi / 8);
  product::Sketch sketch;
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
  for (const BoardMark& m : marks) {
    if (m.height < 4 || m.height > high - 4) continue;
    sketch.strokes.push_back(product::line({m.reach, m.height}, {m.reach + 12, m.height}, LineRole::scribe));
    sketch.labels.push_back({{m.reach + 14, m.height}, m.text, 2.8, product::Anchor::left, 0});
  }
  const double room = high - 2 * kRoundMm - 30;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const double fitting = room / (0.6 * static_cast<double>(product::shown_size(words[i]))), wanted = i == 0 ? 4 : 3.2;
    sketch.labels.push_back({{back - 12 - 8 * static_cast<double>(i), high / 2 - 8},
                             words[i],
                             std::min(wanted, fitting),
                             product::Anchor::centre,
                             std::numbers::pi / 2});
  }
  return sketch;
}

}  // namespace kerfkiln::urn
