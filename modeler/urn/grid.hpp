// Building blocks of the ware's meshes. Internal.
//
// A ware is one chain of rings: from the middle of the foot out, up the outside, over the lip, down the inside and
// along the floor to its middle. Walked in this order with columns counter-clockwise, the quads face outward.
#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::urn {

// Bending of a surface along the rings' direction (l), the columns' (n) and both (m), by unit length, outward normal.
struct Bend {
  double l = 0, m = 0, n = 0;
};
// Longest step from ring to ring such that a grid triangle with columns `step` apart stays within `deviation`: the
// middle of a diagonal is off by (l h^2 + n k^2)/8 +- m h k/4.
inline double ring_step(const Bend& b, double step, double deviation) {
  const double across = std::abs(b.n) * step * step / 8;
  // Of opposite bending the edges' middles are the worst, each direction for itself.
  const double room = b.l * b.n > 0 ? std::max(deviation - across, 0.05 * deviation) : 0.95 * deviation;
  const double twist = std::abs(b.m) * step / 4;
  const double root = twist + std::sqrt(twist * twist + std::abs(b.l) * room / 2);
  return root > 0 ? 2 * room / root : INFINITY;
}

// Stations along a line by a density of stations a unit of its parameter, equally spread in their count.
class Lane {
 public:
  void clear() { at_.clear(), sum_.clear(); }
  // Samples by rising parameter; a jump of the density is two samples at one parameter.
  void add(double parameter, double density) {
    sum_.push_back(at_.empty() ? 0 : sum_.back() + (parameter - at_.back()) * 0.5 * (last_ + density));
    at_.push_back(parameter);
    last_ = density;
  }
  double total() const { return sum_.back(); }
  int intervals() const { return std::max(1, static_cast<int>(std::ceil(total() - 1e-9))); }
  // Calls put(parameter) for stations 0 ... intervals, ends exact.
  template <class Put>
  void place(int intervals, Put&& put) const {
    put(at_.front());
    std::size_t k = 1;
    for (int i = 1; i < intervals; ++i) {
      const double want = total() * i / intervals;
      while (k + 1 < sum_.size() && sum_[k] < want) ++k;
      const double f = sum_[k] > sum_[k - 1] ? (want - sum_[k - 1]) / (sum_[k] - sum_[k - 1]) : 1;
      put(at_[k - 1] + f * (at_[k] - at_[k - 1]));
    }
    put(at_.back());
  }

 private:
  std::vector<double> at_, sum_;
  double last_ = 0;
};

// One sector of a mesh: a quadrant (x >= 0, y >= 0) of a form that is symmetric in both planes, or half of a form that
// has only the half turn about the axis.
//
// Quadrant: a point with y == 0 or x == 0 exactly lies on a plane and is shared. Half: a point at the sector's
// beginning and its image at the end are one vertex of the whole: seam(first, last); points on the axis are shared.
struct Sector {
  bool half = false;
  std::vector<Vec3> points;
  std::vector<solid::Triangle> triangles;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> seams;

  void clear() { points.clear(), triangles.clear(), seams.clear(); }
  std::uint32_t add(Vec3 p) {
    points.push_back(p);
    return static_cast<std::uint32_t>(points.size() - 1);
  }
  void face(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
    if (a != b && b != c && c != a) triangles.push_back({a, b, c});
  }
  void seam(std::uint32_t first, std::uint32_t last) {
    if (half) seams.push_back({first, last});
  }
  void whole(solid::Mesh& out) const { half ? turn(out) : mirror(out); }

 private:
  void mirror(solid::Mesh& out) const;
  void turn(solid::Mesh& out) const;
};

void mesh_round_ware(const class Wall&, double deviation, solid::Mesh&);
void mesh_round_form(const class Form&, double deviation, solid::Mesh&);
void mesh_squared_ware(const class Wall&, double deviation, solid::Mesh&);
void mesh_squared_form(const class Form&, double deviation, solid::Mesh&);

// The trimmed inside of a squared ware as a sector: points (mm) and triangles are appended to `q`. One sheet, or
// several from the floor up with a level ceiling (or floor) to be closed between each two; each sheet's upper and lower
// ring, counter- clockwise.
struct InnerSheet {
  std::vector<std::uint32_t> lip, floor;
};
std::vector<InnerSheet> add_trimmed_inside(const class Wall&, double deviation_mm, Sector& q);

}  // namespace kerfkiln::urn
