// Problems of an outline, found with the box tree in n log n.
#include <algorithm>
#include <string>
#include <tuple>

#include "modeler/base/tolerance.hpp"
#include "modeler/plane/chain_tree.hpp"
#include "modeler/plane/curve.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

constexpr std::size_t kNamed = 6;  // crossings named one by one
// Tangent arcs whose common end is rounded to the plan grid cross once more within sqrt(2 grid radius) of it.
constexpr double kAtJointMm = 5 * kSmallestFeatureMm;

Finding error(const char* code, std::string path, std::string message, std::string remedy) {
  return {Severity::error, code, std::move(path), std::move(message), std::move(remedy)};
}

struct Item {
  int loop;  // 0 the outer loop
  int index, next;
  Curve curve;
};

std::string path_of(int loop, int index) {
  return (loop == 0 ? "outer/" : "holes/" + std::to_string(loop - 1) + "/") + std::to_string(index);
}
std::string name_of(const Item& item) {
  return "segment " + std::to_string(item.index + 1) +
         (item.loop == 0 ? std::string() : " of inner loop " + std::to_string(item.loop));
}

// The loop's segments, or findings about numbers that are none.
void collect(const Loop& loop, int number, std::vector<Item>& items, Findings& findings) {
  const int n = static_cast<int>(loop.size());
  if (n < 2 || (n == 2 && loop[0].bulge == 0 && loop[1].bulge == 0)) {
    findings.push_back(error("outline.corners", number == 0 ? "outer" : "holes/" + std::to_string(number - 1),
                             std::to_string(n) + " corners enclose no area",
                             "give at least three corners, or two joined by an arc"));
    return;
  }
  for (int i = 0; i < n; ++i) {
    const Vertex& v = loop[static_cast<std::size_t>(i)];
    const bool inside = std::max(std::abs(v.at.x), std::abs(v.at.y)) <= kLargestSizeMm;  // false for NaN
    if (!inside || !(std::abs(v.bulge) <= 1)) {
      findings.push_back(error("outline.number", path_of(number, i),
                               inside ? "a bulge that is not between -1 and 1 at " + place_text(v.at)
                                      : "a corner outside -10 000 to 10 000 mm",
                               "correct the corner"));
      continue;
    }
    const Segment s = segment(loop, static_cast<std::size_t>(i));
    const double chord = norm(s.b - s.a);
    if (chord < kSmallestFeatureMm)
      findings.push_back(error("outline.short", path_of(number, i),
                               "a segment of " + mm_text(chord) + " at " + place_text(s.a) + "; at least " +
                                   mm_text(kSmallestFeatureMm) + " is permitted",
                               "leave one of its corners out"));
    if (chord > 0) items.push_back({number, i, i + 1 == n ? 0 : i + 1, curve(s)});
  }
}

bool at_joint(const Item& p, const Item& q, const Meeting& m) {
  if (p.loop != q.loop) return false;
  if (p.next == q.index && p.curve.length - m.on_first < kAtJointMm && m.on_second < kAtJointMm) return true;
  return q.next == p.index && m.on_first < kAtJointMm && q.curve.length - m.on_second < kAtJointMm;
}

struct Crossing {
  std::size_t first, second;
  Vec2 at;
};
std::vector<Crossing> crossings_of(const std::vector<Item>& items) {
  std::vector<Box> boxes;
  for (const Item& i : items) boxes.push_back(box(i.curve, 1e-9));
  std::vector<Crossing> found;
  ChainTree(std::move(boxes)).pairs([&](std::size_t i, std::size_t j) {
    const Meetings m = meetings(items[i].curve, items[j].curve);
    for (int k = 0; k < m.count; ++k) {
      if (at_joint(items[i], items[j], m.list[static_cast<std::size_t>(k)])) continue;
      found.push_back({i, j, m.list[static_cast<std::size_t>(k)].at});
      return;
    }
  });
  std::sort(found.begin(), found.end(), [](const Crossing& a, const Crossing& b) {
    return std::tie(a.first, a.second) < std::tie(b.first, b.second);
  });
  return found;
}

void find_crossings(const std::vector<Item>& items, Findings& findings) {
  const std::vector<Crossing> found = crossings_of(items);
  for (std::size_t k = 0; k < std::min(found.size(), kNamed); ++k) {
    const Item &p = items[found[k].first], &q = items[found[k].second];
    findings.push_back(error("outline.crossing", path_of(p.loop, p.index),
                             name_of(p) + " and " + name_of(q) + " meet at " + place_text(found[k].at) +
                                 "; permitted is that segments meet at the corner between them only",
                             "move a corner so that the outline touches itself nowhere"));
  }
  if (found.size() > kNamed)
    findings.push_back(error("outline.crossing", "",
                             std::to_string(found.size() - kNamed) + " further pairs of segments meet",
                             "move the corners so that the outline touches itself nowhere"));
}

void check_nesting(const Outline& outline, Findings& findings) {
  if (area(outline.outer) <= 0)
    findings.push_back(
        error("outline.clockwise", "outer", "the outline runs clockwise", "list its corners the other way round"));
  for (std::size_t h = 0; h < outline.holes.size(); ++h) {
    const std::string path = "holes/" + std::to_string(h);
    const Vec2 at = outline.holes[h][0].at;
    if (area(outline.holes[h]) >= 0)
      findings.push_back(error("outline.clockwise", path,
                               "the inner loop at " + place_text(at) + " runs counter-clockwise",
                               "list its corners the other way round"));
    if (winding(outline.outer, at) == 0)
      findings.push_back(error("outline.nesting", path,
                               "the inner loop at " + place_text(at) + " lies outside the outline",
                               "move the inner loop inside"));
    for (std::size_t o = 0; o < outline.holes.size(); ++o)
      if (o != h && winding(outline.holes[o], at) != 0)
        findings.push_back(
            error("outline.nesting", path,
                  "the inner loop at " + place_text(at) + " lies within inner loop " + std::to_string(o + 1),
                  "leave one of the two out"));
  }
}

}  // namespace

Findings check_outline(const Outline& outline) {
  Findings findings;
  std::vector<Item> items;
  collect(outline.outer, 0, items, findings);
  for (std::size_t h = 0; h < outline.holes.size(); ++h)
    collect(outline.holes[h], static_cast<int>(h) + 1, items, findings);
  const auto unusable = [](const Finding& f) { return f.code != "outline.short"; };
  if (std::any_of(findings.begin(), findings.end(), unusable)) return findings;
  find_crossings(items, findings);
  if (findings.empty()) check_nesting(outline, findings);
  return findings;
}

std::vector<SelfCrossing> self_crossings(const Outline& outline) {
  Findings ignored;
  std::vector<Item> items;
  collect(outline.outer, 0, items, ignored);
  for (std::size_t h = 0; h < outline.holes.size(); ++h)
    collect(outline.holes[h], static_cast<int>(h) + 1, items, ignored);
  std::vector<SelfCrossing> out;
  for (const Crossing& c : crossings_of(items))
    out.push_back({{items[c.first].loop, items[c.first].index}, {items[c.second].loop, items[c.second].index}, c.at});
  return out;
}

bool simple(const Outline& outline) {
  const Findings found = check_outline(outline);
  return std::all_of(found.begin(), found.end(), [](const Finding& f) { return f.code == "outline.short"; });
}

}  // namespace kerfkiln::plane
