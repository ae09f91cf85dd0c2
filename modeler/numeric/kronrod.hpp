// Gauss-Kronrod rules on 0 ... 1: an integral and an estimate of its error from the same values.
#pragma once
#include <algorithm>
#include <cmath>
#include <span>

namespace kerfkiln {

struct KronrodNode {
  double at = 0, weight = 0;
  double gauss = 0;  // weight in the coarser Gauss rule, 0 for a node that it lacks
};
// Rules of 7 or 15 points, exact for polynomials of degree 11 and 23; another number is rounded up to one of these.
std::span<const KronrodNode> kronrod_rule(int points);

// The error of a Kronrod sum from its difference to the Gauss sum, which is the coarser one's error, and the integral
// of |f - its mean|, as QUADPACK estimates it (Piessens, de Doncker-Kapenga, Ueberhuber and Kahaner 1983; from memory);
// never more than the difference.
inline double kronrod_error(double difference, double variation) {
  difference = std::abs(difference);
  if (!(variation > 0)) return difference;
  return std::min(difference, variation * std::pow(200 * difference / variation, 1.5));
}

}  // namespace kerfkiln
