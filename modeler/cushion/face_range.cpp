#include "modeler/cushion/face_range.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <vector>

namespace kerfkiln::cushion {
namespace {

constexpr double kSmallestBoxMm = 0.01;
constexpr int kMostBoxes = 20000;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

struct Bounds {
  double low = 0, high = 0;
};

// Segments of the outline whose edges may reach into the part, with the profiles of their sides.
class Drops {
 public:
  Drops(const Form& form, const plane::Box& part) {
    const EdgeProfiles& edges = form.edges(Sheet::top);
    const Vec2 middle = 0.5 * (part.low + part.high);
    const double reach = form.inset(Sheet::top) + norm(part.high - middle);
    const auto look = [&](const plane::Loop& loop) {
      const std::size_t n = loop.size();
      for (std::size_t i = 0; i < n; ++i) {
        const plane::Segment s = plane::segment(loop, i);
        if (plane::nearest(s, middle).distance > reach) continue;
        if (loop[i].side >= 0) {
          near_.push_back({s, &edges.of(loop[i].side), &edges.of(loop[i].side)});
          continue;
        }
        // A corner blends the sides before and after it.
        std::size_t b = i, a = i;
        for (std::size_t k = 0; k < n && loop[b].side < 0; ++k) b = (b + n - 1) % n;
        for (std::size_t k = 0; k < n && loop[a].side < 0; ++k) a = (a + 1) % n;
        near_.push_back({s, &edges.of(loop[b].side), &edges.of(loop[a].side)});
      }
    };
    look(form.outline().outer);
    for (const plane::Loop& hole : form.outline().holes) look(hole);
  }
  // Of the drop within `radius` of the place. Every boundary point gives a drop that falls with the distance, and the
  // largest of them counts: each segment bounds it from below at its own distance, all together from above.
  Bounds within(Vec2 place, double radius) const {
    Bounds b;
    for (const Near& n : near_) {
      const double d = plane::nearest(n.segment, place).distance;
      const double nearer = std::max(0.0, d - radius), farther = d + radius;
      b.low = std::max(b.low, std::min(n.from->drop_at(farther), n.to->drop_at(farther)));
      b.high = std::max({b.high, n.from->drop_at(nearer), n.to->drop_at(nearer)});
    }
    return b;
  }

 private:
  struct Near {
    plane::Segment segment;
    const EdgeProfile *from, *to;
  };
  std::vector<Near> near_;
};

class Search {
 public:
  Search(const Form& form, const plane::Outline& part) : form_(form), part_(part), drops_(form, plane::bounds(part)) {}

  // The largest of sign * z_top: its value, and how much more is possible.
  struct Found {
    double value = -kInfinity, bound = 0;
    Vec2 at;
  };
  Found largest(double sign, double gap) const {
    Found best;
    const auto look = [&](Vec2 p) {
      const double z = sign * form_.z_top(p);
      if (z > best.value) best.value = z, best.at = p;
    };
    for (std::size_t i = 0; i < part_.outer.size(); ++i) {
      const plane::Segment s = plane::segment(part_.outer, i);
      for (const double t : {0.0, 0.25, 0.5, 0.75}) look(s.point(t));
    }
    struct Open {
      plane::Box box;
      double bound;
      bool operator<(const Open& o) const { return bound < o.bound; }
    };
    std::priority_queue<Open> open;
    const auto add = [&](const plane::Box& box) {
      const Vec2 c = 0.5 * (box.low + box.high);
      const double radius = norm(box.high - c);
      const plane::Nearest rim = plane::nearest(part_, c);
      const bool inside = plane::contains(part_, c);
      if (!inside && rim.distance > radius) return;
      look(inside ? c : rim.point);
      const Rise::Bounds r = form_.rise(Sheet::top).flat() ? Rise::Bounds{} : form_.rise(Sheet::top).bounds(box);
      const Bounds d = drops_.within(c, radius);
      const double bound = sign > 0 ? form_.height() + r.high - d.low : -(form_.height() + r.low - d.high);
      if (bound > best.value) open.push({box, bound});
    };
    add(plane::bounds(part_));
    double settled = -kInfinity;  // bound of boxes that are not divided further
    for (int n = 0; !open.empty() && open.top().bound > best.value + gap; ++n) {
      const Open o = open.top();
      open.pop();
      const double w = o.box.width(), h = o.box.depth();
      if (n >= kMostBoxes || std::max(w, h) < kSmallestBoxMm) {
        settled = std::max(settled, o.bound);
        if (n >= kMostBoxes) break;
        continue;
      }
      const Vec2 c = 0.5 * (o.box.low + o.box.high);
      plane::Box a = o.box, b = o.box;
      (w >= h ? a.high.x : a.high.y) = w >= h ? c.x : c.y;
      (w >= h ? b.low.x : b.low.y) = w >= h ? c.x : c.y;
      add(a);
      add(b);
    }
    best.bound = std::max({best.value, settled, open.empty() ? -kInfinity : open.top().bound});
    return best;
  }

 private:
  const Form& form_;
  const plane::Outline& part_;
  Drops drops_;
};

}  // namespace

FaceRange top_range(const Form& form, const plane::Outline& part, double gap_mm) {
  const Search search(form, part);
  const Search::Found high = search.largest(1, gap_mm), low = search.largest(-1, gap_mm);
  return {-low.value, high.value, std::max(high.bound - high.value, low.bound - low.value), low.at, high.at};
}

}  // namespace kerfkiln::cushion
