#include "modeler/solid/relief/parted.hpp"

#include <algorithm>
#include <cmath>
#include <compare>
#include <utility>

namespace kerfkiln::solid {
namespace {

using Index = std::uint32_t;
constexpr Index kNone = UINT32_MAX;

Index next_in(Index corner) { return corner % 3 == 2 ? corner - 2 : corner + 1; }

class Parting {
 public:
  Parting(Mesh& mesh, const std::vector<char>& where) : mesh_(mesh), where_(where) {}

  void run() {
    pair();
    const auto corners = static_cast<Index>(opposite_.size());
    std::vector<char> done(corners, 0), used(mesh_.points.size(), 0);
    std::vector<std::pair<Index, Index>> moved;  // corners and the vertices that they get
    for (Index c = 0; c < corners; ++c) {
      const Index v = from(c);
      if (!where_[v] || done[c]) continue;
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
        if (own != v) moved.push_back({turn, own});
        const Index across = opposite_[turn];
        if (across == kNone) break;
        turn = next_in(across);
      } while (turn != c && !done[turn]);
    }
    for (const auto& [c, own] : moved) mesh_.triangles[c / 3][c % 3] = own;
  }

 private:
  Index from(Index c) const { return mesh_.triangles[c / 3][c % 3]; }
  Index to(Index c) const { return from(next_in(c)); }

  void pair() {
    const auto corners = static_cast<Index>(3 * mesh_.triangles.size());
    opposite_.assign(corners, kNone);
    struct Side {
      Index low, high, corner;
      auto operator<=>(const Side&) const = default;
    };
    std::vector<Side> sides;
    Index c = 0;
    for (const Triangle& t : mesh_.triangles)
      for (std::size_t k = 0; k < 3; ++k, ++c) {
        const Index a = t[k], b = t[k == 2 ? 0 : k + 1];
        if (where_[a] || where_[b]) sides.push_back({std::min(a, b), std::max(a, b), c});
      }
    std::sort(sides.begin(), sides.end());
    std::vector<Index> group;
    for (std::size_t i = 0; i < sides.size(); ++i) {
      group.push_back(sides[i].corner);
      if (i + 1 < sides.size() && sides[i + 1].low == sides[i].low && sides[i + 1].high == sides[i].high) continue;
      join(group);
      group.clear();
    }
  }

  void join(const std::vector<Index>& sides) {
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
  const std::vector<char>& where_;
  std::vector<Index> opposite_;  // of sides at places where parts may touch
};

}  // namespace

Mesh parted(Mesh mesh, const std::vector<char>& where) {
  Parting(mesh, where).run();
  return mesh;
}

}  // namespace kerfkiln::solid
