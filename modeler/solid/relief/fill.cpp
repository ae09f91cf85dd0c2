#include "modeler/solid/relief/fill.hpp"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <array>
#include <deque>

namespace kerfkiln::solid {
namespace {

constexpr std::uint32_t kNone = UINT32_MAX;
struct FaceInfo {
  int depth = -1;                                          // odd: inside the region
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

Cdt::Point cgal(Vec2 p) { return {p.x, p.y}; }

Finding crossing() {
  return {Severity::error, "relief.crossing", "", "two parts of the outline come too close to be meshed",
          "keep sides at least 0.1 mm apart"};
}

class Filler {
 public:
  Filler(std::vector<Vec2>& points, const FillRequest& request) : points_(points), request_(request) {}

  Result<std::vector<Triangle>> run() {
    for (const auto& loop : request_.loops)
      for (std::uint32_t id : loop) {
        const auto v = cdt_.insert(cgal(points_[id]), hint());
        last_ = v;
        if (fresh_.size() <= id) fresh_.resize(points_.size(), 0);
        if (fresh_[id] == 0) ++constrained_;
        fresh_[id] = 1;
        v->info() = id;
        handle_.resize(points_.size());
        handle_[id] = v;
      }
    if (cdt_.number_of_vertices() != constrained_) return crossing();
    for (const auto& loop : request_.loops)
      for (std::size_t i = 0; i < loop.size(); ++i)
        cdt_.insert_constraint(handle_[loop[i]], handle_[loop[(i + 1) % loop.size()]]);
    if (cdt_.number_of_vertices() != constrained_) return crossing();
    mark();
    for (Vec2 p : request_.seeds) insert(p);
    if (request_.wanting)
      for (int pass = 0; pass < 60 && refine(); ++pass)
        if (cdt_.number_of_faces() > request_.most)
          return Finding{Severity::error, "relief.deviation", "",
                         "the wanted deviation needs more than " + std::to_string(request_.most) + " triangles",
                         "ask for a larger deviation"};
    return triangles();
  }

 private:
  // Crossing a constraint goes in or out of the region.
  void mark() {
    for (auto f = cdt_.all_faces_begin(); f != cdt_.all_faces_end(); ++f) f->info().depth = -1;
    std::deque<Face> open{cdt_.infinite_face()};
    cdt_.infinite_face()->info().depth = 0;
    while (!open.empty()) {
      const Face f = open.front();
      open.pop_front();
      for (int i = 0; i < 3; ++i) {
        const Face g = f->neighbor(i);
        if (g->info().depth >= 0) continue;
        const bool wall = cdt_.is_constrained({f, i});
        g->info().depth = f->info().depth + (wall ? 1 : 0);
        // Breadth by depth: a wall is crossed only when its side is done.
        if (wall)
          open.push_back(g);
        else
          open.push_front(g);
      }
    }
  }
  Face hint() const { return last_ == Cdt::Vertex_handle() ? Face() : last_->face(); }
  static bool inside(const Face& f) { return f->info().depth % 2 == 1; }
  static Triangle corners(const Face& f) { return {f->vertex(0)->info(), f->vertex(1)->info(), f->vertex(2)->info()}; }

  bool insert(Vec2 p) {
    Cdt::Locate_type type;
    int index;
    const Face f = cdt_.locate(cgal(p), type, index, hint());
    if (type != Cdt::FACE && type != Cdt::EDGE) return false;
    if (cdt_.is_infinite(f) || !inside(f)) return false;
    if (type == Cdt::EDGE && cdt_.is_constrained({f, index})) return false;
    for (int i = 0; i < 3; ++i) {
      const Vec2 v = points_[f->vertex(i)->info()];
      if (norm(v - p) < request_.spacing) return false;
      // Not into a constrained edge either.
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
    // All faces at v lie in the same part of the region.
    auto c = v->incident_faces(), end = c;
    do c->info().depth = 1;
    while (++c != end);
    return true;
  }

  bool refine() {
    std::vector<Vec2> wanted;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f) {
      if (!inside(f)) continue;
      Triangle t = corners(f);
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

  std::vector<Triangle> triangles() const {
    std::vector<Triangle> result;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f)
      if (inside(f)) result.push_back(corners(f));
    return result;
  }

  std::vector<Vec2>& points_;
  const FillRequest& request_;
  Cdt cdt_;
  Cdt::Vertex_handle last_;  // faces come and go, vertices stay
  std::vector<char> fresh_;
  std::vector<Cdt::Vertex_handle> handle_;
  std::size_t constrained_ = 0;
};

}  // namespace

Result<std::vector<Triangle>> fill(std::vector<Vec2>& points, const FillRequest& request) {
  return Filler(points, request).run();
}

}  // namespace kerfkiln::solid
