#include "modeler/cushion/comfort/foam_law.hpp"

#include <cmath>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kMostPower = 40;

// The only solution of A 0.25^m + B 0.25^n = s25, A 0.65^m + B 0.65^n = s65.
struct Pair {
  double a, b;
};
Pair solved(double s25, double s65, double n) {
  const double m = FoamLaw::kLowPower;
  const double p = std::pow(0.25, m), q = std::pow(0.25, n), r = std::pow(0.65, m), s = std::pow(0.65, n);
  const double det = p * s - q * r;
  return {(s25 * s - s65 * q) / det, (s65 * p - s25 * r) / det};
}
bool rises(const Pair& c) { return c.a > 0 && c.b >= 0; }
double at_40(double s25, double s65, double n) {
  const Pair c = solved(s25, s65, n);
  return c.a * std::pow(0.4, FoamLaw::kLowPower) + c.b * std::pow(0.4, n);
}

Finding unfit(std::string message) {
  return {Severity::warning, "comfort.fit", "", std::move(message), "check the numbers against the supplier's sheet"};
}

// Root of a rising function on low ... high.
template <class F>
double bisected(double low, double high, F rising) {
  for (int i = 0; i < 200 && high > low; ++i) {
    const double mid = (low + high) / 2;
    if (mid <= low || mid >= high) break;
    (rising(mid) < 0 ? low : high) = mid;
  }
  return (low + high) / 2;
}

}  // namespace

double uniaxial_kpa(double force_n, double ratio) { return force_n / (kFootM2 * ratio) / 1000; }

Result<FoamLaw> FoamLaw::through(double s25, double s65) {
  const Pair c = solved(s25, s65, kHighPower);
  if (s25 > 0 && s65 > 0 && rises(c)) return FoamLaw(c.a, c.b, kHighPower);
  const double least = std::pow(2.6, kLowPower), most = std::pow(2.6, kHighPower);
  return unfit("a support factor of " + trimmed_number(s65 / s25, 3) + " fits no foam; permitted is " +
               trimmed_number(least, 2) + " to " + trimmed_number(most, 1));
}

Result<FoamLaw> FoamLaw::through(double s25, double s40, double s65) {
  const Result<FoamLaw> two = through(s25, s65);
  if (!two) return two;
  // The larger the power, the flatter the curve starts. Powers that leave A > 0 form a range upward from the least.
  const double support = s65 / s25;
  const double least = std::max(1.0, std::log(support) / std::log(2.6)) + 1e-6;
  const double high = at_40(s25, s65, least), low = at_40(s25, s65, kMostPower);
  if (!(s40 >= low && s40 <= high))
    return unfit("hardness at 40 % is " + trimmed_number(s40 / s25, 3) + " of that at 25 %; with a support factor of " +
                 trimmed_number(support, 3) + " permitted is " + trimmed_number(low / s25, 3) + " to " +
                 trimmed_number(high / s25, 3));
  const double n = bisected(least, kMostPower, [&](double x) { return s40 - at_40(s25, s65, x); });
  const Pair c = solved(s25, s65, n);
  return FoamLaw(c.a, c.b, n);
}

double FoamLaw::curve(double e) const { return a_ * std::pow(e, kLowPower) + b_ * std::pow(e, n_); }
double FoamLaw::stress(double e) const {
  return e < kStraightStrain ? curve(kStraightStrain) * e / kStraightStrain : curve(e);
}
double FoamLaw::slope(double e) const {
  if (e < kStraightStrain) return curve(kStraightStrain) / kStraightStrain;
  return kLowPower * a_ * std::pow(e, kLowPower - 1) + n_ * b_ * std::pow(e, n_ - 1);
}
double FoamLaw::strain(double s) const {
  if (s <= 0) return 0;
  if (s >= stress(1)) return 1;
  return bisected(0, 1, [&](double e) { return stress(e) - s; });
}
FoamLaw FoamLaw::scaled(double factor) const { return {a_ * factor, b_ * factor, n_}; }

PlateauLaw::PlateauLaw(double s25, double support, double density)
    : at_25_(s25),
      densification_(open_cell(density).densification),
      power_(std::log(support) / std::log((densification_ - 0.25) / (densification_ - 0.65))) {}
double PlateauLaw::stress(double e) const {
  const auto curve = [&](double x) {
    return at_25_ * std::pow((densification_ - 0.25) / (densification_ - x), power_);
  };
  return e < kStraightStrain ? curve(kStraightStrain) * e / kStraightStrain : curve(e);
}
double PlateauLaw::strain(double s) const {
  if (s <= 0) return 0;
  const double knee = stress(kStraightStrain);
  if (s < knee) return kStraightStrain * s / knee;
  return densification_ - (densification_ - 0.25) * std::pow(at_25_ / s, 1 / power_);
}

OpenCell open_cell(double density, double solid, double modulus) {
  const double r = density / solid;
  return {modulus * r * r, 0.05 * modulus * r * r, 1 - 1.4 * r};
}

CompressionSet compression_set(double t0, double held, double back) {
  return {(t0 - back) / t0, (t0 - back) / (t0 - held)};
}
double hysteresis(double in, double out) { return (in - out) / in; }

}  // namespace kerfkiln::cushion
