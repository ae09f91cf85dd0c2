#include "modeler/cushion/plan_cells.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <iterator>
#include <numbers>
#include <tuple>

namespace kerfkiln::cushion {
namespace {

template <unsigned N>
FewNodes rule() {
  using Gauss = boost::math::quadrature::gauss<double, N>;
  FewNodes r;
  const auto& x = Gauss::abscissa();
  const auto& w = Gauss::weights();
  for (std::size_t i = x.size(); i-- > 0;)
    if (x[i] != 0) {
      r.node.push_back((1 - x[i]) / 2);
      r.weight.push_back(w[i] / 2);
    }
  for (std::size_t i = 0; i < x.size(); ++i) {
    r.node.push_back((1 + x[i]) / 2);
    r.weight.push_back(w[i] / 2);
  }
  return r;
}

constexpr double kSliver = 1e-9;  // strips narrower than this hold nothing, mm

}  // namespace

const FewNodes& few_nodes(int n) {
  static const FewNodes rules[] = {rule<2>(), rule<3>(), rule<4>(),  rule<5>(),  rule<6>(),
                                   rule<7>(), rule<8>(), rule<10>(), rule<12>(), rule<16>()};
  for (const FewNodes& r : rules)
    if (static_cast<int>(r.node.size()) >= n) return r;
  return rules[std::size(rules) - 1];
}

PlanCells::PlanCells(std::span<const plane::Loop> loops, std::vector<double> x, std::vector<double> y)
    : x_(std::move(x)), y_(std::move(y)) {
  for (const plane::Loop& loop : loops) add_pieces(loop);
  make_strips();
  mark();
}

int PlanCells::row_of(double y) const {
  const auto it = std::upper_bound(y_.begin() + 1, y_.end() - 1, y);
  return static_cast<int>(it - y_.begin()) - 1;
}
int PlanCells::column_of(double x) const {
  const auto it = std::upper_bound(x_.begin() + 1, x_.end() - 1, x);
  return static_cast<int>(it - x_.begin()) - 1;
}

void PlanCells::add_pieces(const plane::Loop& loop) {
  for (std::size_t k = 0; k < loop.size(); ++k) {
    const plane::Segment whole = plane::segment(loop, k);
    std::vector<double> cuts{0};
    if (!whole.is_line()) {
      // Quarter points of the circle that the arc passes.
      const Vec2 from = whole.a - whole.centre();
      const double start = std::atan2(from.y, from.x), sweep = whole.sweep(), quarter = std::numbers::pi / 2;
      const double low = std::min(start, start + sweep), high = std::max(start, start + sweep);
      for (double q = std::ceil(low / quarter) * quarter; q < high; q += quarter) {
        const double t = (q - start) / sweep;
        if (t > 1e-12 && t < 1 - 1e-12) cuts.push_back(t);
      }
      std::sort(cuts.begin(), cuts.end());
    }
    cuts.push_back(1);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      Piece p;
      p.s = cuts.size() == 2 ? whole : plane::part(whole, cuts[i], cuts[i + 1]);
      if (!whole.is_line()) {
        p.centre = whole.centre();
        p.radius = whole.radius();
        const Vec2 m = p.s.point(0.5) - p.centre;
        p.bend = m.y < 0 ? -1 : 1;
        p.side = m.x < 0 ? -1 : 1;
      }
      std::tie(p.low_x, p.high_x) = std::minmax(p.s.a.x, p.s.b.x);
      std::tie(p.low_y, p.high_y) = std::minmax(p.s.a.y, p.s.b.y);
      pieces_.push_back(p);
    }
  }
}

double PlanCells::height(std::size_t piece, double x) const {
  const Piece& p = pieces_[piece];
  if (p.bend == 0) return p.s.a.y + (x - p.s.a.x) / (p.s.b.x - p.s.a.x) * (p.s.b.y - p.s.a.y);
  const double dx = x - p.centre.x;
  const double y = p.centre.y + p.bend * std::sqrt(std::max(0.0, (p.radius - dx) * (p.radius + dx)));
  return std::clamp(y, p.low_y, p.high_y);
}
double PlanCells::place(const Piece& p, double y) const {
  if (p.bend == 0) return p.s.a.x + (y - p.s.a.y) / (p.s.b.y - p.s.a.y) * (p.s.b.x - p.s.a.x);
  const double dy = y - p.centre.y;
  return std::clamp(p.centre.x + p.side * std::sqrt(std::max(0.0, (p.radius - dy) * (p.radius + dy))), p.low_x,
                    p.high_x);
}

void PlanCells::make_strips() {
  std::vector<double> breaks(x_.begin(), x_.end());
  for (const Piece& p : pieces_) {
    breaks.push_back(p.low_x);
    breaks.push_back(p.high_x);
    for (auto it = std::upper_bound(y_.begin(), y_.end(), p.low_y); it != y_.end() && *it < p.high_y; ++it)
      breaks.push_back(place(p, *it));
  }
  std::sort(breaks.begin(), breaks.end());
  // Sweep: pieces enter at their low end and leave at their high one.
  std::vector<std::size_t> order(pieces_.size()), open;
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return pieces_[a].low_x != pieces_[b].low_x ? pieces_[a].low_x < pieces_[b].low_x : a < b;
  });
  std::size_t next = 0;
  double low = breaks.front();
  for (const double high : breaks) {
    if (high - low < kSliver) continue;
    const double mid = (low + high) / 2;
    for (; next < order.size() && pieces_[order[next]].low_x < mid; ++next) open.push_back(order[next]);
    std::erase_if(open, [&](std::size_t i) { return pieces_[i].high_x < mid; });
    Strip s{column_of(mid), low, high, false, false, false, open};
    std::sort(s.pieces.begin(), s.pieces.end(),
              [&](std::size_t a, std::size_t b) { return height(a, mid) < height(b, mid); });
    for (const std::size_t i : s.pieces) {
      const Piece& p = pieces_[i];
      if (p.bend == 0) continue;
      s.curved = true;
      const double steep = 0.7 * p.radius;
      s.upright_low = s.upright_low || p.centre.x - low > steep;
      s.upright_high = s.upright_high || high - p.centre.x > steep;
    }
    if (s.pieces.size() >= 2) strips_.push_back(std::move(s));
    low = high;
  }
}

void PlanCells::mark() {
  states_.assign((x_.size() - 1) * (y_.size() - 1), State::outside);
  for (const Strip& s : strips_) {
    const double mid = (s.low + s.high) / 2;
    for (std::size_t k = 0; k + 1 < s.pieces.size(); k += 2) {
      const int low = row_of(height(s.pieces[k], mid)), high = row_of(height(s.pieces[k + 1], mid));
      for (int j = low; j <= high; ++j) {
        State& state = states_[at(s.column, j)];
        if (j == low || j == high)
          state = State::cut;
        else if (state == State::outside)
          state = State::full;
      }
    }
  }
  // Where an upright side passes a cell, strips cover a part of its width only.
  std::vector<double> covered(states_.size(), 0);
  for (const Strip& s : strips_) {
    const double mid = (s.low + s.high) / 2;
    for (std::size_t k = 0; k + 1 < s.pieces.size(); k += 2)
      for (int j = row_of(height(s.pieces[k], mid)); j <= row_of(height(s.pieces[k + 1], mid)); ++j)
        covered[at(s.column, j)] += s.high - s.low;
  }
  for (int j = 0; j < rows(); ++j)
    for (int i = 0; i < columns(); ++i) {
      const double width = x_[static_cast<std::size_t>(i) + 1] - x_[static_cast<std::size_t>(i)];
      if (states_[at(i, j)] == State::full && covered[at(i, j)] < width - 4 * kSliver) states_[at(i, j)] = State::cut;
    }
}

void PlanCells::each_cut_node(int n, const std::function<void(const Node&)>& visit) const {
  const FewNodes& rule = few_nodes(n);
  each_cut_line(n, [&](const Upright& l) {
    for (std::size_t b = 0; b < rule.node.size(); ++b)
      visit({l.i, l.j, {l.x, l.from + rule.node[b] * (l.to - l.from)}, l.weight * rule.weight[b] * (l.to - l.from)});
  });
}

void PlanCells::each_cut_line(int n, const std::function<void(const Upright&)>& visit) const {
  for (const Strip& s : strips_) {
    const FewNodes& across = few_nodes(s.curved ? 2 * n : n);
    const double width = s.high - s.low;
    for (std::size_t a = 0; a < across.node.size(); ++a) {
      // Where an arc stands upright its height grows like a root: squares of the parameter gather nodes there.
      double u = across.node[a], stretch = 1;
      if (s.upright_low && s.upright_high) {
        stretch = 6 * u * (1 - u);
        u = u * u * (3 - 2 * u);
      } else if (s.upright_low) {
        stretch = 2 * u;
        u = u * u;
      } else if (s.upright_high) {
        stretch = 2 * (1 - u);
        u = u * (2 - u);
      }
      const double x = s.low + u * width, weight = across.weight[a] * stretch * width;
      for (std::size_t k = 0; k + 1 < s.pieces.size(); k += 2) {
        const double low = height(s.pieces[k], x), high = height(s.pieces[k + 1], x);
        const double mid = (s.low + s.high) / 2;
        const int first = row_of(height(s.pieces[k], mid)), last = row_of(height(s.pieces[k + 1], mid));
        for (int j = first; j <= last; ++j) {
          if (state(s.column, j) != State::cut) continue;
          const double from = j == first ? low : y_[static_cast<std::size_t>(j)];
          const double to = j == last ? high : y_[static_cast<std::size_t>(j) + 1];
          visit({s.column, j, x, from, to, weight});
        }
      }
    }
  }
}

void PlanCells::each_edge_node(int n, const std::function<void(const EdgeNode&)>& visit) const {
  for (const Piece& p : pieces_) {
    std::vector<double> cuts{0, 1};
    const auto cut_at = [&](Vec2 q) { cuts.push_back(plane::nearest(p.s, q).t); };
    for (auto it = std::upper_bound(x_.begin(), x_.end(), p.low_x); it != x_.end() && *it < p.high_x; ++it)
      cut_at({*it, height(static_cast<std::size_t>(&p - pieces_.data()), *it)});
    for (auto it = std::upper_bound(y_.begin(), y_.end(), p.low_y); it != y_.end() && *it < p.high_y; ++it)
      cut_at({place(p, *it), *it});
    std::sort(cuts.begin(), cuts.end());
    const double length = p.s.length();
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      const double share = cuts[i + 1] - cuts[i];
      if (share * length < kSliver) continue;
      const Vec2 mid = p.s.point((cuts[i] + cuts[i + 1]) / 2);
      // A side on a grid line belongs to the cell of its material.
      const Vec2 inside = mid + 1e-7 * p.s.inward((cuts[i] + cuts[i + 1]) / 2);
      const int column = column_of(inside.x), row = row_of(inside.y);
      const FewNodes& rule = few_nodes(n);
      for (std::size_t k = 0; k < rule.node.size(); ++k) {
        const double t = cuts[i] + rule.node[k] * share;
        visit({column, row, p.s.point(t), -p.s.inward(t), rule.weight[k] * share * length});
      }
    }
  }
}

}  // namespace kerfkiln::cushion
