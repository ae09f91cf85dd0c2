#include "modeler/cushion/relief_hits.hpp"

#include <algorithm>

namespace kerfkiln::cushion {
namespace {
// Spelled out: a call of memcmp for twelve bytes shows.
bool same(const std::array<std::uint32_t, 3>& a, const std::array<std::uint32_t, 3>& b) {
  return a[0] == b[0] && a[1] == b[1] && a[2] == b[2];
}
}  // namespace

DropField::Hit ReliefHits::vertex(std::uint32_t v) {
  if (v >= vertex_.size() || !vertex_known_[v]) know_vertex(v, field_->strongest((*plan_)[v]));
  return vertex_[v];
}

void ReliefHits::know_vertex(std::uint32_t v, const DropField::Hit& hit) {
  if (v >= vertex_.size()) {
    vertex_.resize(std::max<std::size_t>(v + 1, plan_->size()));
    vertex_known_.resize(vertex_.size(), 0);
  }
  vertex_known_[v] = 1;
  vertex_[v] = hit;
}

DropField::Hit ReliefHits::middle(std::uint32_t a, std::uint32_t b) {
  if (a > b) std::swap(a, b);
  return at({a, b, b}, 0.5 * ((*plan_)[a] + (*plan_)[b]));
}

DropField::Hit ReliefHits::centre(const solid::Triangle& t) {
  Corners corners{t[0], t[1], t[2]};
  std::sort(corners.begin(), corners.end());
  return at(corners, 1.0 / 3 * ((*plan_)[corners[0]] + (*plan_)[corners[1]] + (*plan_)[corners[2]]));
}

DropField::Hit ReliefHits::at(Corners corners, Vec2 place) {
  if (field_->plain()) return field_->strongest(place);
  if (2 * (entries_.size() + 1) > slots_.size()) {
    std::vector<Slot> old(std::max<std::size_t>(4096, 2 * slots_.size()));
    old.swap(slots_);
    for (const Slot& slot : old) {
      if (slot.entry == kFree) continue;
      std::size_t i = slot.tag & (slots_.size() - 1);
      while (slots_[i].entry != kFree) i = (i + 1) & (slots_.size() - 1);
      slots_[i] = slot;
    }
  }
  std::uint64_t hash = 0;
  for (std::uint32_t c : corners) hash = (hash + c) * 0x9e3779b97f4a7c15u;
  const auto tag = static_cast<std::uint32_t>(hash >> 32);
  std::size_t i = tag & (slots_.size() - 1);
  for (; slots_[i].entry != kFree; i = (i + 1) & (slots_.size() - 1))
    if (slots_[i].tag == tag && same(entries_[slots_[i].entry].corners, corners)) return entries_[slots_[i].entry].hit;
  slots_[i] = {tag, static_cast<std::uint32_t>(entries_.size())};
  entries_.push_back({corners, field_->strongest(place, close_)});
  return entries_.back().hit;
}

}  // namespace kerfkiln::cushion
