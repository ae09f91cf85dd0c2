#include <algorithm>
#include <cmath>

#include "modeler/urn/section/section_list.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kSamples = 48;

// Chords a unit of v that keep the sagitta, the worst of all sections.
std::vector<double> density(const SectionType& type, std::span<const SectionSize> sizes, int piece, double deviation) {
  std::vector<double> d(kSamples + 1, 0.0);
  for (const SectionSize& z : sizes)
    for (int i = 0; i <= kSamples; ++i) {
      // Not on the axis itself, where exponents below 2 have no curvature to speak of.
      const double v = std::clamp(static_cast<double>(i) / kSamples, 1e-4, 1 - 1e-4);
      const SectionJet j = type.jet(z, {}, {}, piece, v);
      const double speed = norm(j.p_v);
      if (speed <= 0) continue;
      const double bend = std::abs(cross(j.p_v, j.p_vv)) / speed;
      double& to = d[static_cast<std::size_t>(i)];
      to = std::max(to, std::sqrt(bend / (8 * deviation)));
    }
  return d;
}

std::vector<double> spread(const std::vector<double>& d, int count) {
  std::vector<double> sum(d.size(), 0.0);
  for (std::size_t i = 1; i < d.size(); ++i) sum[i] = sum[i - 1] + 0.5 * (d[i - 1] + d[i]);
  std::vector<double> v{0};
  std::size_t k = 1;
  for (int i = 1; i < count; ++i) {
    const double want = sum.back() * i / count;
    while (k + 1 < sum.size() && sum[k] < want) ++k;
    const double f = sum[k] > sum[k - 1] ? (want - sum[k - 1]) / (sum[k] - sum[k - 1]) : 1;
    v.push_back((static_cast<double>(k - 1) + f) / static_cast<double>(d.size() - 1));
  }
  v.push_back(1);
  return v;
}

// Largest sagitta of the chords over all sections. A place is prepared once and asked for every section.
double worst(const SectionType& type, std::span<const SectionSize> sizes, int piece, const std::vector<double>& v) {
  double most = 0;
  std::vector<Vec2> from, to(sizes.size());
  for (const SectionSize& z : sizes) from.push_back(type.point(z, piece, v[0]));
  for (std::size_t i = 1; i < v.size(); ++i) {
    const SectionPlace end = type.place(piece, v[i]);
    for (std::size_t k = 0; k < sizes.size(); ++k) to[k] = type.point_at(sizes[k], end);
    for (double f : {0.3, 0.5, 0.7}) {
      const SectionPlace at = type.place(piece, v[i - 1] + f * (v[i] - v[i - 1]));
      for (std::size_t k = 0; k < sizes.size(); ++k) {
        const Vec2 chord = to[k] - from[k];
        const double length = norm(chord);
        if (length > 0) most = std::max(most, std::abs(cross(chord, type.point_at(sizes[k], at) - from[k])) / length);
      }
    }
    from.swap(to);
  }
  return most;
}

std::vector<double> evenly(int n) {
  std::vector<double> v(static_cast<std::size_t>(n) + 1);
  for (int i = 0; i <= n; ++i) v[static_cast<std::size_t>(i)] = static_cast<double>(i) / n;
  return v;
}

}  // namespace

std::vector<double> places_by_curvature(const SectionType& type, std::span<const SectionSize> sizes, int piece,
                                        double deviation) {
  const std::vector<double> d = density(type, sizes, piece, deviation);
  double total = 0;
  for (std::size_t i = 1; i < d.size(); ++i) total += 0.5 * (d[i - 1] + d[i]) / kSamples;
  int count = std::max(1, static_cast<int>(std::ceil(total)));
  for (int round = 0; round < 40; ++round) {
    std::vector<double> v = spread(d, count);
    const double off = worst(type, sizes, piece, v);
    if (off <= deviation) return v;
    count = std::max(count + 1, static_cast<int>(std::ceil(count * std::min(1.5, std::sqrt(off / deviation)))));
  }
  return spread(d, count);
}

std::vector<double> arc_places(std::span<const SectionSize> sizes, double sweep, double deviation) {
  double radius = 0;
  for (const SectionSize& z : sizes) radius = std::max(radius, z.shape);
  if (radius <= deviation) return {0, 1};
  const int n = static_cast<int>(std::ceil(sweep / (2 * std::acos(1 - deviation / radius))));
  return evenly(std::max(sweep > 1.2 ? 2 : 1, n));
}

std::vector<double> flat_places(std::span<const SectionSize> sizes, double part, double deviation) {
  double bow = 0;
  for (const SectionSize& z : sizes)
    bow = std::max(bow, z.bow * std::min(1.0, 1 - z.shape / std::max(z.half_width, z.half_depth)));
  // The sag bends by at most 8 over s = -1 ... 1.
  return evenly(std::max(1, static_cast<int>(std::ceil(part * std::sqrt(bow / deviation)))));
}

double perimeter_by_rule(const SectionType& type, const SectionSize& z) {
  double sum = 0;
  for (int piece = 0; piece < type.pieces; ++piece)
    for (const GaussNode& g : type.rule(piece, 30)) sum += g.weight * norm(type.jet(z, {}, {}, piece, g.at).p_v);
  return 4 * sum;
}

}  // namespace kerfkiln::urn
