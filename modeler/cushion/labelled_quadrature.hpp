// Adaptive Gauss-Kronrod integration of vectors whose integrand is smooth only between places where a label changes.
// The places are found by bisection and the range is cut there, so that kinks cost a few evaluations instead of
// spoiling convergence. Nodes and weights from Boost.Math.
#pragma once
#include <array>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <cstdint>

namespace kerfkiln::cushion {

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

  Integral<N> over(double a, double b) {
    sum_ = {};
    pieces_ = 0;
    range_ = b - a;
    if (range_ > 0) piece(a, b, 0);
    return sum_;
  }

 private:
  using Kronrod = boost::math::quadrature::gauss_kronrod<double, 15>;
  using Gauss = boost::math::quadrature::gauss<double, 7>;
  static constexpr int kDepth = 60;
  // Labels that flicker by rounding must not cost without bound: after kCuts pieces kinks are left to bisection by
  // error, after kPieces the error is what it is, and reported.
  static constexpr int kCuts = 48, kPieces = 160;

  void piece(double a, double b, int depth) {
    const double mid = (a + b) / 2, half = (b - a) / 2;
    const auto& x = Kronrod::abscissa();
    Labelled<N> at[15];
    double place[15];
    for (int i = 0; i < 15; ++i) {
      const double offset = i < 7 ? -x[static_cast<std::size_t>(7 - i)] : x[static_cast<std::size_t>(i - 7)];
      place[i] = mid + half * offset;
      at[i] = f_(place[i]);
    }
    ++pieces_;
    const bool splittable = depth < kDepth && b - a > smallest_ * range_ && pieces_ < kPieces;
    for (int i = 0; splittable && pieces_ < kCuts && i < 14; ++i) {
      if (at[i].label == at[i + 1].label) continue;
      double low = place[i], high = place[i + 1];
      while (high - low > smallest_ * range_ / 4) {
        const double m = (low + high) / 2;
        (f_(m).label == at[i].label ? low : high) = m;
      }
      piece(a, high, depth + 1);
      piece(high, b, depth + 1);
      return;
    }
    std::array<double, N> value{};
    bool same = true;
    for (int i = 0; i < 14; ++i) same = same && at[i].label == at[i + 1].label;
    if (same && closed_(at[7].label, a, b, value)) {
      add(value, 0, at[7].label);
      return;
    }
    const auto& wk = Kronrod::weights();
    const auto& wg = Gauss::weights();
    double error = 0;
    for (std::size_t c = 0; c < N; ++c) {
      double k = wk[0] * at[7].value[c], g = wg[0] * at[7].value[c];
      for (std::size_t j = 1; j < 8; ++j) {
        const double pair = at[7 - j].value[c] + at[7 + j].value[c];
        k += wk[j] * pair;
        if (j % 2 == 0) g += wg[j / 2] * pair;
      }
      value[c] = k * half;
      error = std::max(error, std::abs(k - g) * half / scale_[c]);
    }
    if (error > tolerance_ * (b - a) / range_ && splittable) {
      piece(a, mid, depth + 1);
      piece(mid, b, depth + 1);
      return;
    }
    add(value, error, at[7].label);
  }
  void add(const std::array<double, N>& value, double error, std::uint64_t label) {
    for (std::size_t c = 0; c < N; ++c) sum_.value[c] += value[c];
    sum_.error += error;
    if (label == last_ && sum_.trail != Integral<N>{}.trail) return;
    last_ = label;
    sum_.trail = (sum_.trail ^ label) * 1099511628211u;
  }

  const F& f_;
  const Closed& closed_;
  const std::array<double, N>& scale_;
  double tolerance_, smallest_, range_ = 0;
  int pieces_ = 0;
  Integral<N> sum_;
  std::uint64_t last_ = 0;
};

}  // namespace kerfkiln::cushion
