// Adaptive Gauss-Kronrod integration of vectors whose integrand is smooth only between places where a label changes.
// The places are found by bisection and the range is cut there, so that kinks cost a few evaluations instead of
// spoiling convergence. Nodes and weights from Boost.Math.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace kerfkiln::cushion {

// The 15-point Kronrod rule and the 7-point Gauss rule within it: nodes from the middle outwards, every second one a
// Gauss node.
struct KronrodRule {
  std::array<double, 8> node, kronrod;
  std::array<double, 4> gauss;
};
const KronrodRule& kronrod_rule();

template <std::size_t N>
struct Labelled {
  std::array<double, N> value{};
  std::uint64_t label = 0;
};
template <std::size_t N>
struct Integral {
  std::array<double, N> value{};
  double error = 0;  // the largest of the scaled error estimates, summed over the pieces
  std::uint64_t trail = 1469598103934665603u;  // mixes the labels met, in order
};

// f(x) -> Labelled<N>. closed(label, a, b, value) -> bool fills the integral where it is known in closed form.
// tolerance: absolute, for the whole range, of the components after division by scale[i].
template <std::size_t N, class F, class Closed>
class LabelledQuadrature {
 public:
  // smallest: pieces below this share of the range are not cut further; a kink misplaced by h costs about h^2.
  LabelledQuadrature(const F& f, const Closed& closed, const std::array<double, N>& scale, double tolerance,
                     double smallest)
      : f_(f), closed_(closed), scale_(scale), tolerance_(tolerance), smallest_(smallest) {}

  // Halves the piece with the largest error until their sum is within the tolerance.
  Integral<N> over(double a, double b) {
    pieces_.clear();
    cuts_ = 0;
    range_ = b - a;
    Integral<N> sum;
    if (!(range_ > 0)) return sum;
    add(a, b);
    for (;;) {
      double error = 0;
      std::size_t worst = 0;
      for (std::size_t i = 0; i < pieces_.size(); ++i) {
        error += pieces_[i].error;
        if (pieces_[i].error > pieces_[worst].error) worst = i;
      }
      const double from = pieces_[worst].a, to = pieces_[worst].b;
      if (error <= tolerance_ || pieces_.size() >= kPieces || to - from < smallest_ * range_) break;
      pieces_.erase(pieces_.begin() + static_cast<std::ptrdiff_t>(worst));
      add(from, (from + to) / 2);
      add((from + to) / 2, to);
    }
    std::sort(pieces_.begin(), pieces_.end(), [](const Piece& p, const Piece& q) { return p.a < q.a; });
    std::uint64_t last = 0;
    for (const Piece& p : pieces_) {
      for (std::size_t c = 0; c < N; ++c) sum.value[c] += p.value[c];
      sum.error += p.error;
      if (&p == &pieces_.front() || p.label != last) sum.trail = (sum.trail ^ p.label) * 1099511628211u;
      last = p.label;
    }
    return sum;
  }

 private:
  // Labels that flicker by rounding must not cost without bound: after kCuts kinks are left to halving by error, after
  // kPieces the error is what it is, and reported.
  static constexpr int kCuts = 40;
  static constexpr std::size_t kPieces = 120;
  struct Piece {
    double a, b, error;
    std::array<double, N> value;
    std::uint64_t label;
  };

  void add(double a, double b) {
    const double mid = (a + b) / 2, half = (b - a) / 2;
    const auto& x = kronrod_rule().node;
    Labelled<N> at[15];
    double place[15];
    for (int i = 0; i < 15; ++i) {
      const double offset = i < 7 ? -x[static_cast<std::size_t>(7 - i)] : x[static_cast<std::size_t>(i - 7)];
      place[i] = mid + half * offset;
      at[i] = f_(place[i]);
    }
    bool same = true;
    for (int i = 0; i < 14; ++i) {
      if (at[i].label == at[i + 1].label) continue;
      same = false;
      if (cuts_ >= kCuts || b - a < smallest_ * range_) break;
      ++cuts_;
      double low = place[i], high = place[i + 1];
      while (high - low > smallest_ * range_ / 4) {
        const double m = (low + high) / 2;
        (f_(m).label == at[i].label ? low : high) = m;
      }
      add(a, high);
      add(high, b);
      return;
    }
    Piece piece{a, b, 0, {}, at[7].label};
    if (!same || !closed_(at[7].label, a, b, piece.value)) gauss_kronrod(at, half, piece);
    pieces_.push_back(piece);
  }
  void gauss_kronrod(const Labelled<N>* at, double half, Piece& piece) const {
    const auto& wk = kronrod_rule().kronrod;
    const auto& wg = kronrod_rule().gauss;
    for (std::size_t c = 0; c < N; ++c) {
      double k = wk[0] * at[7].value[c], g = wg[0] * at[7].value[c];
      for (std::size_t j = 1; j < 8; ++j) {
        const double pair = at[7 - j].value[c] + at[7 + j].value[c];
        k += wk[j] * pair;
        if (j % 2 == 0) g += wg[j / 2] * pair;
      }
      piece.value[c] = k * half;
      piece.error = std::max(piece.error, std::abs(k - g) * half / scale_[c]);
    }
  }

  const F& f_;
  const Closed& closed_;
  const std::array<double, N>& scale_;
  double tolerance_, smallest_, range_ = 0;
  int cuts_ = 0;
  std::vector<Piece> pieces_;
};

}  // namespace kerfkiln::cushion
