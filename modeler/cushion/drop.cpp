#include "modeler/cushion/drop.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/range_tree.hpp"

namespace kerfkiln::cushion {

DropField::DropField(const Boundary& boundary, const EdgeProfiles& edges) : boundary_(&boundary), profiles_(1) {
  const std::span<const Element> elements = boundary.elements();
  profile_of_.assign(elements.size(), 0);
  blend_of_.assign(elements.size(), -1);
  assign_runs(edges);

  std::vector<int> group_of(profiles_.size(), -1);
  for (std::size_t i = 0; i < elements.size(); ++i) {
    const int k = profile_of_[i];
    if (blend_of_[i] >= 0 || k == 0) continue;
    int& g = group_of[static_cast<std::size_t>(k)];
    if (g < 0) {
      g = static_cast<int>(groups_.size());
      groups_.push_back({k, {}, {}, {}, {}});
    }
    Group& group = groups_[static_cast<std::size_t>(g)];
    group.elements.push_back(elements[i]);
    group.boxes.push_back(box_of(elements[i]));
    group.ids.push_back(static_cast<int>(i));
  }
  for (Group& g : groups_) {
    g.tree = tree_of(g.elements.size(), [&](std::size_t i) { return g.boxes[i]; });
    inset_max_ = std::max(inset_max_, profiles_[static_cast<std::size_t>(g.profile)].inset);
    drop_max_ = std::max(drop_max_, profiles_[static_cast<std::size_t>(g.profile)].drop);
  }
  cut_blends();
  for (const Blend& b : blends_) {
    inset_max_ = std::max(inset_max_, b.reach);
    for (int k : {b.from, b.to}) drop_max_ = std::max(drop_max_, profiles_[static_cast<std::size_t>(k)].drop);
  }
  uniform_ = blends_.empty() && (groups_.empty() || (groups_.size() == 1 && groups_[0].ids.size() == elements.size()));
}

int DropField::profile_index(const EdgeProfile& profile) {
  for (std::size_t i = 0; i < profiles_.size(); ++i)
    if (profiles_[i] == profile) return static_cast<int>(i);
  profiles_.push_back(profile);
  return static_cast<int>(profiles_.size()) - 1;
}

void DropField::assign_runs(const EdgeProfiles& edges) {
  const std::span<const Element> elements = boundary_->elements();
  std::vector<int> of_side(edges.by_side.size() + 1, -1);  // the last: other
  const auto index_of = [&](int side) {
    const bool named = side >= 0 && side < static_cast<int>(edges.by_side.size());
    int& k = of_side[named ? static_cast<std::size_t>(side) : edges.by_side.size()];
    if (k < 0) k = profile_index(edges.of(side));
    return k;
  };
  std::vector<char> done(elements.size(), 0);
  for (std::size_t i = 0; i < elements.size(); ++i) {
    if (elements[i].side < 0) continue;
    const int from = profile_of_[i] = index_of(elements[i].side);
    done[i] = 1;
    // The run of segments without a side that follows this one.
    double length = 0;
    std::size_t last = static_cast<std::size_t>(elements[i].next);
    for (; elements[last].side < 0; last = static_cast<std::size_t>(elements[last].next))
      length += elements[last].length;
    const int to = index_of(elements[last].side);
    double along = 0;
    for (std::size_t j = static_cast<std::size_t>(elements[i].next); j != last;
         j = static_cast<std::size_t>(elements[j].next)) {
      done[j] = 1;
      const double begin = along / length;
      along += elements[j].length;
      if (from == to) {
        profile_of_[j] = from;
        continue;
      }
      blend_of_[j] = static_cast<int>(blends_.size());
      const auto inset = [&](int k) { return profiles_[static_cast<std::size_t>(k)].inset; };
      blends_.push_back({static_cast<int>(j), from, to, begin, along / length, std::max(inset(from), inset(to))});
    }
  }
  for (std::size_t i = 0; i < elements.size(); ++i)
    if (!done[i]) profile_of_[i] = index_of(-1);
}

double DropField::reach(int element) const { return blended(element) ? blend(element).reach : profile(element).inset; }

DropField::Hit DropField::strongest(Vec2 p, double close) const {
  Hit best;
  for (const Group& g : groups_) {
    const EdgeProfile& profile = profiles_[static_cast<std::size_t>(g.profile)];
    double near2 = profile.inset * profile.inset;
    std::size_t nearest = g.ids.size();
    walk_tree(
        g.tree, 0, 0, g.ids.size(), p, [&](const plane::Box& box) { return distance2(box, p) < near2; },
        [&](std::size_t i) {
          // Far inside, the boxes of a few sides together hold all of the plan, each alone none of it.
          if (distance2(g.boxes[i], p) >= near2) return;
          const double d2 = g.elements[i].distance2(p);
          if (d2 < near2) {
            near2 = d2;
            nearest = i;
          }
        });
    if (nearest == g.ids.size()) continue;
    const double d = std::sqrt(near2), drop = profile.drop_at(d);
    if (drop > best.drop) best = {drop, d, 0, g.ids[nearest], 4 * g.ids[nearest]};
  }
  if (!blends_.empty()) look_at_blends(p, close, best);
  return best;
}

bool DropField::exceeds(Vec2 p, double floor) const {
  for (const Group& g : groups_) {
    const EdgeProfile& profile = profiles_[static_cast<std::size_t>(g.profile)];
    const double within = profile.inset_at(floor);  // nearer than this it is stronger
    double near2 = within * within;
    bool found = false;
    walk_tree(
        g.tree, 0, 0, g.ids.size(), p, [&](const plane::Box& box) { return distance2(box, p) < near2; },
        [&](std::size_t i) {
          if (g.elements[i].distance2(p) >= near2) return;
          found = true;
          near2 = 0;
        });
    if (found) return true;
  }
  if (blends_.empty()) return false;
  Hit best;
  best.drop = floor;
  look_at_blends(p, 1e-9, best);
  return best.drop > floor;
}

void DropField::look_at_blends(Vec2 p, double close, Hit& best) const {
  const double far2 = inset_max_ * inset_max_;
  walk_tree(
      blend_tree_, 0, 0, pieces_.size(), p, [&](const plane::Box& box) { return distance2(box, p) < far2; },
      [&](std::size_t i) { best = strongest_blend(i, p, close, best); });
}

void DropField::cut_blends() {
  const std::span<const Element> elements = boundary_->elements();
  for (std::size_t i = 0; i < blends_.size(); ++i) {
    const Blend& b = blends_[i];
    const Element& e = elements[static_cast<std::size_t>(b.element)];
    const DropKernel from(profiles_[static_cast<std::size_t>(b.from)]), to(profiles_[static_cast<std::size_t>(b.to)]);
    // Short enough for every peak to show between the places of a piece.
    const int n = std::clamp(static_cast<int>(std::ceil(e.length / (2.5 * std::max(b.reach, 1e-3)))), 1, 4096);
    for (int k = 0; k < n; ++k) {
      pieces_.emplace_back(e, static_cast<double>(k) / n, static_cast<double>(k + 1) / n, b.g0, b.g1, from, to);
      blend_of_piece_.push_back(static_cast<int>(i));
    }
  }
  if (!pieces_.empty()) blend_tree_ = tree_of(pieces_.size(), [&](std::size_t i) { return pieces_[i].box(); });
}

DropField::Hit DropField::strongest_blend(std::size_t piece, Vec2 p, double close, Hit best) const {
  const Blend& b = blends_[static_cast<std::size_t>(blend_of_piece_[piece])];
  const Element& e = boundary_->elements()[static_cast<std::size_t>(b.element)];
  const double near2 = e.distance2(p);
  if (near2 >= b.reach * b.reach) return best;
  const EdgeProfile& from = profiles_[static_cast<std::size_t>(b.from)];
  const EdgeProfile& to = profiles_[static_cast<std::size_t>(b.to)];
  const double near = std::sqrt(near2);
  if (pieces_[piece].bound(near) <= best.drop) return best;
  const BlendedPiece::Peak top = pieces_[piece].peak(p, near, close, best.drop);
  if (top.drop <= best.drop) return best;
  const double d = norm(p - e.point(top.u));
  const int kinks = (d < from.inset ? 1 : 0) + (d < to.inset ? 2 : 0);
  return {top.drop, near, top.slope, b.element, 4 * b.element + kinks};
}

}  // namespace kerfkiln::cushion
