#include "modeler/solid/relief/stepped.hpp"

#include <algorithm>
#include <numeric>

#include "modeler/solid/relief/parted.hpp"

namespace kerfkiln::solid {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;

class Steps {
 public:
  Steps(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const double> lower,
        std::span<const double> upper)
      : plan_(plan), triangles_(triangles), lower_(lower), upper_(upper) {}

  Mesh run() {
    keep();
    collect_edges();
    collect_heights();
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
    return parted(drop_unused());
  }

 private:
  void keep() {
    for (std::size_t t = 0; t < triangles_.size(); ++t)
      for (std::size_t k = 0; k < 3; ++k)
        if (upper_[3 * t + k] > lower_[3 * t + k]) {
          kept_.push_back(static_cast<Index>(t));
          break;
        }
  }
  // Directed edges of the kept triangles, bucketed by their first vertex.
  void collect_edges() {
    start_.assign(plan_.size() + 1, 0);
    for (Index t : kept_)
      for (Index v : triangles_[t]) ++start_[v + 1];
    std::partial_sum(start_.begin(), start_.end(), start_.begin());
    corner_.resize(start_.back());
    std::vector<Index> at(start_.begin(), start_.end() - 1);
    for (Index t : kept_)
      for (Index k = 0; k < 3; ++k) corner_[at[triangles_[t][k]]++] = 3 * t + k;
  }
  Index end_of(Index corner) const { return triangles_[corner / 3][next(corner)]; }
  static std::size_t next(Index corner) { return corner % 3 == 2 ? 0 : corner % 3 + 1; }
  Index corner_at(Index a, Index b) const {  // whose side runs a -> b
    for (Index i = start_[a]; i < start_[a + 1]; ++i)
      if (end_of(corner_[i]) == b) return corner_[i];
    return kNone;
  }
  void collect_heights() {
    first_.assign(plan_.size() + 1, 0);
    std::vector<double> here;
    for (std::size_t v = 0; v < plan_.size(); ++v) {
      here.clear();
      for (Index i = start_[v]; i < start_[v + 1]; ++i) {
        here.push_back(lower_[corner_[i]]);
        here.push_back(upper_[corner_[i]]);
      }
      std::sort(here.begin(), here.end());
      here.erase(std::unique(here.begin(), here.end()), here.end());
      for (double z : here) mesh_.points.push_back({plan_[v].x, plan_[v].y, z});
      first_[v + 1] = static_cast<Index>(mesh_.points.size());
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
    const double la = lower_[3 * t + k], ua = upper_[3 * t + k], lb = lower_[3 * t + j], ub = upper_[3 * t + j];
    const Index other = corner_at(b, a);
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
  Mesh drop_unused() {
    std::vector<Index> id(mesh_.points.size(), kNone);
    Mesh out;
    out.triangles.reserve(mesh_.triangles.size());
    for (const Triangle& t : mesh_.triangles)
      for (Index v : t)
        if (id[v] == kNone) {
          id[v] = static_cast<Index>(out.points.size());
          out.points.push_back(mesh_.points[v]);
        }
    for (const Triangle& t : mesh_.triangles) out.triangles.push_back({id[t[0]], id[t[1]], id[t[2]]});
    return out;
  }

  std::span<const Vec2> plan_;
  std::span<const Triangle> triangles_;
  std::span<const double> lower_, upper_;
  std::vector<Index> kept_, start_, corner_, first_;
  Mesh mesh_;
};

}  // namespace

Mesh stepped(std::span<const Vec2> plan, std::span<const Triangle> triangles, std::span<const double> lower,
             std::span<const double> upper) {
  return Steps(plan, triangles, lower, upper).run();
}

}  // namespace kerfkiln::solid
