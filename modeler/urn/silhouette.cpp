#include "modeler/urn/silhouette.hpp"

#include "modeler/plane/fit.hpp"

namespace kerfkiln::urn {

plane::Loop silhouette_chain(const Profile& profile, bool depth, Scale scale, double tolerance_mm) {
  const auto& spans = profile.spans();
  plane::Loop chain;
  for (std::size_t k = 0; k + 1 < profile.segments().size(); ++k) {
    const auto first = static_cast<std::size_t>(profile.segments()[k]);
    const auto last = static_cast<std::size_t>(profile.segments()[k + 1]) - 1;
    const double from = spans[first].begin, to = spans[last].begin + spans[last].length;
    const auto curve = [&](double t) -> plane::CurvePoint {
      // The span that ends at `to` answers for it, not the one behind the corner.
      int span = profile.span_of(t);
      if (t >= to) span = static_cast<int>(last);
      const ProfileJet j = profile.at(span, t);
      const double half = depth ? j.size.half_depth : j.size.half_width;
      const double rate = depth ? j.rate.half_depth : j.rate.half_width;
      return {{half * scale.girth, j.z * scale.height}, {rate * scale.girth, j.z_t * scale.height}};
    };
    plane::Loop piece = plane::fitted(curve, from, to, tolerance_mm);
    if (!chain.empty()) chain.pop_back();  // the corner begins the next piece
    chain.insert(chain.end(), piece.begin(), piece.end());
  }
  return chain;
}

}  // namespace kerfkiln::urn
