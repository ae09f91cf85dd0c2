#include "modeler/solid/relief/stepped.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "modeler/solid/relief/parted.hpp"

namespace kerfkiln::solid {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;

class Steps {
 public:
  Steps(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const Index> opposite,
        std::span<const double> lower, std::span<const double> upper)
      : plan_(plan), triangles_(triangles), opposite_(opposite), lower_(lower), upper_(upper) {}

  Mesh run() {
    keep();
    collect_heights();
    mesh_.triangles.reserve(2 * kept_.size() + kept_.size() / 4);
    for (Index t : kept_) {
      const Triangle& x = triangles_[t];
      Triangle top{}, bottom{};
      for (std::size_t k = 0; k < 3; ++k) {
        top[k] = vertex(x[k], upper_[3 * t + k]);
        bottom[2 - k] = vertex(x[k], lower_[3 * t + k]);
      }
      mesh_.triangles.push_back(top);
      mesh_.triangles.push_back(bottom);
    }
    for (Index t : kept_)
      for (Index k = 0; k < 3; ++k) wall(t, k);
    return finished();
  }

 private:
  // Of a plan vertex. Where there are no steps all triangles have the same two heights.
  struct Column {
    bool used = false, steps = false, rim = false;
    double low = 0, high = 0;
  };

  void keep() {
    is_kept_.assign(triangles_.size(), 0);
    for (std::size_t t = 0; t < triangles_.size(); ++t)
      for (std::size_t k = 0; k < 3; ++k)
        if (upper_[3 * t + k] > lower_[3 * t + k]) {
          is_kept_[t] = 1;
          kept_.push_back(static_cast<Index>(t));
          break;
        }
  }
  Index neighbour(Index corner) const {
    const Index other = opposite_[corner];
    return other == kNone || !is_kept_[other / 3] ? kNone : other;
  }
  static std::size_t next(Index corner) { return corner % 3 == 2 ? 0 : corner % 3 + 1; }

  void collect_heights() {
    columns_.resize(plan_.size());
    for (Index t : kept_)
      for (Index k = 0; k < 3; ++k) {
        Column& c = columns_[triangles_[t][k]];
        const double low = lower_[3 * t + k], high = upper_[3 * t + k];
        if (!c.used) {
          c.used = true;
          c.low = low;
          c.high = high;
        } else if (c.low != low || c.high != high) {
          c.steps = true;
        }
        if (neighbour(3 * t + k) == kNone) c.rim = columns_[triangles_[t][next(3 * t + k)]].rim = true;
      }
    std::vector<std::pair<Index, double>> stepped;
    for (Index t : kept_)
      for (std::size_t k = 0; k < 3; ++k)
        if (const Index v = triangles_[t][k]; columns_[v].steps)
          stepped.insert(stepped.end(), {{v, lower_[3 * t + k]}, {v, upper_[3 * t + k]}});
    std::sort(stepped.begin(), stepped.end());
    stepped.erase(std::unique(stepped.begin(), stepped.end()), stepped.end());
    first_.assign(plan_.size(), 0);
    mesh_.points.reserve(2 * plan_.size() + stepped.size());
    auto here = stepped.begin();
    for (Index v = 0; v < plan_.size(); ++v) {
      first_[v] = static_cast<Index>(mesh_.points.size());
      const auto add = [&](double z) { mesh_.points.push_back({plan_[v].x, plan_[v].y, z}); };
      const Column& c = columns_[v];
      if (c.steps) {
        for (; here != stepped.end() && here->first == v; ++here) add(here->second);
      } else if (c.used) {
        add(c.low);
        if (c.high != c.low) add(c.high);
      }
      const bool closed = c.used && !c.steps && !c.rim && c.high != c.low;
      may_touch_.resize(mesh_.points.size(), closed ? 0 : 1);
    }
  }
  Index vertex(Index v, double z) const {
    Index i = first_[v];
    while (mesh_.points[i].z != z) ++i;
    return i;
  }

  // What the side of the triangle shows of it beside its neighbour.
  void wall(Index t, Index k) {
    const Index j = static_cast<Index>(next(3 * t + k));
    const Index a = triangles_[t][k], b = triangles_[t][j];
    const Index other = neighbour(3 * t + k);
    if (other != kNone && !columns_[a].steps && !columns_[b].steps) return;
    const double la = lower_[3 * t + k], ua = upper_[3 * t + k], lb = lower_[3 * t + j], ub = upper_[3 * t + j];
    if (other == kNone) return strip(a, b, la, ua, lb, ub);
    const Index o = other - other % 3, ob = other, oa = o + static_cast<Index>(next(other));
    const auto within = [](double z, double low, double high) { return std::min(std::max(z, low), high); };
    strip(a, b, la, within(lower_[oa], la, ua), lb, within(lower_[ob], lb, ub));
    strip(a, b, within(upper_[oa], la, ua), ua, within(upper_[ob], lb, ub), ub);
  }
  // From the left vertical to the right one, seen from outside; each has a vertex at every height between.
  void strip(Index a, Index b, double low_a, double high_a, double low_b, double high_b) {
    Index i = vertex(a, low_a), j = vertex(b, low_b);
    const Index m = vertex(a, high_a), n = vertex(b, high_b);
    while (i < m || j < n) {
      if (j < n && (i == m || mesh_.points[j + 1].z <= mesh_.points[i + 1].z)) {
        mesh_.triangles.push_back({i, j, j + 1});
        ++j;
      } else {
        mesh_.triangles.push_back({i, j, i + 1});
        ++i;
      }
    }
  }
  // A height that one triangle has at a vertex need not bound anything: its sides may be inside the solid all round.
  Mesh finished() {
    std::vector<Index> id(mesh_.points.size(), kNone);
    Mesh out;
    std::vector<char> may_touch;
    out.points.reserve(mesh_.points.size());
    may_touch.reserve(mesh_.points.size());
    for (Triangle& t : mesh_.triangles)
      for (Index& v : t) {
        if (id[v] == kNone) {
          id[v] = static_cast<Index>(out.points.size());
          out.points.push_back(mesh_.points[v]);
          may_touch.push_back(may_touch_[v]);
        }
        v = id[v];
      }
    out.triangles = std::move(mesh_.triangles);
    return parted(std::move(out), may_touch);
  }

  std::span<const Vec2> plan_;
  std::span<const Triangle> triangles_;
  std::span<const Index> opposite_;
  std::span<const double> lower_, upper_;
  std::vector<char> is_kept_;
  std::vector<Index> kept_, first_;
  std::vector<Column> columns_;
  Mesh mesh_;
  std::vector<char> may_touch_;  // parts of the solid, in a point of the mesh
};

}  // namespace

Mesh stepped(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const Index> opposite,
             std::span<const double> lower, std::span<const double> upper) {
  return Steps(plan, triangles, opposite, lower, upper).run();
}

}  // namespace kerfkiln::solid
