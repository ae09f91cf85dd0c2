#include "modeler/cushion/rise_integral.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/labelled_quadrature.ipp"
#include "modeler/cushion/plan_cells.hpp"

namespace kerfkiln::cushion {
namespace {

PlanCells cells_of(const Rise& rise, const plane::Outline& outline) {
  const plane::Box box = plane::bounds(outline);
  Rise::Lines lines = rise.lines(box);
  // Long curved sides are taken in parts.
  constexpr int kParts = 8;
  for (int k = 1; k < kParts; ++k) lines.x.push_back(box.low.x + box.width() * k / kParts);
  std::sort(lines.x.begin(), lines.x.end());
  lines.x.erase(std::unique(lines.x.begin(), lines.x.end(), [](double a, double b) { return b - a < 1e-6; }),
                lines.x.end());
  lines.x.back() = box.high.x;
  std::vector<plane::Loop> loops{outline.outer};
  loops.insert(loops.end(), outline.holes.begin(), outline.holes.end());
  return {loops, std::move(lines.x), std::move(lines.y)};
}

void add(RiseMoments& m, double rises, Vec2 p, double weight) {
  const double v = rises * weight;
  m.value += v;
  m.x += p.x * v;
  m.y += p.y * v;
  m.square += rises * v;
}

RiseMoments over_whole_cells(const Rise& rise, const PlanCells& cells) {
  RiseMoments m;
  const FewNodes& g = few_nodes(4);  // degree 6 at most
  const std::size_t n = g.node.size();
  std::vector<double> xs(n), ys(n), rises(n * n);
  for (int j = 0; j < cells.rows(); ++j)
    for (int i = 0; i < cells.columns(); ++i) {
      if (cells.state(i, j) != PlanCells::State::full) continue;
      const auto column = static_cast<std::size_t>(i), row = static_cast<std::size_t>(j);
      const double x = cells.x()[column], w = cells.x()[column + 1] - x;
      const double y = cells.y()[row], h = cells.y()[row + 1] - y;
      for (std::size_t a = 0; a < n; ++a) {
        xs[a] = x + g.node[a] * w;
        ys[a] = y + g.node[a] * h;
      }
      rise.values(xs, ys, rises);
      for (std::size_t a = 0; a < n; ++a)
        for (std::size_t b = 0; b < n; ++b) add(m, rises[a * n + b], {xs[a], ys[b]}, g.weight[a] * g.weight[b] * w * h);
    }
  return m;
}

// Nested adaptive quadrature: across strips of the plan, along the upright lines in them.
class Below {
 public:
  Below(const Rise& rise, const PlanCells& cells, double depth, double tolerance)
      : rise_(rise), cells_(cells), depth_(depth), tolerance_(tolerance) {}

  RiseBelow run() {
    double width = 0;
    for (const PlanCells::Strip& s : cells_.strips()) width += s.high - s.low;
    for (const PlanCells::Strip& s : cells_.strips())
      if (touches(s)) over(s, tolerance_ * (s.high - s.low) / width);
    return sum_;
  }

 private:
  static constexpr std::size_t kChannels = 3;  // volume, area, error of the inner integrals
  using Scale = std::array<double, kChannels>;
  struct Span {
    double from, to;
  };

  bool below_somewhere(double x0, double x1, double y0, double y1) const {
    return rise_.bounds({{x0, y0}, {x1, y1}}).low < -depth_;
  }
  bool touches(const PlanCells::Strip& s) const {
    return below_somewhere(s.low, s.high, cells_.y().front(), cells_.y().back());
  }
  void over(const PlanCells::Strip& s, double tolerance) {
    const double width = s.high - s.low;
    const Scale scale{1, 1, INFINITY};
    const auto across = [&](double u) {
      // Nodes gather at both ends, where arcs may stand upright.
      const double x = s.low + width * u * u * (3 - 2 * u), stretch = width * 6 * u * (1 - u);
      Labelled<kChannels> v = along(s, x, tolerance / (8 * width));
      for (double& c : v.value) c *= stretch;
      return v;
    };
    const auto none = [](std::uint64_t, double, double, std::array<double, kChannels>&) { return false; };
    LabelledQuadrature<kChannels, decltype(across), decltype(none)> rule(across, none, scale, tolerance, 1e-5,
                                                                         Cuts::at_once);
    const Integral<kChannels> part = rule.over(0, 1);
    sum_.volume += part.value[0];
    sum_.area += part.value[1];
    sum_.error += part.error + part.value[2];
  }
  Labelled<kChannels> along(const PlanCells::Strip& s, double x, double tolerance) const {
    Labelled<kChannels> sum;
    const Scale scale{1, 1, INFINITY};
    const auto at = [&](double y) {
      Labelled<kChannels> v;
      const double under = -rise_.value({x, y}) - depth_;
      if (under <= 0) return v;
      v.value = {under, 1, 0};
      v.label = 1;
      return v;
    };
    const auto none = [](std::uint64_t, double, double, std::array<double, kChannels>&) { return false; };
    for (std::size_t k = 0; k + 1 < s.pieces.size(); k += 2) {
      const double low = cells_.height(s.pieces[k], x), high = cells_.height(s.pieces[k + 1], x);
      const std::span<const double> lines = cells_.y();
      for (std::size_t j = 0; j + 1 < lines.size(); ++j) {
        const double from = std::max(low, lines[j]), to = std::min(high, lines[j + 1]);
        if (!(from < to)) continue;
        if (!below_somewhere(s.low, s.high, lines[j], lines[j + 1])) {
          sum.label = sum.label * 31 + 7;
          continue;
        }
        LabelledQuadrature<kChannels, decltype(at), decltype(none)> rule(at, none, scale, tolerance, 1e-8,
                                                                         Cuts::at_once);
        const Integral<kChannels> part = rule.over(from, to);
        sum.value[0] += part.value[0];
        sum.value[1] += part.value[1];
        sum.value[2] += part.error;
        sum.label = sum.label * 31 + (part.trail % 1000003);
      }
    }
    return sum;
  }

  const Rise& rise_;
  const PlanCells& cells_;
  double depth_, tolerance_;
  RiseBelow sum_;
};

}  // namespace

RiseMoments rise_moments(const Rise& rise, const plane::Outline& outline) {
  if (rise.flat()) return {};
  const PlanCells cells = cells_of(rise, outline);
  RiseMoments coarse = over_whole_cells(rise, cells), fine = coarse;
  cells.each_cut_node(5, [&](const PlanCells::Node& n) { add(coarse, rise.value(n.at), n.at, n.weight); });
  cells.each_cut_node(6, [&](const PlanCells::Node& n) { add(fine, rise.value(n.at), n.at, n.weight); });
  fine.error = std::abs(fine.value - coarse.value) + 1e-14 * std::abs(fine.value);
  return fine;
}

RiseBelow rise_below(const Rise& rise, const plane::Outline& outline, double depth, double tolerance) {
  if (rise.flat() || rise.bounds(plane::bounds(outline)).low >= -depth) return {};
  const PlanCells cells = cells_of(rise, outline);
  return Below(rise, cells, depth, tolerance).run();
}

}  // namespace kerfkiln::cushion
