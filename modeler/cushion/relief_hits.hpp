// The exact sheet over the places where a triangulation of the plan is judged, looked up once for each: two triangles
// share the middle of an edge, and refining and measuring ask for the same places. A field without blends is asked
// again, which is quicker than remembering.
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "modeler/cushion/drop.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::cushion {

class ReliefHits {
 public:
  // Both outlive this; plan vertices may be added, not moved.
  // Places between vertices need the drop to `close` mm only.
  ReliefHits(const DropField& field, const std::vector<Vec2>& plan, double close)
      : field_(&field), plan_(&plan), close_(close) {}
  DropField::Hit vertex(std::uint32_t);
  void know_vertex(std::uint32_t, const DropField::Hit&);  // may come before the vertex is in the plan
  DropField::Hit middle(std::uint32_t a, std::uint32_t b);
  DropField::Hit centre(const solid::Triangle&);

 private:
  using Corners = std::array<std::uint32_t, 3>;  // ascending, the last repeated where there are two
  static constexpr std::uint32_t kFree = UINT32_MAX;
  struct Entry {
    Corners corners;
    DropField::Hit hit;
  };
  struct Slot {
    std::uint32_t tag = 0, entry = kFree;
  };
  DropField::Hit at(Corners, Vec2 place);

  const DropField* field_;
  const std::vector<Vec2>* plan_;
  double close_;
  std::vector<DropField::Hit> vertex_;
  std::vector<char> vertex_known_;
  // Open addressing with linear probing: a node for each place would cost more than the field.
  std::vector<Slot> slots_;  // a power of two of them
  std::vector<Entry> entries_;
};

}  // namespace kerfkiln::cushion
