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

constexpr std::uint32_t kUnset = std::numeric_limits<std::uint32_t>::max();

// For each corner of a closed mesh, three a triangle, the corner from which the edge that leaves it comes back. Nothing
// where an edge has another number of facets than two, or facets turned against each other, or where the facets about
// a point are more than one ring.
std::vector<std::uint32_t> opposites_if_closed(const Mesh& m) {
  const auto corners = static_cast<std::uint32_t>(3 * m.triangles.size());
  const auto from = [&](std::uint32_t c) { return m.triangles[c / 3][c % 3]; };
  const auto next = [](std::uint32_t c) { return c % 3 == 2 ? c - 2 : c + 1; };
  const auto previous = [](std::uint32_t c) { return c % 3 == 0 ? c + 2 : c - 1; };
  std::vector<std::uint32_t> first(m.points.size() + 1, 0), leaving(corners), opposite(corners, kUnset);
  for (std::uint32_t c = 0; c < corners; ++c) ++first[from(c) + 1];
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  std::vector<std::uint32_t> filled(first.begin(), first.end() - 1);
  for (std::uint32_t c = 0; c < corners; ++c) leaving[filled[from(c)]++] = c;
  for (std::uint32_t c = 0; c < corners; ++c) {
    const std::uint32_t a = from(c), b = from(next(c));
    if (a == b) return {};
    int same = 0;
    for (std::uint32_t i = first[a]; i < first[a + 1]; ++i) same += from(next(leaving[i])) == b ? 1 : 0;
    for (std::uint32_t i = first[b]; i < first[b + 1]; ++i)
      if (from(next(leaving[i])) == a) opposite[c] = leaving[i];
    if (same != 1 || opposite[c] == kUnset) return {};
  }
  for (std::size_t p = 0; p + 1 < first.size(); ++p) {
    if (first[p] == first[p + 1]) continue;
    std::uint32_t ring = 0, c = leaving[first[p]];
    do c = opposite[previous(c)], ++ring;
    while (c != leaving[first[p]] && ring <= corners);
    if (ring != first[p + 1] - first[p]) return {};
  }
  return opposite;
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
    corner.reserve(m.triangles.size());
    if (const std::vector<std::uint32_t> opposite = opposites_if_closed(m); !opposite.empty())
      link(opposite);
    else
      add_facets();
    facing.reserve(m.triangles.size());
    twice_area.reserve(m.triangles.size());
    for (const Triangle& t : m.triangles) {
      const Vec3 a = m.points[t[0]], across = cross(m.points[t[1]] - a, m.points[t[2]] - a);
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
  // All at once: OpenMesh's own way looks for every edge among those of its points, and adjusts them each time.
  void link(const std::vector<std::uint32_t>& opposite) {
    std::vector<Half> half(opposite.size());
    for (std::uint32_t c = 0; c < opposite.size(); ++c) {
      const Triangle& t = mesh.triangles[c / 3];
      const Vertex a(static_cast<int>(t[c % 3])), b(static_cast<int>(t[(c + 1) % 3]));
      if (c > opposite[c]) continue;
      half[c] = linked.new_edge(a, b);
      half[opposite[c]] = linked.opposite_halfedge_handle(half[c]);
      linked.set_halfedge_handle(a, half[c]);
      linked.set_halfedge_handle(b, half[opposite[c]]);
    }
    for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
      const OpenMesh::FaceHandle facet = linked.new_face();
      linked.set_halfedge_handle(facet, half[3 * t + 2]);
      for (std::uint32_t k = 0; k < 3; ++k) {
        linked.set_face_handle(half[3 * t + k], facet);
        linked.set_next_halfedge_handle(half[3 * t + k], half[3 * t + (k + 1) % 3]);
      }
      const Triangle& p = mesh.triangles[t];
      corner.push_back(
          {Vertex(static_cast<int>(p[0])), Vertex(static_cast<int>(p[1])), Vertex(static_cast<int>(p[2]))});
    }
  }
  void add_facets() {
    for (const Triangle& t : mesh.triangles) {
      std::array<Vertex, 3> v{Vertex(static_cast<int>(t[0])), Vertex(static_cast<int>(t[1])),
                              Vertex(static_cast<int>(t[2]))};
      if (!fits(linked, v) || !linked.add_face(v[0], v[1], v[2]).is_valid()) {
        for (std::size_t k = 0; k < 3; ++k) v[k] = add(t[k]);
        linked.add_face(v[0], v[1], v[2]);
      }
      corner.push_back(v);
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
      const double angle = std::atan2(c_.twice_area[t], dot(p[(k + 1) % 3] - p[k], p[(k + 2) % 3] - p[k]));
      sum = sum + angle * c_.twice_area[t] * c_.facing[t];
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
