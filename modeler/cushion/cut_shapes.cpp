#include "modeler/cushion/cut_shapes.hpp"

#include <algorithm>
#include <memory>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/cells_once.hpp"
#include "modeler/solid/difference.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kPastMm = 5;  // a side's pocket is cut from so far outside

// A pocket of a side as a solid.
solid::Mesh prism(const Pocket& p, double deviation) {
  const std::vector<Vec2> rim = plane::flattened(p.outline.outer, deviation);
  const auto n = static_cast<std::uint32_t>(rim.size());
  solid::Mesh m;
  for (const double in : {-kPastMm, p.depth_mm})
    for (Vec2 q : rim) {
      const Vec2 at = p.origin + q.x * p.along + in * p.inward;
      m.points.push_back({at.x, at.y, q.y});
    }
  // Seen from outside the rim runs counter-clockwise, and so does the outer cap. Pockets bulge outward everywhere or
  // are fanned from their middle.
  const Vec2 middle = plane::centroid({p.outline.outer, {}, {}});
  for (const double in : {-kPastMm, p.depth_mm}) {
    const Vec2 at = p.origin + middle.x * p.along + in * p.inward;
    m.points.push_back({at.x, at.y, middle.y});
  }
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t j = (i + 1) % n;
    m.triangles.push_back({i, j, 2 * n});
    m.triangles.push_back({n + j, n + i, 2 * n + 1});
    m.triangles.push_back({j, i, n + i});
    m.triangles.push_back({j, n + i, n + j});
  }
  return m;
}

struct Source {
  std::shared_ptr<CellsOnce> cells;
  std::vector<Pocket> sides;

  Result<solid::Mesh> mesh(const Piece& what, double deviation) const {
    const auto c = cells->at(deviation);
    if (!*c) return c->findings();
    solid::Mesh m = piece(**c, what);
    for (const Pocket& p : sides) {
      Result<solid::Mesh> cut = solid::difference(m, prism(p, deviation));
      if (!cut) return cut;
      m = std::move(*cut);
    }
    return m;
  }
  int shells(const Piece& what) const {
    if (sides.empty()) {
      const auto c = cells->at(kLiveDeviationMm);
      return *c ? std::max(1, parts(**c, what)) : 1;
    }
    const Result<solid::Mesh> m = mesh(what, kLiveDeviationMm);
    return m && !m->triangles.empty() ? cushion::shells(*m) : 1;
  }
};

CutMesh shown(std::shared_ptr<const Source> source, Piece what) {
  return {[source, what](double deviation) { return source->mesh(what, deviation); },
          [source, what] { return source->shells(what); }};
}

}  // namespace

CutMeshes cut_meshes(const Core& core, std::vector<double> levels) {
  std::vector<plane::Outline> regions = core.cuts.regions;
  // Which regions belong to each zone: the indices from first on, `count` of them.
  struct Range {
    std::uint32_t first, end;
    bool holds(std::span<const std::uint32_t> within) const {
      return std::any_of(within.begin(), within.end(), [this](std::uint32_t r) { return r >= first && r < end; });
    }
  };
  std::vector<std::vector<Range>> zones;
  for (const Layer& l : core.layers) {
    std::vector<Range>& ranges = zones.emplace_back();
    for (const LayerZone& z : l.zones) {
      const auto first = static_cast<std::uint32_t>(regions.size());
      regions.insert(regions.end(), z.plan.reach.begin(), z.plan.reach.end());
      ranges.push_back({first, static_cast<std::uint32_t>(regions.size())});
    }
  }
  auto source = std::make_shared<Source>();
  source->cells = std::make_shared<CellsOnce>(core.form, std::move(levels), std::move(regions), core.cuts.cuts);
  for (const Pocket& p : core.cuts.pockets)
    if (p.from == Pocket::From::side) source->sides.push_back(p);
  CutMeshes meshes;
  meshes.core = shown(source, {});
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    Chosen rest;
    if (!zones[i].empty())
      rest = [all = Range{zones[i].front().first, zones[i].back().end}](std::span<const std::uint32_t> within) {
        return !all.holds(within);
      };
    meshes.layers.push_back(shown(source, {i, rest, false}));
    std::vector<CutMesh>& own = meshes.zones.emplace_back();
    for (const Range& zone : zones[i])
      own.push_back(
          shown(source, {i, [zone](std::span<const std::uint32_t> within) { return zone.holds(within); }, false}));
  }
  return meshes;
}

}  // namespace kerfkiln::cushion
