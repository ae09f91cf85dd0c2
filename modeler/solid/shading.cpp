#include "modeler/solid/shading.hpp"

#include <OpenMesh/Core/Mesh/TriMesh_ArrayKernelT.hh>
#include <array>
#include <cmath>
#include <limits>

namespace kerfkiln::solid {
namespace {

using Linked = OpenMesh::TriMesh_ArrayKernelT<OpenMesh::DefaultTraitsDouble>;
using Half = OpenMesh::HalfedgeHandle;
using Edge = OpenMesh::EdgeHandle;
using Vertex = OpenMesh::VertexHandle;

constexpr double kStraightOn = 0.7071067811865476;  // cosine of the turn within which an edge carries another on
constexpr double kOpen = -2;                        // stands for the cosine at an edge with one facet

template <class Handle>
std::size_t at(Handle h) {
  return static_cast<std::size_t>(h.idx());
}

Vec3 unit_or_none(Vec3 v) {
  const double length = norm(v);
  return length > 0 ? v / length : Vec3{};
}

double corner_angle(Vec3 a, Vec3 b, Vec3 c) {
  const Vec3 u = b - a, v = c - a;
  return std::atan2(norm(cross(u, v)), dot(u, v));
}

// OpenMesh refuses facets that would make an edge or a point not manifold, and has to be asked first: refusing, it
// prints.
bool fits(const Linked& linked, const std::array<Vertex, 3>& v) {
  for (std::size_t k = 0; k < 3; ++k) {
    const Vertex from = v[k], to = v[(k + 1) % 3];
    if (from == to || !linked.is_boundary(from)) return false;
    const Half half = linked.find_halfedge(from, to);
    if (half.is_valid() && !linked.is_boundary(half)) return false;
  }
  return true;
}

// The mesh with its connectivity. Facet t of OpenMesh is triangle t; its points may be copies.
struct Connected {
  const Mesh& mesh;
  Linked linked;
  std::vector<std::uint32_t> point;           // of the mesh, for each point of OpenMesh
  std::vector<std::array<Vertex, 3>> corner;  // of each triangle
  std::vector<Vec3> facing;                   // unit normals of the triangles, or 0
  std::vector<double> twice_area;
  std::vector<double> bend;  // cosine between the facets of each edge

  explicit Connected(const Mesh& m) : mesh(m) {
    linked.reserve(m.points.size(), m.points.size() + m.triangles.size(), m.triangles.size());
    for (std::uint32_t i = 0; i < m.points.size(); ++i) add(i);
    for (const Triangle& t : m.triangles) {
      std::array<Vertex, 3> v{Vertex(static_cast<int>(t[0])), Vertex(static_cast<int>(t[1])),
                              Vertex(static_cast<int>(t[2]))};
      if (!fits(linked, v) || !linked.add_face(v[0], v[1], v[2]).is_valid()) {
        for (std::size_t k = 0; k < 3; ++k) v[k] = add(t[k]);
        linked.add_face(v[0], v[1], v[2]);
      }
      corner.push_back(v);
      const Vec3 a = m.points[t[0]], b = m.points[t[1]], c = m.points[t[2]];
      const Vec3 across = cross(b - a, c - a);
      twice_area.push_back(norm(across));
      facing.push_back(unit_or_none(across));
    }
    bend.resize(linked.n_edges());
    for (std::size_t e = 0; e < bend.size(); ++e) {
      const Half h = linked.halfedge_handle(Edge(static_cast<int>(e)), 0), o = linked.opposite_halfedge_handle(h);
      if (linked.is_boundary(h) || linked.is_boundary(o)) {
        bend[e] = kOpen;
        continue;
      }
      const Vec3 one = facing[at(linked.face_handle(h))], other = facing[at(linked.face_handle(o))];
      bend[e] = one == Vec3{} || other == Vec3{} ? 1 : dot(one, other);  // a facet without area faces no way
    }
  }
  Vertex add(std::uint32_t i) {
    point.push_back(i);
    const Vec3 p = mesh.points[i];
    return linked.add_vertex({p.x, p.y, p.z});
  }
  Vec3 where(Vertex v) const { return mesh.points[point[at(v)]]; }
  Vec3 along(Half h) const { return where(linked.to_vertex_handle(h)) - where(linked.from_vertex_handle(h)); }
};

enum class Mark : std::uint8_t { none, trailing, sharp };

// The edges that are creases, and how many meet at each point.
class Creases {
 public:
  Creases(const Connected& connected, const CreaseRule& rule)
      : c_(connected), mark_(c_.bend.size(), Mark::none), degree_(c_.point.size(), 0) {
    const double sharp = std::cos(rule.sharp_rad);
    for (std::size_t e = 0; e < mark_.size(); ++e)
      if (c_.bend[e] < sharp) set(Edge(static_cast<int>(e)), Mark::sharp);
    const double trailing = std::cos(rule.trailing_rad);
    for (std::size_t e = 0; e < mark_.size(); ++e)
      if (mark_[e] == Mark::sharp)
        for (unsigned side : {0u, 1u}) carry_on(half(e, side), trailing);
    const Box3 box = bounds(c_.mesh);
    const double shortest = rule.shortest * norm(box.high - box.low);
    drop_short(shortest);
    while (drop_spurs(shortest)) {  // where one goes, another may end
    }
  }

  bool has(Edge e) const { return mark_[at(e)] != Mark::none; }

  std::vector<Crease> chains() const {
    std::vector<Crease> out;
    for (const std::vector<Half>& chain : paths()) {
      Crease crease{{c_.point[at(c_.linked.from_vertex_handle(chain.front()))]}, 0};
      for (const Half h : chain) {
        crease.points.push_back(c_.point[at(c_.linked.to_vertex_handle(h))]);
        crease.length += norm(c_.along(h));
      }
      out.push_back(std::move(crease));
    }
    return out;
  }

 private:
  Half half(std::size_t e, unsigned side) const { return c_.linked.halfedge_handle(Edge(static_cast<int>(e)), side); }
  void set(Edge e, Mark m) {
    const int change = (m != Mark::none) - has(e);
    mark_[at(e)] = m;
    for (unsigned side : {0u, 1u}) degree_[at(c_.linked.to_vertex_handle(half(at(e), side)))] += change;
  }

  // From the loose end of a crease along the edges that run on most nearly straight.
  void carry_on(Half h, double trailing) {
    while (degree_[at(c_.linked.to_vertex_handle(h))] == 1) {
      const Vec3 along = unit_or_none(c_.along(h));
      double straightest = kStraightOn;
      Half on;
      for (const Half o : c_.linked.voh_range(c_.linked.to_vertex_handle(h))) {
        const Edge e = c_.linked.edge_handle(o);
        const double turn = dot(along, unit_or_none(c_.along(o)));
        if (has(e) || c_.bend[at(e)] >= trailing || turn < straightest) continue;
        straightest = turn;
        on = o;
      }
      if (!on.is_valid()) return;
      set(c_.linked.edge_handle(on), Mark::trailing);
      h = on;
    }
  }

  void drop_short(double shortest) {
    std::vector<bool> seen(mark_.size(), false);
    std::vector<Edge> network;
    for (std::size_t first = 0; first < mark_.size(); ++first) {
      if (mark_[first] == Mark::none || seen[first]) continue;
      network.assign(1, Edge(static_cast<int>(first)));
      seen[first] = true;
      double sharp = 0;
      for (std::size_t i = 0; i < network.size(); ++i) {
        const std::size_t e = at(network[i]);
        if (mark_[e] == Mark::sharp) sharp += norm(c_.along(half(e, 0)));
        for (unsigned side : {0u, 1u}) {
          const Vertex v = c_.linked.to_vertex_handle(half(e, side));
          for (const Edge next : c_.linked.ve_range(v)) {
            if (!has(next) || seen[at(next)]) continue;
            seen[at(next)] = true;
            network.push_back(next);
          }
        }
      }
      if (sharp < shortest)
        for (const Edge e : network) set(e, Mark::none);
    }
  }

  // From one end or branching to the next, and what then is left runs round.
  std::vector<std::vector<Half>> paths() const {
    std::vector<std::vector<Half>> out;
    std::vector<bool> walked(mark_.size(), false);
    for (const bool round : {false, true})
      for (std::size_t e = 0; e < mark_.size(); ++e)
        for (unsigned side : {0u, 1u}) {
          if (mark_[e] == Mark::none || walked[e]) continue;
          const Half h = half(e, side);
          if (round || degree_[at(c_.linked.from_vertex_handle(h))] != 2) out.push_back(walk(h, walked));
        }
    return out;
  }

  std::vector<Half> walk(Half h, std::vector<bool>& walked) const {
    std::vector<Half> out;
    while (h.is_valid()) {
      out.push_back(h);
      walked[at(c_.linked.edge_handle(h))] = true;
      const Vertex v = c_.linked.to_vertex_handle(h);
      h = Half();
      if (degree_[at(v)] != 2) break;
      for (const Half o : c_.linked.voh_range(v)) {
        const Edge e = c_.linked.edge_handle(o);
        if (has(e) && !walked[at(e)]) h = o;
      }
    }
    return out;
  }

  // Chains that end loosely, and those that turn back to where they began: knots about slivers.
  bool drop_spurs(double shortest) {
    bool dropped = false;
    for (const std::vector<Half>& chain : paths()) {
      const Vertex from = c_.linked.from_vertex_handle(chain.front()), to = c_.linked.to_vertex_handle(chain.back());
      double sharp = 0;
      for (const Half h : chain)
        if (mark_[at(c_.linked.edge_handle(h))] == Mark::sharp) sharp += norm(c_.along(h));
      const bool loose = degree_[at(from)] == 1 || degree_[at(to)] == 1;
      const bool knot = 2 * norm(c_.where(to) - c_.where(from)) < sharp;
      if (sharp >= shortest || !(loose || knot)) continue;
      for (const Half h : chain) set(c_.linked.edge_handle(h), Mark::none);
      dropped = true;
    }
    return dropped;
  }

  const Connected& c_;
  std::vector<Mark> mark_;   // of each edge
  std::vector<int> degree_;  // creases at each point of OpenMesh
};

// Gathers the corners round each point between one crease and the next.
class Splitter {
 public:
  Splitter(const Connected& connected, const Creases& creases, Shading& out)
      : c_(connected), creases_(creases), out_(out) {
    out_.corner.assign(3 * c_.mesh.triangles.size(), kUnset);
    for (const Half h : c_.linked.halfedges())
      if (!c_.linked.is_boundary(h) && out_.corner[corner_of(h)] == kUnset) gather(h);
  }

 private:
  static constexpr std::uint32_t kUnset = std::numeric_limits<std::uint32_t>::max();

  // The corner of h's facet from which h leaves.
  std::size_t corner_of(Half h) const {
    const std::size_t t = at(c_.linked.face_handle(h));
    const Vertex v = c_.linked.from_vertex_handle(h);
    return 3 * t + (c_.corner[t][0] == v ? 0 : c_.corner[t][1] == v ? 1 : 2);
  }
  bool parted(Half h) const {
    const Edge e = c_.linked.edge_handle(h);
    return creases_.has(e) || c_.bend[at(e)] == kOpen;
  }

  void gather(const Half any) {
    Half h = any;
    while (!parted(h)) {
      h = c_.linked.next_halfedge_handle(c_.linked.opposite_halfedge_handle(h));
      if (h == any) break;
    }
    const auto slot = static_cast<std::uint32_t>(out_.point.size());
    const Half first = h;
    Vec3 sum;
    while (true) {
      const std::size_t corner = corner_of(h), t = corner / 3;
      out_.corner[corner] = slot;
      const auto& [a, b, c] = c_.mesh.triangles[t];
      const Vec3 p[3] = {c_.mesh.points[a], c_.mesh.points[b], c_.mesh.points[c]};
      const std::size_t k = corner % 3;
      sum = sum + corner_angle(p[k], p[(k + 1) % 3], p[(k + 2) % 3]) * c_.twice_area[t] * c_.facing[t];
      const Half in = c_.linked.prev_halfedge_handle(h);
      if (parted(in)) break;
      h = c_.linked.opposite_halfedge_handle(in);
      if (h == first) break;
    }
    out_.point.push_back(c_.point[at(c_.linked.from_vertex_handle(first))]);
    const double length = norm(sum);
    out_.normal.push_back(length > 0 ? sum / length : Vec3{0, 0, 1});
  }

  const Connected& c_;
  const Creases& creases_;
  Shading& out_;
};

}  // namespace

Shading shading(const Mesh& mesh, const CreaseRule& rule) {
  Shading out;
  if (mesh.triangles.empty()) return out;
  const Connected connected(mesh);
  const Creases creases(connected, rule);
  const Splitter splitter(connected, creases, out);
  out.creases = creases.chains();
  return out;
}

}  // namespace kerfkiln::solid
