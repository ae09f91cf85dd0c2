#include "modeler/urn/silhouette.hpp"

#include <cmath>

#include "modeler/plane/fit.hpp"

namespace kerfkiln::urn {
namespace {

// Calls f(first span, last span, from, to) for each stretch between corners.
template <class F>
void each_segment(const Profile& profile, F&& f) {
  const auto& spans = profile.spans();
  for (std::size_t k = 0; k + 1 < profile.segments().size(); ++k) {
    const int first = profile.segments()[k], last = profile.segments()[k + 1] - 1;
    const ProfileSpan &a = spans[static_cast<std::size_t>(first)], &b = spans[static_cast<std::size_t>(last)];
    f(first, last, a.begin, b.begin + b.length);
  }
}

void join(plane::Loop& chain, plane::Loop piece) {
  if (!chain.empty()) chain.pop_back();  // the corner begins the next piece
  chain.insert(chain.end(), piece.begin(), piece.end());
}

plane::Loop smooth_chain(const Form& form, bool depth, Scale scale, double tolerance) {
  const SectionType& section = form.section();
  const int piece = depth ? section.pieces - 1 : 0;
  plane::Loop chain;
  each_segment(form.profile(), [&](int, int last, double from, double to) {
    const auto curve = [&](double t) -> plane::CurvePoint {
      // The span that ends at `to` answers for it, not the one behind the corner.
      const ProfileJet j = form.profile().at(t >= to ? last : form.profile().span_of(t), t);
      Vec2 at{depth ? j.size.half_depth : j.size.half_width, 0};
      double rate = depth ? j.rate.half_depth : j.rate.half_width;
      if (form.crown() != 0) {
        const SectionJet s = section.jet(j.size, j.rate, j.rate2, piece, depth ? 1 : 0);
        at.x = depth ? s.p.y : s.p.x, rate = depth ? s.p_t.y : s.p_t.x;
      }
      return {{at.x * scale.girth, j.z * scale.height}, {rate * scale.girth, j.z_t * scale.height}};
    };
    join(chain, plane::fitted(curve, from, to, tolerance));
  });
  return chain;
}

// Halves until the chord is near enough, so that kinks are closed in on: the foremost arris of a twisted form changes.
template <class At>
void halve(double a, Vec2 pa, double b, Vec2 pb, double tolerance, int halvings, At&& at, plane::Loop& out) {
  constexpr int kMost = 16, kAnyhow = 4;  // an S may cross its chord in the middle
  const double m = 0.5 * (a + b);
  const Vec2 pm = at(m);
  const double chord = norm(pb - pa);
  const double off = chord > 0 ? std::abs(cross(pb - pa, pm - pa)) / chord : norm(pm - pa);
  if (halvings < kMost && (off > tolerance || halvings < kAnyhow)) {
    halve(a, pa, m, pm, tolerance, halvings + 1, at, out);
    halve(m, pm, b, pb, tolerance, halvings + 1, at, out);
    return;
  }
  out.push_back({pb, 0, 0});
}

// reach(ProfileJet): distance from the axis.
template <class Reach>
plane::Loop polyline(const Form& form, Scale scale, double tolerance, Reach&& reach) {
  const Profile& profile = form.profile();
  plane::Loop chain;
  each_segment(profile, [&](int first, int last, double, double) {
    plane::Loop piece;
    for (int k = first; k <= last; ++k) {
      const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(k)];
      const auto at = [&](double t) {
        const ProfileJet j = profile.at(k, t);
        return Vec2{reach(j) * scale.girth, j.z * scale.height};
      };
      const Vec2 from = at(s.begin), to = at(s.begin + s.length);
      if (piece.empty()) piece.push_back({from, 0, 0});
      halve(s.begin, from, s.begin + s.length, to, tolerance, 0, at, piece);
    }
    join(chain, std::move(piece));
  });
  return chain;
}

}  // namespace

plane::Loop silhouette_chain(const Form& form, bool depth, Scale scale, double tolerance_mm) {
  if (!form.twisted()) return smooth_chain(form, depth, scale, tolerance_mm);
  return polyline(form, scale, tolerance_mm, [&](const ProfileJet& j) { return form.half_extent(j, depth); });
}

plane::Loop cut_chain(const Form& form, bool depth, Scale scale, double tolerance_mm) {
  if (!form.twisted()) return smooth_chain(form, depth, scale, tolerance_mm);
  const Vec2 direction = depth ? Vec2{0, 1} : Vec2{1, 0};
  return polyline(form, scale, tolerance_mm, [&](const ProfileJet& j) { return form.outer_reach(direction, j); });
}

}  // namespace kerfkiln::urn
