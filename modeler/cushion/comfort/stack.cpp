#include "modeler/cushion/comfort/stack.hpp"

#include <algorithm>

namespace kerfkiln::cushion {

StackState pressed(std::span<const StackLayer> stack, double pressure) {
  StackState s;
  for (const StackLayer& l : stack) {
    s.strains.push_back(l.law.strain(pressure));
    s.sag_mm += l.thickness_mm * s.strains.back();
    s.height_mm += l.thickness_mm;
  }
  return s;
}

Bottoming StackState::bottoming() const {
  return overall() > 0.65 ? Bottoming::bottomed : overall() > 0.55 ? Bottoming::near : Bottoming::none;
}
Bottoming layer_bottoming(const StackLayer& l, double strain) {
  if (strain > kBottomedStrain || strain > l.densification - 0.1) return Bottoming::bottomed;
  return strain > 0.65 ? Bottoming::near : Bottoming::none;
}
double margin(const StackLayer& l, double pressure) { return l.law.stress(0.65) / pressure; }

double pressure_at(std::span<const StackLayer> stack, double overall) {
  double low = 0, high = 0;
  for (const StackLayer& l : stack) high = std::max(high, l.law.stress(1));
  for (int i = 0; i < 200; ++i) {
    const double mid = (low + high) / 2;
    if (mid <= low || mid >= high) break;
    (pressed(stack, mid).overall() < overall ? low : high) = mid;
  }
  return (low + high) / 2;
}

double stiffness_kpa_mm(std::span<const StackLayer> stack, double pressure) {
  std::vector<double> springs;
  for (const StackLayer& l : stack) springs.push_back(l.law.slope(l.law.strain(pressure)) / l.thickness_mm);
  return series_stiffness(springs);
}
double series_stiffness(std::span<const double> springs) {
  double give = 0;
  for (double k : springs) give += 1 / k;
  return 1 / give;
}

std::vector<StackLayer> harder(std::span<const StackLayer> stack, double factor) {
  std::vector<StackLayer> out(stack.begin(), stack.end());
  for (StackLayer& l : out) l.law = l.law.scaled(factor);
  return out;
}
std::vector<StackLayer> aged(std::span<const StackLayer> stack) {
  std::vector<StackLayer> out(stack.begin(), stack.end());
  for (StackLayer& l : out) {
    l.law = l.law.scaled(1 - l.hardness_loss);
    l.thickness_lost += l.thickness_mm * l.set;
    l.thickness_mm *= 1 - l.set;
  }
  return out;
}

Grade effective_grade(std::span<const StackLayer> stack, double ratio) {
  const double p25 = pressure_at(stack, 0.25);
  return {p25 * 1000 * kFootM2 * ratio, pressure_at(stack, 0.65) / p25};
}

}  // namespace kerfkiln::cushion
