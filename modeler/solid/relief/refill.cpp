#include "modeler/solid/relief/refill.hpp"

#include <algorithm>

#include "modeler/solid/place.hpp"
#include "modeler/solid/relief/delaunay.ipp"

namespace kerfkiln::solid {
namespace {

using delaunay::corners;
using delaunay::Face;
using Edge = std::array<std::uint32_t, 2>;

class Refiller : delaunay::Refined<RefillRequest> {
 public:
  Refiller(std::vector<Vec2>& points, const RefillRequest& request) : Refined(points, request) {}

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
    return refined();
  }

 private:
  Finding crossing(const Edge& e) const {
    const Vec2 p = 0.5 * (points_[e[0]] + points_[e[1]]);
    return {Severity::error, "cells.crossing", "",
            "two boundaries come too close to be told apart near " + place_text({p.x, p.y, 0}),
            "move one of the cuts or zones that meet there by a millimetre"};
  }
  void place(std::uint32_t v) {
    if (handle_[v] != delaunay::Vertex()) return;
    handle_[v] = add(v);
    ++placed_;
  }

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

  std::vector<delaunay::Vertex> handle_;
  std::size_t placed_ = 0;
};

}  // namespace

Result<std::vector<Triangle>> refill(std::vector<Vec2>& points, const RefillRequest& request) {
  return Refiller(points, request).run();
}

}  // namespace kerfkiln::solid
