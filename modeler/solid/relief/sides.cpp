#include "modeler/solid/relief/sides.hpp"

#include <numeric>

namespace kerfkiln::solid {

std::vector<std::uint32_t> opposites(std::span<const Triangle> triangles, std::size_t points) {
  using Index = std::uint32_t;
  struct Side {
    Index to, corner;
  };
  const std::size_t corners = 3 * triangles.size();
  std::vector<Index> start(points + 1, 0), opposite(corners, kNoSide);
  for (const Triangle& t : triangles)
    for (const Index v : t) ++start[v + 1];
  std::partial_sum(start.begin(), start.end(), start.begin());
  std::vector<Side> sides(corners);  // by their first vertex
  std::vector<Index> at(start.begin(), start.end() - 1);
  Index corner = 0;
  for (const Triangle& t : triangles)
    for (std::size_t k = 0; k < 3; ++k) sides[at[t[k]]++] = {t[k == 2 ? 0 : k + 1], corner++};
  for (Index v = 0; v < points; ++v)
    for (Index i = start[v]; i < start[v + 1]; ++i) {
      const Side s = sides[i];
      if (s.to < v) continue;  // seen from there
      for (Index j = start[s.to]; j < start[s.to + 1]; ++j)
        if (sides[j].to == v) {
          opposite[s.corner] = sides[j].corner;
          opposite[sides[j].corner] = s.corner;
          break;
        }
    }
  return opposite;
}

}  // namespace kerfkiln::solid
