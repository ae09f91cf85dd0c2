#include "modeler/solid/relief/fill.hpp"

#include <deque>

#include "modeler/solid/relief/delaunay.ipp"

namespace kerfkiln::solid {
namespace {

using delaunay::Face;

Finding crossing() {
  return {Severity::error, "relief.crossing", "", "two parts of the outline come too close to be meshed",
          "keep sides at least 0.1 mm apart"};
}

class Filler : delaunay::Refined<FillRequest> {
 public:
  Filler(std::vector<Vec2>& points, const FillRequest& request) : Refined(points, request) {}

  Result<std::vector<Triangle>> run() {
    std::vector<char> fresh(points_.size(), 0);
    std::vector<delaunay::Vertex> handle(points_.size());
    std::size_t constrained = 0;
    for (const auto& loop : request_.loops)
      for (std::uint32_t id : loop) {
        handle[id] = add(id);
        if (fresh[id] == 0) ++constrained;
        fresh[id] = 1;
      }
    if (cdt_.number_of_vertices() != constrained) return crossing();
    for (const auto& loop : request_.loops)
      for (std::size_t i = 0; i < loop.size(); ++i)
        cdt_.insert_constraint(handle[loop[i]], handle[loop[(i + 1) % loop.size()]]);
    if (cdt_.number_of_vertices() != constrained) return crossing();
    mark();
    for (Vec2 p : request_.seeds) insert(p);
    return refined(request_.good);
  }

 private:
  // Crossing a constraint goes in or out of the region.
  void mark() {
    std::deque<Face> open{cdt_.infinite_face()};
    cdt_.infinite_face()->info().depth = 0;
    while (!open.empty()) {
      const Face f = open.front();
      open.pop_front();
      f->info().inside = f->info().depth % 2 == 1;
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
};

}  // namespace

Result<std::vector<Triangle>> fill(std::vector<Vec2>& points, const FillRequest& request) {
  return Filler(points, request).run();
}

}  // namespace kerfkiln::solid
