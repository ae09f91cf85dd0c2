#include "modeler/cushion/drop.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "modeler/cushion/range_tree.hpp"

namespace kerfkiln::cushion {

DropField::DropField(const Boundary& boundary, const EdgeProfiles& edges) : boundary_(&boundary), profiles_(1) {
  const std::span<const Element> elements = boundary.elements();
  profile_of_.assign(elements.size(), 0);
  blend_of_.assign(elements.size(), -1);
  assign_runs(edges);

  std::vector<int> group_of(profiles_.size(), -1);
  for (std::size_t i = 0; i < elements.size(); ++i) {
    const int k = profile_of_[i];
    if (blend_of_[i] >= 0 || k == 0) continue;
    int& g = group_of[static_cast<std::size_t>(k)];
    if (g < 0) {
      g = static_cast<int>(groups_.size());
      groups_.push_back({k, {}, {}, {}});
    }
    Group& group = groups_[static_cast<std::size_t>(g)];
    group.elements.push_back(elements[i]);
    group.ids.push_back(static_cast<int>(i));
  }
  for (Group& g : groups_) {
    g.tree = tree_of(g.elements.size(), [&](std::size_t i) { return box_of(g.elements[i]); });
    inset_max_ = std::max(inset_max_, profiles_[static_cast<std::size_t>(g.profile)].inset);
    drop_max_ = std::max(drop_max_, profiles_[static_cast<std::size_t>(g.profile)].drop);
  }
  if (!blends_.empty())
    blend_tree_ = tree_of(blends_.size(), [&](std::size_t i) {
      return box_of(elements[static_cast<std::size_t>(blends_[i].element)]);
    });
  for (const Blend& b : blends_) {
    inset_max_ = std::max(inset_max_, b.reach);
    for (int k : {b.from, b.to}) drop_max_ = std::max(drop_max_, profiles_[static_cast<std::size_t>(k)].drop);
  }
  uniform_ = blends_.empty() && (groups_.empty() || (groups_.size() == 1 && groups_[0].ids.size() == elements.size()));
}

int DropField::profile_index(const EdgeProfile& profile) {
  for (std::size_t i = 0; i < profiles_.size(); ++i)
    if (profiles_[i] == profile) return static_cast<int>(i);
  profiles_.push_back(profile);
  return static_cast<int>(profiles_.size()) - 1;
}

void DropField::assign_runs(const EdgeProfiles& edges) {
  const std::span<const Element> elements = boundary_->elements();
  std::vector<int> of_side(edges.by_side.size() + 1, -1);  // the last: other
  const auto index_of = [&](int side) {
    const bool named = side >= 0 && side < static_cast<int>(edges.by_side.size());
    int& k = of_side[named ? static_cast<std::size_t>(side) : edges.by_side.size()];
    if (k < 0) k = profile_index(edges.of(side));
    return k;
  };
  std::vector<char> done(elements.size(), 0);
  for (std::size_t i = 0; i < elements.size(); ++i) {
    if (elements[i].side < 0) continue;
    const int from = profile_of_[i] = index_of(elements[i].side);
    done[i] = 1;
    // The run of segments without a side that follows this one.
    double length = 0;
    std::size_t last = static_cast<std::size_t>(elements[i].next);
    for (; elements[last].side < 0; last = static_cast<std::size_t>(elements[last].next)) length += elements[last].length;
    const int to = index_of(elements[last].side);
    double along = 0;
    for (std::size_t j = static_cast<std::size_t>(elements[i].next); j != last;
         j = static_cast<std::size_t>(elements[j].next)) {
      done[j] = 1;
      const double begin = along / length;
      along += elements[j].length;
      if (from == to) {
        profile_of_[j] = from;
        continue;
      }
      blend_of_[j] = static_cast<int>(blends_.size());
      const auto inset = [&](int k) { return profiles_[static_cast<std::size_t>(k)].inset; };
      blends_.push_back({static_cast<int>(j), from, to, begin, along / length, std::max(inset(from), inset(to))});
    }
  }
  for (std::size_t i = 0; i < elements.size(); ++i)
    if (!done[i]) profile_of_[i] = index_of(-1);
}

double DropField::reach(int element) const {
  return blended(element) ? blend(element).reach : profile(element).inset;
}

DropField::Hit DropField::strongest(Vec2 p) const {
  Hit best;
  for (const Group& g : groups_) {
    const EdgeProfile& profile = profiles_[static_cast<std::size_t>(g.profile)];
    double near2 = profile.inset * profile.inset;
    std::size_t nearest = g.ids.size();
    walk_tree(g.tree, 0, 0, g.ids.size(), p, [&](const plane::Box& box) { return distance2(box, p) < near2; },
              [&](std::size_t i) {
                const double d2 = g.elements[i].distance2(p);
                if (d2 < near2) {
                  near2 = d2;
                  nearest = i;
                }
              });
    if (nearest == g.ids.size()) continue;
    const double d = std::sqrt(near2), drop = profile.drop_at(d);
    if (drop > best.drop) best = {drop, d, g.ids[nearest], 4 * g.ids[nearest]};
  }
  if (!blends_.empty()) {
    const double far2 = inset_max_ * inset_max_;
    walk_tree(blend_tree_, 0, 0, blends_.size(), p, [&](const plane::Box& box) { return distance2(box, p) < far2; },
              [&](std::size_t i) { best = strongest_blend(blends_[i], p, best); });
  }
  return best;
}

namespace {

struct Span {
  double first, last;
};
// The part of the element, as u, that lies within `reach` of p (in one piece, seen from the nearest point).
Span within_reach(const Element& e, Vec2 p, double reach) {
  if (!e.arc) {
    const double along = dot(p - e.a, e.dir), h = cross(e.dir, p - e.a);
    const double half = std::sqrt(std::max(0.0, reach * reach - h * h));
    return {std::clamp((along - half) / e.length, 0.0, 1.0), std::clamp((along + half) / e.length, 0.0, 1.0)};
  }
  const Vec2 v = p - e.centre;
  const double rho = norm(v), cosine = (rho * rho + e.radius * e.radius - reach * reach) / (2 * rho * e.radius);
  if (!(cosine > -1)) return {0, 1};
  const double half = std::acos(std::min(cosine, 1.0)), at = std::atan2(cross(e.start, v), dot(e.start, v));
  const double w = half / std::abs(e.sweep);
  Span span{1, 0};
  for (double turn : {-2 * std::numbers::pi, 0.0, 2 * std::numbers::pi}) {
    const double u = (at + turn) / e.sweep;
    if (u + w < 0 || u - w > 1) continue;
    span = {std::min(span.first, std::max(u - w, 0.0)), std::max(span.last, std::min(u + w, 1.0))};
  }
  return span.first < span.last ? span : Span{0, 1};
}

}  // namespace

DropField::Hit DropField::strongest_blend(const Blend& b, Vec2 p, Hit best) const {
  const Element& e = boundary_->elements()[static_cast<std::size_t>(b.element)];
  const double near2 = e.distance2(p);
  if (near2 >= b.reach * b.reach) return best;
  const EdgeProfile& from = profiles_[static_cast<std::size_t>(b.from)];
  const EdgeProfile& to = profiles_[static_cast<std::size_t>(b.to)];
  const double near = std::sqrt(near2);
  if (std::max(from.drop_at(near), to.drop_at(near)) <= best.drop) return best;

  double top = -1, top_u = 0;
  const auto drop_from = [&](double u, Vec2 q, double w) {
    const double d2 = dot(p - q, p - q);
    if (d2 >= b.reach * b.reach) return 0.0;
    const double d = std::sqrt(d2), value = (1 - w) * from.drop_at(d) + w * to.drop_at(d);
    if (value > top) {
      top = value;
      top_u = u;
    }
    return value;
  };
  const double span = b.g1 - b.g0;
  const auto drop_at = [&](double u) { return drop_from(u, e.point(u), smoothstep(b.g0 + u * span)); };
  // d drop / d u, for a search between two places where it has opposite signs.
  const auto slope_at = [&](double u) {
    const double g = b.g0 + u * span, w = smoothstep(g);
    const Vec2 q = e.point(u);
    const double d = norm(p - q);
    drop_from(u, q, w);
    const Vec2 tangent = !e.arc ? e.dir : (e.ccw ? 1 : -1) / e.radius * left(q - e.centre);
    const double away = dot(q - p, tangent) * e.length;  // d times its derivative
    const double fall = d > 1e-12 ? ((1 - w) * from.slope_at(d) + w * to.slope_at(d)) * away / d : 0.0;
    return 6 * g * (1 - g) * span * (to.drop_at(d) - from.drop_at(d)) + fall;
  };
  // Near the element the value has a cusp at the foot of p, elsewhere up to a few smooth maxima: sample the part of
  // the element that reaches p, then climb every peak that could be the highest.
  const double foot = e.foot(p);
  const auto [first, last] = within_reach(e, p, b.reach);
  constexpr int kSamples = 16;
  const double step = (last - first) / kSamples;
  double value[kSamples + 1];
  const Vec2 a = e.point(first), along = (e.point(last) - a) / kSamples;
  const double cosine = std::cos(step * e.sweep), sine = std::sin(step * e.sweep);
  Vec2 arm = a - e.centre;
  for (int i = 0; i <= kSamples; ++i) {
    const double u = first + i * step;
    value[i] = drop_from(u, e.arc ? e.centre + arm : a + i * along, smoothstep(b.g0 + u * span));
    arm = {cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y};
  }
  const double highest = std::max(drop_at(foot), *std::max_element(value, value + kSamples + 1));
  const auto climb = [&](double low, double high) {
    constexpr double kClose = 1e-7;  // the value at a maximum is right to the square of this
    if (high - low < kClose) return;
    double rise = slope_at(low), fall = slope_at(high);
    // The weight stands still at the ends of a run.
    if (rise == 0) rise = slope_at(low += 1e-3 * (high - low));
    if (fall == 0) fall = slope_at(high -= 1e-3 * (high - low));
    if (!(rise > 0 && fall < 0) || std::isinf(rise) || std::isinf(fall)) return;
    std::uintmax_t steps = 40;
    boost::math::tools::toms748_solve(slope_at, low, high, rise, fall,
                                      [](double x, double y) { return y - x < kClose; }, steps);
  };
  for (int i = 0; i < kSamples; ++i) {
    // Between two samples a peak rises above the higher one by less than what the curve bends beside them.
    const double high = std::max(value[i], value[i + 1]), before = i > 0 ? value[i - 1] : 0.0;
    const double after = i + 2 <= kSamples ? value[i + 2] : 0.0;
    const double bend = std::max({std::abs(value[i] - value[i + 1]), std::abs(value[i] - before),
                                  std::abs(value[i + 1] - after)});
    if (high + bend < highest) continue;
    const double low_u = first + i * step, high_u = first + (i + 1) * step;
    if (foot > low_u && foot < high_u) {
      climb(low_u, foot);
      climb(foot, high_u);
    } else {
      climb(low_u, high_u);
    }
  }
  if (top <= best.drop) return best;
  const double d = norm(p - e.point(top_u));
  const int kinks = (d < from.inset ? 1 : 0) + (d < to.inset ? 2 : 0);
  return {top, near, b.element, 4 * b.element + kinks};
}

}  // namespace kerfkiln::cushion
