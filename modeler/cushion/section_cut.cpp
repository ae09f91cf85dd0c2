#include "modeler/cushion/section_cut.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/profile_curve.hpp"

namespace kerfkiln::cushion {

namespace {

struct Crossing {
  double at = 0;  // along the section
  int side = -1;
  bool square = false;  // a straight segment at right angles to the section
};

class Cutter {
 public:
  Cutter(const Core& core, bool across_width, double place) : core_(core), across_(across_width), place_(place) {}

  Section run() {
    collect(core_.outline().outer);
    for (const plane::Loop& hole : core_.outline().holes) collect(hole);
    std::sort(crossings_.begin(), crossings_.end(), [](const Crossing& a, const Crossing& b) { return a.at < b.at; });
    Section section;
    for (std::size_t i = 0; i + 1 < crossings_.size(); i += 2) {
      if (!exact(crossings_[i], crossings_[i + 1], section)) sampled(crossings_[i].at, crossings_[i + 1].at, section);
    }
    if (!crossings_.empty()) {
      section.low = crossings_.front().at;
      section.high = crossings_.back().at;
      section.low_side = crossings_.front().side;
      section.high_side = crossings_.back().side;
    }
    return section;
  }

 private:
  Vec2 plan(double s) const { return across_ ? Vec2{s, place_} : Vec2{place_, s}; }
  double along(Vec2 p) const { return across_ ? p.x : p.y; }
  double off(Vec2 p) const { return (across_ ? p.y : p.x) - place_; }

  // Half-open in the distance from the section line, so that a vertex on it counts once.
  void collect(const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      // Arcs are cut at their extremes, so that each part crosses the line once at most.
      constexpr int kParts = 8;
      const int parts = s.is_line() ? 1 : kParts;
      for (int k = 0; k < parts; ++k) {
        double t0 = static_cast<double>(k) / parts, t1 = static_cast<double>(k + 1) / parts;
        const double f0 = off(s.point(t0)), f1 = off(k + 1 == parts ? s.b : s.point(t1));
        if ((f0 < 0) == (f1 < 0)) continue;
        for (int step = 0; step < 60; ++step) {
          const double mid = (t0 + t1) / 2;
          ((off(s.point(mid)) < 0) == (f0 < 0) ? t0 : t1) = mid;
        }
        const Vec2 tangent = s.tangent(t0);
        const double lean = std::abs(across_ ? tangent.x : tangent.y);
        crossings_.push_back({along(s.point((t0 + t1) / 2)), loop[i].side, s.is_line() && lean < 1e-9});
      }
    }
  }

  // Does the profile of this side alone shape the form next to the crossing?
  bool ruled(const Crossing& c, double inward) const {
    if (!c.square || c.side < 0) return false;
    for (const Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const EdgeProfile& p = core_.form.edges(sheet).of(c.side);
      for (const double part : {0.05, 0.3, 0.6, 0.95, 1.05}) {
        const double d = part * p.inset;
        if (std::abs(core_.form.drop(sheet, plan(c.at + inward * d)) - p.drop_at(d)) > 1e-7) return false;
      }
    }
    return true;
  }

  plane::Loop side(const Crossing& c) const {
    return side_curve(profile_curve(core_.form.edges(Sheet::bottom).of(c.side)),
                      profile_curve(core_.form.edges(Sheet::top).of(c.side)), core_.height());
  }

  bool exact(const Crossing& low, const Crossing& high, Section& section) const {
    if (core_.form.risen()) return false;
    if (!ruled(low, 1) || !ruled(high, -1)) return false;
    for (const Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const EdgeProfiles& e = core_.form.edges(sheet);
      if (e.of(low.side).inset + e.of(high.side).inset > high.at - low.at) return false;
      // The flat between must be flat: no other side reaches in.
      const double from = low.at + e.of(low.side).inset, to = high.at - e.of(high.side).inset;
      for (int k = 0; k <= 8; ++k)
        if (core_.form.drop(sheet, plan(from + (to - from) * k / 8)) > 1e-7) return false;
    }
    plane::Loop left = side(low), right = flipped_x(side(high), high.at);
    for (plane::Vertex& v : left) v.at.x += low.at;
    for (std::size_t i = 0; i < core_.layers.size(); ++i) {
      const Layer& l = core_.layers[i];
      const plane::Loop rise = between_heights(right, l.low_mm, l.high_mm);
      const plane::Loop fall = backwards(between_heights(left, l.low_mm, l.high_mm));
      plane::Loop loop = rise;
      extend(loop, fall);
      if (loop.size() > 2) section.cuts.push_back({i, std::move(loop)});
    }
    return true;
  }

  void sampled(double from, double to, Section& section) const {
    const int n = std::max(8, static_cast<int>(std::ceil((to - from) / kSectionStepMm)));
    std::vector<double> at, top, bottom;
    for (int k = 0; k <= n; ++k) {
      // Denser towards the ends, where the surface falls away steeply.
      const double u = static_cast<double>(k) / n, s = from + (to - from) * (u * u * (3 - 2 * u));
      const Vec2 p = plan(s);
      at.push_back(s);
      top.push_back(core_.form.z_top(p));
      bottom.push_back(core_.form.z_bottom(p));
    }
    for (std::size_t i = 0; i < core_.layers.size(); ++i) {
      // The outermost layers hold what crown and contour add.
      const double lo = i == 0 ? -1e9 : core_.layers[i].low_mm;
      const double hi = i + 1 == core_.layers.size() ? 1e9 : core_.layers[i].high_mm;
      for (std::size_t k = 0; k < at.size();) {
        const auto thick = [&](std::size_t j) { return std::min(top[j], hi) > std::max(bottom[j], lo); };
        if (!thick(k)) {
          ++k;
          continue;
        }
        std::size_t end = k;
        while (end + 1 < at.size() && thick(end + 1)) ++end;
        plane::Loop loop;
        for (std::size_t j = k; j <= end; ++j) extend(loop, {{{at[j], std::max(bottom[j], lo)}, 0, 0}});
        for (std::size_t j = end + 1; j-- > k;) extend(loop, {{{at[j], std::min(top[j], hi)}, 0, 0}});
        if (loop.size() > 2) section.cuts.push_back({i, std::move(loop)});
        k = end + 1;
      }
    }
  }

  const Core& core_;
  bool across_;
  double place_;
  std::vector<Crossing> crossings_;
};

}  // namespace

Section section_cut(const Core& core, bool across_width, double place) {
  return Cutter(core, across_width, place).run();
}

}  // namespace kerfkiln::cushion
