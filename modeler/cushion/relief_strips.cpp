#include "modeler/cushion/relief_strips.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// No other source shows on the ray. Another's influence begins at one point of some ray: the places are so close,
// closest where a curved profile is steep, that it stays below the usual deviations until they notice it.
bool rules(const DropField& field, Vec2 q, Vec2 n, int id, double depth) {
  if (field.inset_max() <= 0) return true;
  constexpr double kNoise = 1e-9;
  constexpr double kOwn[] = {0, 0.02, 0.04, 0.08, 0.16, 0.25, 0.34, 0.43, 0.52, 0.61, 0.7, 0.8, 0.9, 1};
  constexpr int kBeyond = 4;
  const EdgeProfile& own = field.profile(id);
  if (!own.square())
    for (double u : kOwn) {
      const Vec2 at = own.curve->point(u);
      if (field.exceeds(q + at.x * n, at.y + kNoise)) return false;
    }
  for (int k = 0; k <= kBeyond && own.inset < depth; ++k)
    if (field.exceeds(q + (own.inset + (depth - own.inset) * k / kBeyond) * n, kNoise)) return false;
  return true;
}

}  // namespace

StripFitter::StripFitter(const Form& form, const ReliefHeights& heights, double deviation)
    : form_(form),
      heights_(heights),
      deviation_(deviation),
      top_(form.field(Sheet::top)),
      bottom_(form.field(Sheet::bottom)),
      boundary_(top_.boundary()) {
  uniform_ = top_.uniform() && bottom_.uniform();
}

const Stations* StripFitter::stations_of(int id) {
  const EdgeProfile& t = top_.profile(id);
  const EdgeProfile& b = bottom_.profile(id);
  const auto key = std::make_pair(t.curve.get(), b.curve.get());
  if (const auto it = stations_.find(key); it != stations_.end()) return &it->second;
  return &stations_.emplace(key, make_stations(t, b)).first->second;
}

Stations StripFitter::make_stations(const EdgeProfile& t, const EdgeProfile& b) const {
  const double height = form_.height();
  std::vector<double> must{0.0};
  double start_top = height - t.drop, start_bottom = b.drop;
  const auto require = [&](double d, double z, double& start) {
    if (d <= 0) return;
    // So near the side face that the face itself can end at the level.
    if (d < kClosestStations)
      start = z;
    else
      must.push_back(d);
  };
  // Under a rise level curves run across strips, which are cut there afterwards.
  if (!form_.risen())
    for (double z : heights_.levels) {
      if (height - z < t.drop && height - z > 0) require(t.inset_at(height - z), z, start_top);
      if (z < b.drop && z > 0) require(b.inset_at(z), z, start_bottom);
    }
  if (!t.square()) must.push_back(t.inset);
  if (!b.square()) must.push_back(b.inset);
  std::sort(must.begin(), must.end());
  std::vector<double> d{0.0};
  for (double x : must)
    if (x - d.back() > kClosestStations / 2) d.push_back(x);
  const std::vector<double> fixed = d;
  for (const EdgeProfile* p : {&t, &b}) {
    if (p->square() || (p == &b && t == b)) continue;
    const int n = p->curve->pieces(kStripAcross * deviation_);
    for (std::size_t i = 0; i + 1 < fixed.size(); ++i) {
      const double u0 = p->curve->parameter(fixed[i]), u1 = p->curve->parameter(fixed[i + 1]);
      const int k = static_cast<int>(std::ceil(n * (u1 - u0) - 1e-6));
      for (int j = 1; j < k; ++j) d.push_back(p->curve->point(u0 + (u1 - u0) * j / k).x);
    }
  }
  std::sort(d.begin(), d.end());
  Stations s;
  std::size_t next_fixed = 0;
  for (double x : d) {
    while (next_fixed < fixed.size() && fixed[next_fixed] < x) ++next_fixed;
    const bool is_fixed = next_fixed < fixed.size() && fixed[next_fixed] == x;
    if (!is_fixed && (x - s.d.back() < kClosestStations || fixed[next_fixed] - x < kClosestStations)) continue;
    s.d.push_back(x);
  }
  for (std::size_t i = 0; i + 1 < s.d.size(); ++i) s.widest = std::max(s.widest, s.d[i + 1] - s.d[i]);
  for (double x : s.d) {
    double zt = x == 0 ? start_top : height - t.drop_at(x), zb = x == 0 ? start_bottom : b.drop_at(x);
    double ht, hb;
    heights_.set(zt, zb, ht, hb);
    s.top.push_back(ht);
    s.bottom.push_back(hb);
  }
  return s;
}

bool StripFitter::clean_ray(Vec2 q, Vec2 n, int id, int id2, double depth) const {
  if (boundary_.contact(q, n, depth * (1 - 1e-9), id, id2).element >= 0) return false;
  if (!boundary_.convex()) {
    // Distant parts must keep clear: rays between the samples are not looked at.
    const Boundary::Contact c = boundary_.contact(q, n, depth * 1.02 + 0.05, id, id2);
    const std::span<const Element> el = boundary_.elements();
    const auto near = [&](int i) {
      return c.element == el[at(i)].next || c.element == el[at(i)].previous || c.element == i ||
             c.element == el[at(el[at(i)].next)].next || c.element == el[at(el[at(i)].previous)].previous;
    };
    if (c.element >= 0 && !near(id)) return false;
  }
  if (uniform_) return true;
  return rules(top_, q, n, id, depth) && rules(bottom_, q, n, id, depth);
}

// At a shared end no ray can tell how near the neighbour is.
bool StripFitter::end_clean(int id, int neighbour, bool at_end, double depth) const {
  const Element& e = boundary_.elements()[at(id)];
  const Element& f = boundary_.elements()[at(neighbour)];
  const Vec2 m = at_end ? e.inward(1) : f.inward(1), k = at_end ? f.inward(0) : e.inward(0);
  if (std::atan2(cross(m, k), dot(m, k)) > 1e-7) return false;
  return !(f.arc && f.ccw && f.radius < depth * (1 - 1e-9));
}

bool StripFitter::clean_at(int id, double u, double depth) const {
  const Element& e = boundary_.elements()[at(id)];
  if (u <= 0 && !end_clean(id, e.previous, false, depth)) return false;
  if (u >= 1 && !end_clean(id, e.next, true, depth)) return false;
  return clean_ray(e.point(u), e.inward(u), id, -1, depth);
}

Stretch StripFitter::stretch(int id) {
  const Element& e = boundary_.elements()[at(id)];
  if (top_.blended(id) || bottom_.blended(id)) return {};
  const double depth = std::max(top_.profile(id).inset, bottom_.profile(id).inset);
  if (depth <= 0 || e.length < 10 * kClosestStations) return {};
  Stretch s{stations_of(id), 0, 1};
  const double room = e.arc && e.ccw ? e.radius - depth : depth;
  if (room < -1e-9 || (room > kCollapsedArc && room * std::abs(e.sweep) < 0.05 && e.arc)) return {};
  const int n =
      uniform_ && boundary_.convex() ? 1 : std::clamp(static_cast<int>(std::ceil(4 * e.length / depth)), 4, 96);
  int best_first = 0, best = -1;
  std::vector<char> clean(at(n) + 1);
  for (int i = 0, first = 0; i <= n; ++i) {
    clean[at(i)] = clean_at(id, static_cast<double>(i) / n, depth);
    if (!clean[at(i)]) first = i + 1;
    if (i - first > best - best_first) {
      best_first = first;
      best = i;
    }
  }
  if (best_first == 0 && best == n) return s;
  if (e.arc) return {};
  if (n == 1) {
    // The inscribed ball of a convex outline is largest somewhere in the middle of a side.
    if (!clean_at(id, 0.5, depth)) return {};
    s.from = clean[0] ? 0.0 : bound(id, 0.0, 0.5, depth);
    s.to = clean[1] ? 1.0 : bound(id, 1.0, 0.5, depth);
  } else {
    if (best <= best_first) return {};
    const double step = 1.0 / n;
    s.from = best_first == 0 ? 0.0 : bound(id, (best_first - 1) * step, best_first * step, depth);
    s.to = best == n ? 1.0 : bound(id, (best + 1) * step, best * step, depth);
  }
  if ((s.to - s.from) * e.length < 1) return {};
  return s;
}

double StripFitter::bound(int id, double dirty, double clean, double depth) const {
  for (int i = 0; i < 24; ++i) {
    const double mid = (dirty + clean) / 2;
    (clean_at(id, mid, depth) ? clean : dirty) = mid;
  }
  return clean;
}

}  // namespace kerfkiln::cushion
