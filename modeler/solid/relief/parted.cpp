#include "modeler/solid/relief/parted.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace kerfkiln::solid {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;

Index next_in(Index corner) { return corner % 3 == 2 ? corner - 2 : corner + 1; }

class Parting {
 public:
  explicit Parting(Mesh& mesh) : mesh_(mesh) {}

  void run() {
    pair();
    const auto corners = static_cast<Index>(opposite_.size());
    std::vector<char> done(corners, 0), used(mesh_.points.size(), 0);
    std::vector<Index> id(corners);
    for (Index c = 0; c < corners; ++c) {
      if (done[c]) continue;
      const Index v = from(c);
      Index own = v;
      if (used[v]) {
        own = static_cast<Index>(mesh_.points.size());
        mesh_.points.push_back(mesh_.points[v]);
      } else {
        used[v] = 1;
      }
      Index turn = c;
      do {
        done[turn] = 1;
        id[turn] = own;
        const Index across = opposite_[turn];
        if (across == kNone) break;
        turn = next_in(across);
      } while (turn != c && !done[turn]);
    }
    for (Index c = 0; c < corners; ++c) mesh_.triangles[c / 3][c % 3] = id[c];
  }

 private:
  Index from(Index c) const { return mesh_.triangles[c / 3][c % 3]; }
  Index to(Index c) const { return from(next_in(c)); }

  void pair() {
    const auto corners = static_cast<Index>(3 * mesh_.triangles.size());
    opposite_.assign(corners, kNone);
    std::vector<Index> start(mesh_.points.size() + 1, 0), side(corners);
    for (Index c = 0; c < corners; ++c) ++start[std::min(from(c), to(c)) + 1];
    std::partial_sum(start.begin(), start.end(), start.begin());
    std::vector<Index> at(start.begin(), start.end() - 1);
    for (Index c = 0; c < corners; ++c) side[at[std::min(from(c), to(c))]++] = c;
    const auto high = [&](Index c) { return std::max(from(c), to(c)); };
    for (std::size_t v = 0; v + 1 < start.size(); ++v) {
      const auto first = side.begin() + start[v], last = side.begin() + start[v + 1];
      std::sort(first, last, [&](Index c, Index d) { return high(c) != high(d) ? high(c) < high(d) : c < d; });
      for (auto group = first; group != last;) {
        auto end = group;
        while (end != last && high(*end) == high(*group)) ++end;
        join({group, end});
        group = end;
      }
    }
  }

  void join(std::vector<Index> sides) {
    if (sides.size() == 2) {
      opposite_[sides[0]] = sides[1];
      opposite_[sides[1]] = sides[0];
      return;
    }
    const Index low = std::min(from(sides[0]), to(sides[0])), high = std::max(from(sides[0]), to(sides[0]));
    const Vec3 p = mesh_.points[low], axis = unit(mesh_.points[high] - p);
    Vec3 e = std::abs(axis.z) < 0.9 ? cross(axis, {0, 0, 1}) : cross(axis, {1, 0, 0});
    e = unit(e);
    const Vec3 f = cross(axis, e);
    struct Spoke {
      double angle;
      bool forward;
      Index side;
    };
    std::vector<Spoke> spokes;
    for (Index c : sides) {
      const Vec3 w = mesh_.points[from(next_in(next_in(c)))] - p;
      spokes.push_back({std::atan2(dot(w, f), dot(w, e)), from(c) == low, c});
    }
    std::sort(spokes.begin(), spokes.end(), [](const Spoke& a, const Spoke& b) {
      return a.angle != b.angle ? a.angle < b.angle : a.forward > b.forward;
    });
    // Turning about the axis, material begins at a side that runs backward and ends at the next forward one.
    for (std::size_t i = 0; i < spokes.size(); ++i) {
      const Spoke& a = spokes[i];
      const Spoke& b = spokes[(i + 1) % spokes.size()];
      if (a.forward || !b.forward) continue;
      opposite_[a.side] = b.side;
      opposite_[b.side] = a.side;
    }
  }

  Mesh& mesh_;
  std::vector<Index> opposite_;
};

}  // namespace

Mesh parted(Mesh mesh) {
  Parting(mesh).run();
  return mesh;
}

}  // namespace kerfkiln::solid
