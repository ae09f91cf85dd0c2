#include "modeler/urn/squaring.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/plane/fit.hpp"
#include "modeler/urn/measure.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;

// Chebyshev points of the second kind on 0 ... 1, ends included.
double node(std::size_t i, std::size_t n) {
  return 0.5 - 0.5 * std::cos(kPi * static_cast<double>(i) / static_cast<double>(n - 1));
}

}  // namespace

double round_diameter(double perimeter_mm, double stretch) { return perimeter_mm / (kPi * stretch); }

RoundProfile::RoundProfile(const Form& form, double stretch) : profile_(&form.profile()) {
  const auto& spans = profile_->spans();
  for (std::size_t k = 0; k < spans.size(); ++k) {
    std::vector<double>& row = values_.emplace_back(kNodes);
    for (std::size_t i = 0; i < kNodes; ++i) {
      const SectionSize size =
          profile_->at(static_cast<int>(k), spans[k].begin + spans[k].length * node(i, kNodes)).size;
      row[i] = round_diameter(form.section().perimeter(size), stretch) / 2;
    }
  }
}

// Barycentric form (Berrut and Trefethen, SIAM Review 46(3) 2004): weights alternate in sign, the ends count half.
double RoundProfile::radius(int span, double t) const {
  const ProfileSpan& s = profile_->spans()[static_cast<std::size_t>(span)];
  const std::vector<double>& row = values_[static_cast<std::size_t>(span)];
  const double x = (t - s.begin) / s.length;
  double above = 0, below = 0;
  for (std::size_t i = 0; i < kNodes; ++i) {
    const double d = x - node(i, kNodes);
    if (d == 0) return row[i];
    const double w = (i % 2 == 0 ? 1 : -1) * (i == 0 || i + 1 == kNodes ? 0.5 : 1) / d;
    above += w * row[i];
    below += w;
  }
  return above / below;
}

double RoundProfile::slope(int span, double t) const {
  const ProfileSpan& s = profile_->spans()[static_cast<std::size_t>(span)];
  // Central difference on the polynomial, which goes on beyond the span's ends.
  const double h = 1e-4 * s.length;
  return (radius(span, t + h) - radius(span, t - h)) / (2 * h);
}

double RoundProfile::radius_at(double z) const {
  const double t = profile_->at_height(z);
  return radius(profile_->span_of(t), t);
}

double RoundProfile::widest() const {
  double most = 0;
  for (const auto& row : values_) most = std::max(most, *std::max_element(row.begin(), row.end()));
  return most;
}

plane::Loop RoundProfile::chain(Scale scale, double tolerance_mm) const {
  const auto& spans = profile_->spans();
  plane::Loop chain;
  const auto add = [&](std::size_t first, std::size_t last) {
    const double from = spans[first].begin, to = spans[last].begin + spans[last].length;
    const auto curve = [&](double t) -> plane::CurvePoint {
      int span = profile_->span_of(t);
      if (t >= to) span = static_cast<int>(last);
      const ProfileJet j = profile_->at(span, t);
      return {{radius(span, t) * scale.girth, j.z * scale.height},
              {slope(span, t) * scale.girth, j.z_t * scale.height}};
    };
    plane::Loop piece = plane::fitted(curve, from, to, tolerance_mm);
    if (!chain.empty()) chain.pop_back();
    chain.insert(chain.end(), piece.begin(), piece.end());
  };
  // Broken at corners, and where the perimeter itself has a kink (a corner radius that follows the half sizes).
  std::size_t first = 0;
  for (std::size_t k = 1; k < spans.size(); ++k) {
    const double t = spans[k].begin;
    const double before = slope(static_cast<int>(k) - 1, t), after = slope(static_cast<int>(k), t);
    if (!spans[k].corner_before && std::abs(after - before) < 1e-4 * (1 + std::abs(before))) continue;
    add(first, k - 1);
    first = k;
  }
  add(first, spans.size() - 1);
  return chain;
}

double RoundProfile::meridian(Scale scale) const {
  double sum = 0;
  for (std::size_t k = 0; k < profile_->spans().size(); ++k) {
    const ProfileSpan& s = profile_->spans()[k];
    sum += integrate(10, s.begin, s.begin + s.length, [&](double t) {
      const int span = static_cast<int>(k);
      return std::hypot(slope(span, t) * scale.girth, profile_->at(span, t).z_t * scale.height);
    });
  }
  return sum;
}

double mean_meridian(const Form& form, Scale scale) {
  const Profile& p = form.profile();
  const double widest = p.at_height(0.5 * (form.low() + form.high()));
  const ProfileJet reference = p.at(widest);
  double sum = 0, weights = 0;
  for (int piece = 0; piece < form.section().pieces; ++piece)
    for (const GaussNode& g : form.section().rule(piece, 10)) {
      const double weight = g.weight * norm(form.jet(reference, piece, g.at).p_v);
      if (!(weight > 0)) continue;
      double length = 0;
      for (std::size_t k = 0; k < p.spans().size(); ++k) {
        const ProfileSpan& s = p.spans()[k];
        length += integrate(10, s.begin, s.begin + s.length, [&](double t) {
          const Vec3 d = form.jet(p.at(static_cast<int>(k), t), piece, g.at).p_t;
          return std::hypot(std::hypot(d.x, d.y) * scale.girth, d.z * scale.height);
        });
      }
      sum += weight * length;
      weights += weight;
    }
  return sum / weights;
}

std::vector<ThrownStation> thrown_stations(const Form& form, Scale scale, double stretch, double every_mm) {
  std::vector<double> fired{form.low()};
  const double step = every_mm / scale.height;
  for (int i = 1; i * step < form.height() - 0.25 * step; ++i) fired.push_back(form.low() + i * step);
  fired.push_back(form.high());
  std::vector<std::pair<double, bool>> places;
  for (const double z : fired) places.emplace_back(z, false);
  for (const ProfileSpan& s : form.profile().spans())
    if (s.corner_before) {
      const double z = value(s.height, 0);
      const auto near =
          std::find_if(places.begin(), places.end(), [&](const auto& x) { return std::abs(x.first - z) < 1e-6; });
      if (near != places.end())
        near->second = true;
      else
        places.emplace_back(z, true);
    }
  std::sort(places.begin(), places.end());
  std::vector<ThrownStation> out;
  for (const auto& [z, corner] : places) {
    const SectionMeasure m = measure_section(form, z);
    ThrownStation s;
    s.height = (z - form.low()) * scale.height;
    s.perimeter = m.perimeter * scale.girth;
    s.diameter = round_diameter(s.perimeter, stretch);
    s.width = 2 * m.size.half_width * scale.girth;
    s.depth = 2 * m.size.half_depth * scale.girth;
    s.fired_height = z - form.low();
    s.corner = corner;
    out.push_back(s);
  }
  return out;
}

}  // namespace kerfkiln::urn
