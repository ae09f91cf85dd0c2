// What filling and refilling share: a constrained Delaunay triangulation (CGAL) over plain points that is refined where
// its triangles miss what they should show. For the .cpp files of this folder.
#pragma once
#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid::delaunay {

inline constexpr std::uint32_t kNone = UINT32_MAX;
struct FaceInfo {
  bool inside = false;                                     // the region
  int depth = -1;                                          // constraints crossed on the way in
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
using Vertex = Cdt::Vertex_handle;

inline Cdt::Point cgal(Vec2 p) { return {p.x, p.y}; }
inline Triangle corners(const Face& f) { return {f->vertex(0)->info(), f->vertex(1)->info(), f->vertex(2)->info()}; }

// Request: FillRequest or RefillRequest. Whoever derives from it marks the faces inside.
template <class Request>
class Refined {
 protected:
  Refined(std::vector<Vec2>& points, const Request& request) : points_(points), request_(request) {}

  Face hint() const { return last_ == Vertex() ? Face() : last_->face(); }
  Vertex add(std::uint32_t id) {
    last_ = cdt_.insert(cgal(points_[id]), hint());
    last_->info() = id;
    return last_;
  }

  // The triangles inside, once all are good or no more can be added.
  Result<std::vector<Triangle>> refined(std::vector<char>* good = nullptr) {
    if (request_.wanting)
      for (int pass = 0; pass < 60 && refine(); ++pass)
        if (cdt_.number_of_faces() > request_.most)
          return Finding{Severity::error, "relief.deviation", "",
                         "the wanted deviation needs more than " + std::to_string(request_.most) + " triangles",
                         "ask for a larger deviation"};
    std::vector<Triangle> result;
    for (auto f = cdt_.finite_faces_begin(); f != cdt_.finite_faces_end(); ++f)
      if (f->info().inside) {
        result.push_back(corners(f));
        if (good != nullptr) good->push_back(f->info().seen == result.back());
      }
    return result;
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
      // Not into a constrained edge either.
      if (!cdt_.is_constrained({f, i})) continue;
      const Vec2 a = points_[f->vertex((i + 1) % 3)->info()], b = points_[f->vertex((i + 2) % 3)->info()];
      if (cross(unit(b - a), p - a) < request_.spacing) return false;
    }
    const Vec2 at = request_.added(p);
    points_.push_back(at);
    const std::size_t before = cdt_.number_of_vertices();
    const Vertex v = cdt_.insert(cgal(at), f);
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

  std::vector<Vec2>& points_;
  const Request& request_;
  Cdt cdt_;

 private:
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

  Vertex last_;  // faces come and go, vertices stay
};

}  // namespace kerfkiln::solid::delaunay
