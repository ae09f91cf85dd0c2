#include "modeler/solid/relief/refill.hpp"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <algorithm>

#include "modeler/solid/place.hpp"

namespace kerfkiln::solid {
namespace {

constexpr std::uint32_t kNone = UINT32_MAX;
struct FaceInfo {
  bool inside = false;
  std::array<std::uint32_t, 3> seen{kNone, kNone, kNone};  // corners when it was found good
};
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Vb = CGAL::Triangulation_vertex_base_with_info_2<std::uint32_t, Kernel>;
using Fb =
    CGAL::Constrained_triangulation_face_base_2<Kernel, CGAL::Triangulation_face_base_with_info_2<FaceInfo, Kernel>>;
using Tds = CGAL::Triangulation_data_structure_2<Vb, Fb>;
// Crossing constraints make new vertices, by which they are noticed.
using Cdt = CGAL::Constrained_Delaunay_triangulation_2<Kernel, Tds, CGAL::Exact_predicates_tag>;
using Face = Cdt::Face_handle;
using Edge = std::array<std::uint32_t, 2>;

Cdt::Point cgal(Vec2 p) { return {p.x, p.y}; }

class Refiller {
 public:
  Refiller(std::vector<Vec2>& points, const RefillRequest& request) : points_(points), request_(request) {}

  Result<std::vector<Triangle>> run() {
    handle_.resize(points_.size());
    for (const auto* edges : {&request_.border, &request_.lines})
      for (const Edge& e : *edges)
        for (std::uint32_t v : e) place(v);
    for (std::uint32_t v : request_.inner) place(v);
    for (const auto* edges : {&request_.border, &request_.lines})
      for (const Edge& e : *edges) {
        cdt_.insert_constraint(handle_[e[0]], handle_[e[1]]);
        if (cdt_.number_of_vertices() != placed_) return crossing(e);
      }
    mark();
    if (request_.wanting)
      for (int pass = 0; pass < 60 && refine(); ++pass)
        if (cdt_.number_of_faces() > request_.most)
          return Finding{Severity::error, "relief.deviation", "",
                         "the wanted deviation needs more than " + std::to_string(request_.most) + " triangles",
                         "ask for a larger deviation"};
    std::vector<Triangle> result;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f)
      if (f->info().inside) result.push_back(corners(f));
    return result;
  }

 private:
  Finding crossing(const Edge& e) const {
    const Vec2 p = 0.5 * (points_[e[0]] + points_[e[1]]);
    return {Severity::error, "cells.crossing", "",
            "two boundaries come too close to be told apart near " + place_text({p.x, p.y, 0}),
            "move one of the cuts or zones that meet there by a millimetre"};
  }
  void place(std::uint32_t v) {
    if (handle_[v] != Cdt::Vertex_handle()) return;
    const auto at = cdt_.insert(cgal(points_[v]), hint());
    last_ = handle_[v] = at;
    at->info() = v;
    ++placed_;
  }
  Face hint() const { return last_ == Cdt::Vertex_handle() ? Face() : last_->face(); }
  static Triangle corners(const Face& f) { return {f->vertex(0)->info(), f->vertex(1)->info(), f->vertex(2)->info()}; }

  // Inside is to the left of the border, and all that hangs together with it.
  void mark() {
    std::vector<Edge> border = request_.border;
    std::sort(border.begin(), border.end());
    const auto bounds = [&](std::uint32_t a, std::uint32_t b) {
      return std::binary_search(border.begin(), border.end(), Edge{a, b});
    };
    std::vector<Face> open;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f) {
      const Triangle t = corners(f);
      for (std::size_t i = 0; i < 3 && !f->info().inside; ++i)
        if (bounds(t[(i + 1) % 3], t[(i + 2) % 3])) {
          f->info().inside = true;
          open.push_back(f);
        }
    }
    while (!open.empty()) {
      const Face f = open.back();
      open.pop_back();
      const Triangle t = corners(f);
      for (int i = 0; i < 3; ++i) {
        const std::uint32_t a = t[static_cast<std::size_t>((i + 1) % 3)], b = t[static_cast<std::size_t>((i + 2) % 3)];
        const Face g = f->neighbor(i);
        if (g->info().inside || cdt_.is_infinite(g) || bounds(a, b) || bounds(b, a)) continue;
        g->info().inside = true;
        open.push_back(g);
      }
    }
  }

  bool insert(Vec2 p) {
    Cdt::Locate_type type;
    int index;
    const Face f = cdt_.locate(cgal(p), type, index, hint());
    if (type != Cdt::FACE && type != Cdt::EDGE) return false;
    if (cdt_.is_infinite(f) || !f->info().inside) return false;
    if (type == Cdt::EDGE && cdt_.is_constrained({f, index})) return false;
    for (int i = 0; i < 3; ++i) {
      const Vec2 v = points_[f->vertex(i)->info()];
      if (norm(v - p) < request_.spacing) return false;
      if (!cdt_.is_constrained({f, i})) continue;
      const Vec2 a = points_[f->vertex((i + 1) % 3)->info()], b = points_[f->vertex((i + 2) % 3)->info()];
      if (cross(unit(b - a), p - a) < request_.spacing) return false;
    }
    const Vec2 at = request_.added(p);
    points_.push_back(at);
    const std::size_t before = cdt_.number_of_vertices();
    const auto v = cdt_.insert(cgal(at), f);
    if (cdt_.number_of_vertices() == before) return true;  // met another after rounding: the point stays unused
    v->info() = static_cast<std::uint32_t>(points_.size() - 1);
    last_ = v;
    // All faces at v lie inside.
    auto c = v->incident_faces(), end = c;
    do {
      c->info().inside = true;
      c->info().seen = {kNone, kNone, kNone};
    } while (++c != end);
    return true;
  }

  bool refine() {
    std::vector<Vec2> wanted;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f) {
      if (!f->info().inside) continue;
      const Triangle t = corners(f);
      if (f->info().seen == t) continue;
      if (const std::optional<Vec2> p = request_.wanting(t))
        wanted.push_back(*p);
      else
        f->info().seen = t;
    }
    bool any = false;
    for (Vec2 p : wanted) any = insert(p) || any;
    return any;
  }

  std::vector<Vec2>& points_;
  const RefillRequest& request_;
  Cdt cdt_;
  Cdt::Vertex_handle last_;  // faces come and go, vertices stay
  std::vector<Cdt::Vertex_handle> handle_;
  std::size_t placed_ = 0;
};

}  // namespace

Result<std::vector<Triangle>> refill(std::vector<Vec2>& points, const RefillRequest& request) {
  return Refiller(points, request).run();
}

}  // namespace kerfkiln::solid
