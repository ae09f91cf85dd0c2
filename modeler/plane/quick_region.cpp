#include "modeler/plane/quick_region.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/plane/chain_tree.hpp"
#include "modeler/plane/curve.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kClearMm = 1e-5;    // far above what rounding moves, far below what a maker draws
constexpr double kClearSine = 1e-3;  // of the angle at which curves cross
constexpr double kFlattestMm = 1e8;  // of an arc's radius: its centre is known to 1e-8 mm
constexpr double kSliverMm = 1e-6;   // mean width of a loop that rounding left
constexpr std::size_t kNone = SIZE_MAX;

struct Item {
  Curve curve;
  int side = -1;
  int operand = 0;
  std::size_t outline = 0, loop = 0;  // counted over both operands
};

struct Cut {
  double at = 0;  // arc length
  std::size_t node = 0;
};

// A stretch of a loop between two crossings, or all of a loop that has none.
struct Chain {
  Loop pieces;                           // the last one ends where the next chain begins
  std::size_t from = kNone, to = kNone;  // nodes
  Vec2 end;
  bool inside = false;  // of the other operand
};

// Circles that nearly touch, near where the curves are: rounding tells whether they meet.
bool nearly_touch(const Curve& p, const Curve& q) {
  if (p.is_line() && q.is_line()) return false;
  const auto centre = [](const Curve& c) { return c.segment().centre(); };
  const auto radius = [](const Curve& c) { return 1 / std::abs(c.curvature); };
  const auto near = [&](Vec2 foot, double r) {
    const double reach = std::sqrt(2 * r * kClearMm) + kClearMm;
    return distance(p, foot) < reach && distance(q, foot) < reach;
  };
  if (p.is_line() || q.is_line()) {
    const Curve &line = p.is_line() ? p : q, &arc = p.is_line() ? q : p;
    const Vec2 c = centre(arc);
    const double off = cross(line.ta, c - line.a);
    if (std::abs(std::abs(off) - radius(arc)) > kClearMm) return false;
    return near(c - off * left(line.ta), radius(arc));
  }
  const Vec2 cp = centre(p), cq = centre(q);
  const double rp = radius(p), rq = radius(q), apart = norm(cq - cp);
  if (apart < kClearMm) return std::abs(rp - rq) < 2 * kClearMm;
  const Vec2 way = (cq - cp) / apart;
  // The reach of the tighter one is the wider of the two where they turn against each other.
  if (std::abs(apart - (rp + rq)) < kClearMm && near(cp + rp * way, std::min(rp, rq))) return true;
  if (std::abs(apart - std::abs(rp - rq)) > kClearMm) return false;
  // One within the other: they part slowly where their radii are alike.
  const double slow = rp * rq / std::max(std::abs(rp - rq), kClearMm);
  return near(rp > rq ? cp + rp * way : cq - rq * way, slow);
}

class Combiner {
 public:
  Combiner(const Region& a, const Region& b, Combining how) : how_(how) {
    add(a, 0);
    add(b, 1);
  }

  std::optional<Region> run() {
    if (!clear_ || !find_crossings() || !apart_within_operands()) return std::nullopt;
    if (!make_chains() || !link()) return std::nullopt;
    return region();
  }

 private:
  void add(const Region& region, int operand) {
    for (const Outline& o : region) {
      const std::vector<int> names = names_.add(o);
      outlines_.push_back(&o);
      operand_of_.push_back(operand);
      add_loop(o.outer, operand, names);
      for (const Loop& hole : o.holes) add_loop(hole, operand, names);
    }
  }
  void add_loop(const Loop& loop, int operand, const std::vector<int>& names) {
    first_.push_back(items_.size());
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const Segment s = segment(loop, i);
      if (s.a == s.b) continue;
      const int side = loop[i].side;
      items_.push_back({curve(s),
                        side >= 0 && side < static_cast<int>(names.size()) ? names[static_cast<std::size_t>(side)] : -1,
                        operand, outlines_.size() - 1, first_.size() - 1});
      const Curve& c = items_.back().curve;
      if (!c.is_line() && std::abs(c.curvature) * kFlattestMm < 1) clear_ = false;
    }
    if (items_.size() - first_.back() < 2) clear_ = false;
  }
  std::size_t end_of(std::size_t loop) const { return loop + 1 < first_.size() ? first_[loop + 1] : items_.size(); }

  bool find_crossings() {
    cuts_.resize(items_.size());
    std::vector<Box> boxes;
    boxes.reserve(items_.size());
    for (const Item& i : items_) boxes.push_back(box(i.curve, kClearMm));
    ChainTree(std::move(boxes)).pairs([&](std::size_t i, std::size_t j) {
      if (clear_ && items_[i].outline != items_[j].outline) clear_ = meet(i, j);
    });
    return clear_;
  }
  // False: in doubt.
  bool meet(std::size_t i, std::size_t j) {
    const Curve &p = items_[i].curve, &q = items_[j].curve;
    if (distance(p, q.a) < kClearMm || distance(p, q.b) < kClearMm || distance(q, p.a) < kClearMm ||
        distance(q, p.b) < kClearMm || nearly_touch(p, q))
      return false;
    const Meetings m = meetings(p, q);
    for (int k = 0; k < m.count; ++k) {
      const Meeting& x = m.list[static_cast<std::size_t>(k)];
      if (items_[i].operand == items_[j].operand) return false;
      if (std::min({x.on_first, p.length - x.on_first, x.on_second, q.length - x.on_second}) < kClearMm) return false;
      if (std::abs(cross(tangent_at_length(p, x.on_first), tangent_at_length(q, x.on_second))) < kClearSine)
        return false;
      cuts_[i].push_back({x.on_first, nodes_.size()});
      cuts_[j].push_back({x.on_second, nodes_.size()});
      nodes_.push_back(x.at);
    }
    return true;
  }

  bool within(const Outline& o, Vec2 p) const {
    int sum = winding(o.outer, p);
    for (const Loop& hole : o.holes) sum += winding(hole, p);
    return sum != 0;
  }
  // No outline of an operand lies within another of it.
  bool apart_within_operands() const {
    for (std::size_t i = 0; i < outlines_.size(); ++i)
      for (std::size_t j = 0; j < outlines_.size(); ++j)
        if (i != j && operand_of_[i] == operand_of_[j] && within(*outlines_[j], outlines_[i]->outer.front().at))
          return false;
    return true;
  }
  bool within_operand(int operand, Vec2 p) const {
    for (std::size_t i = 0; i < outlines_.size(); ++i)
      if (operand_of_[i] == operand && within(*outlines_[i], p)) return true;
    return false;
  }

  bool make_chains() {
    chains_of_.resize(first_.size());
    for (std::size_t l = 0; l < first_.size(); ++l)
      if (!make_chains(l)) return false;
    return true;
  }
  bool make_chains(std::size_t loop) {
    const std::size_t begin = first_[loop], end = end_of(loop);
    std::vector<Chain>& chains = chains_of_[loop];
    chains.emplace_back();  // what comes before the first crossing belongs to the last chain
    for (std::size_t i = begin; i < end; ++i) {
      const Curve& c = items_[i].curve;
      std::vector<Cut>& cuts = cuts_[i];
      std::sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) { return a.at < b.at; });
      double from = 0;
      Vec2 at = c.a;
      const auto piece = [&](double to) {
        const double share = (to - from) / c.length;
        chains.back().pieces.push_back({at, c.is_line() ? 0 : std::tan(share * std::atan(c.bulge)), items_[i].side});
      };
      for (const Cut& cut : cuts) {
        if (cut.at - from < kClearMm) return false;
        piece(cut.at);
        chains.back().to = cut.node;
        chains.back().end = nodes_[cut.node];
        chains.emplace_back();
        chains.back().from = cut.node;
        from = cut.at;
        at = nodes_[cut.node];
      }
      piece(c.length);
    }
    if (chains.size() > 1) {
      Chain& last = chains.back();
      last.pieces.insert(last.pieces.end(), chains.front().pieces.begin(), chains.front().pieces.end());
      last.to = chains.front().to;
      last.end = chains.front().end;
      chains.front() = std::move(last);
      chains.pop_back();
    } else {
      chains.front().end = items_[begin].curve.a;
    }
    return classify(chains, 1 - items_[begin].operand);
  }
  bool classify(std::vector<Chain>& chains, int other) const {
    for (Chain& chain : chains) {
      Segment longest;
      double most = -1;
      for (std::size_t k = 0; k < chain.pieces.size(); ++k) {
        const Vec2 to = k + 1 < chain.pieces.size() ? chain.pieces[k + 1].at : chain.end;
        const double chord = norm(to - chain.pieces[k].at);
        if (chord <= most) continue;
        most = chord;
        longest = {chain.pieces[k].at, to, chain.pieces[k].bulge};
      }
      chain.inside = within_operand(other, longest.point(0.5));
    }
    // Each crossing leads in or out.
    for (std::size_t k = 0; chains.size() > 1 && k < chains.size(); ++k)
      if (chains[k].inside == chains[(k + 1) % chains.size()].inside) return false;
    return true;
  }

  bool kept(const Chain& c, int operand) const {
    if (how_ == Combining::united) return !c.inside;
    if (how_ == Combining::intersected) return c.inside;
    return c.inside == (operand == 1);
  }
  static Chain backwards(const Chain& c) {
    Chain r;
    r.from = c.to;
    r.to = c.from;
    r.end = c.pieces.front().at;
    for (std::size_t k = c.pieces.size(); k-- > 0;)
      r.pieces.push_back({k + 1 < c.pieces.size() ? c.pieces[k + 1].at : c.end, -c.pieces[k].bulge, c.pieces[k].side});
    return r;
  }

  // Puts what is kept together, loop by loop. False: in doubt.
  bool link() {
    std::vector<Chain> kept_chains;
    for (std::size_t l = 0; l < first_.size(); ++l) {
      const int operand = items_[first_[l]].operand;
      for (Chain& c : chains_of_[l])
        if (kept(c, operand))
          kept_chains.push_back(how_ == Combining::subtracted && operand == 1 ? backwards(c) : std::move(c));
    }
    std::vector<std::size_t> leaving(nodes_.size(), kNone);
    std::vector<char> reached(nodes_.size(), 0);
    for (std::size_t k = 0; k < kept_chains.size(); ++k) {
      const Chain& c = kept_chains[k];
      if (c.from == kNone) continue;
      if (leaving[c.from] != kNone || reached[c.to]) return false;
      leaving[c.from] = k;
      reached[c.to] = 1;
    }
    std::vector<char> used(kept_chains.size(), 0);
    for (std::size_t first = 0; first < kept_chains.size(); ++first) {
      Loop loop;
      for (std::size_t k = first; !used[k];) {
        used[k] = 1;
        const Chain& c = kept_chains[k];
        loop.insert(loop.end(), c.pieces.begin(), c.pieces.end());
        if (c.to == kNone) break;
        k = leaving[c.to];
        if (k == kNone || (used[k] && k != first)) return false;
      }
      if (!loop.empty()) loops_.push_back(std::move(loop));
    }
    return true;
  }

  std::optional<Region> region() {
    std::vector<double> areas;
    std::erase_if(loops_, [&](const Loop& l) {
      const double a = area(l);
      if (std::abs(a) <= kSliverMm * perimeter(l)) return true;
      areas.push_back(a);
      return false;
    });
    Region out;
    std::vector<double> sizes;
    for (std::size_t i = 0; i < loops_.size(); ++i) {
      if (!(areas[i] > 0)) continue;
      out.push_back({loops_[i], {}, names_.all()});
      sizes.push_back(areas[i]);
    }
    for (std::size_t i = 0; i < loops_.size(); ++i) {
      if (areas[i] > 0) continue;
      const Vec2 p = segment(loops_[i], 0).point(0.5);
      std::size_t around = kNone;
      for (std::size_t k = 0; k < out.size(); ++k)
        if (winding(out[k].outer, p) != 0 && (around == kNone || sizes[k] < sizes[around])) around = k;
      if (around == kNone) return std::nullopt;
      out[around].holes.push_back(std::move(loops_[i]));
    }
    return out;
  }

  Combining how_;
  bool clear_ = true;
  SideNames names_;
  std::vector<const Outline*> outlines_;
  std::vector<int> operand_of_;  // of each outline
  std::vector<Item> items_;
  std::vector<std::size_t> first_;      // item of each loop
  std::vector<std::vector<Cut>> cuts_;  // of each item
  std::vector<Vec2> nodes_;
  std::vector<std::vector<Chain>> chains_of_;  // each loop
  std::vector<Loop> loops_;                    // of the result
};

}  // namespace

std::vector<int> SideNames::add(const Outline& o) {
  std::vector<int> index;
  for (const std::string& name : o.sides) {
    const auto found = std::find(names_.begin(), names_.end(), name);
    index.push_back(static_cast<int>(found - names_.begin()));
    if (found == names_.end()) names_.push_back(name);
  }
  return index;
}

std::optional<Region> combined_where_clear(const Region& a, const Region& b, Combining how) {
  return Combiner(a, b, how).run();
}

}  // namespace kerfkiln::plane
