// Adaptive Gauss-Kronrod integration of vectors whose integrand is smooth only between places where a label changes.
// The places are found by bisection and the range is cut there, so that kinks cost a few evaluations instead of
// spoiling convergence: at once where the pieces are then known in closed form, else only where the error asks for it.
// Nodes and weights from Boost.Math.
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

enum class Cuts { at_once, where_wanted };

template <std::size_t N>
struct Labelled {
  std::array<double, N> value{};
  std::uint64_t label = 0;
};
template <std::size_t N>
struct Integral {
  std::array<double, N> value{};
  double error = 0;                            // the largest of the scaled error estimates, summed over the pieces
  std::uint64_t trail = 1469598103934665603u;  // mixes the labels met, in order
};

// f(x) -> Labelled<N>. closed(label, a, b, value) -> bool fills the integral where it is known in closed form.
// tolerance: absolute, for the whole range, of the components after division by scale[i].
template <std::size_t N, class F, class Closed>
class LabelledQuadrature {
 public:
  // smallest: pieces below this share of the range are not cut further; a kink misplaced by h costs about h^2.
  LabelledQuadrature(const F& f, const Closed& closed, const std::array<double, N>& scale, double tolerance,
                     double smallest, Cuts when)
      : f_(f), closed_(closed), scale_(scale), tolerance_(tolerance), smallest_(smallest), when_(when) {}

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
      const Piece piece = pieces_[worst];
      if (error <= tolerance_ || pieces_.size() >= kPieces || piece.b - piece.a < smallest_ * range_) break;
      pieces_.erase(pieces_.begin() + static_cast<std::ptrdiff_t>(worst));
      double middle = (piece.a + piece.b) / 2;
      if (piece.kink.high > piece.kink.low && cuts_ < kCuts) {
        ++cuts_;
        middle = place_of(piece.kink, piece.b - piece.a);
      }
      add(piece.a, middle);
      add(middle, piece.b);
    }
    std::sort(pieces_.begin(), pieces_.end(), [](const Piece& p, const Piece& q) { return p.a < q.a; });
    std::uint64_t last = 0;
    bool first = true;
    for (const Piece& p : pieces_) {
      for (std::size_t c = 0; c < N; ++c) sum.value[c] += p.value[c];
      sum.error += p.error;
      for (std::uint64_t label : p.kink.high > p.kink.low ? p.labels : std::array{p.labels[0], p.labels[0]}) {
        if (first || label != last) sum.trail = (sum.trail ^ label) * 1099511628211u;
        first = false;
        last = label;
      }
    }
    return sum;
  }

 private:
  // Labels that flicker by rounding must not cost without bound: after kCuts kinks are left to halving by error, after
  // kPieces the error is what it is, and reported.
  static constexpr int kCuts = 40;
  static constexpr double kShare = 1e-4;
  static constexpr std::size_t kPieces = 120;
  struct Kink {
    double low = 0, high = 0;  // high > low: the label changes between them
    std::uint64_t label = 0;   // at low
  };
  struct Piece {
    double a, b, error;
    std::array<double, N> value;
    std::array<std::uint64_t, 2> labels;  // at the first and the last node
    Kink kink;
  };

  // Cut later, a kink is placed as well as its piece needs: if that was not enough it is cut again.
  double place_of(Kink k, double piece) const {
    const double close = std::max(smallest_ * range_ / 4, when_ == Cuts::at_once ? 0.0 : kShare * piece);
    while (k.high - k.low > close) {
      const double m = (k.low + k.high) / 2;
      (f_(m).label == k.label ? k.low : k.high) = m;
    }
    return k.high;
  }

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
    Piece piece{a, b, 0, {}, {at[0].label, at[14].label}, {}};
    for (int i = 0; i < 14; ++i)
      if (at[i].label != at[i + 1].label) {
        piece.kink = {place[i], place[i + 1], at[i].label};
        break;
      }
    const bool same = !(piece.kink.high > piece.kink.low);
    if (!same && when_ == Cuts::at_once && cuts_ < kCuts && b - a >= smallest_ * range_) {
      ++cuts_;
      const double cut = place_of(piece.kink, b - a);
      add(a, cut);
      add(cut, b);
      return;
    }
    if (!same || !closed_(at[7].label, a, b, piece.value)) gauss_kronrod(at, half, piece);
    // Across a kink the two rules can come out alike by chance.
    if (!same) piece.error *= 2;
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
  Cuts when_;
  int cuts_ = 0;
  std::vector<Piece> pieces_;
};

}  // namespace kerfkiln::cushion
