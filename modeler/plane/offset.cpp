// Trims the raw parallel curve: pieces are split where they cross, stretches nearer to the source than the distance are
// dropped, the rest is joined. Right because validity changes only where the raw curve crosses itself: at a point that
// stops being far enough a second source point is at the distance, and the raw curve passes through the same point for
// it, too.
#include "modeler/plane/offset.hpp"

#include <algorithm>
#include <numbers>
#include <optional>

#include "modeler/base/tolerance.hpp"
#include "modeler/plane/chain_tree.hpp"
#include "modeler/plane/clusters.hpp"
#include "modeler/plane/raw_offset.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kSameNodeMm = 1e-7;   // crossings this close are one
constexpr double kSliverMm = 1e-6;     // probe beside a stretch: thinner parts of the result are left out
constexpr double kDistanceMm = 2e-10;  // error of a distance, joints put together included
constexpr std::size_t kProbes = 12;    // places along a stretch that must agree
constexpr double kNudgesMm[] = {0, 3e-7, -3e-7, 3e-6, -3e-6, 3e-5, -3e-5};  // where events coincide

struct Source {
  std::vector<SourceLoop> loops;
  std::vector<Curve> curves;  // of all loops
  ChainTree tree;

  static Source of(const Outline& outline) {
    std::vector<SourceLoop> loops{source_loop(outline.outer)};
    for (const Loop& hole : outline.holes) loops.push_back(source_loop(hole));
    std::vector<Curve> curves;
    for (const SourceLoop& l : loops) curves.insert(curves.end(), l.curves.begin(), l.curves.end());
    std::vector<Box> boxes;
    boxes.reserve(curves.size());
    for (const Curve& c : curves) boxes.push_back(box(c, 0));
    return {std::move(loops), std::move(curves), ChainTree(std::move(boxes))};
  }
  ChainTree::Hit nearest(Vec2 p, double bound) const {
    return tree.nearest(p, bound, [&](std::size_t i) { return distance(curves[i], p); });
  }
};

struct Piece {
  RawPiece raw;
  std::size_t next = 0;      // in the loop
  bool linked_back = false;  // the piece before is linked to this one
  bool dropped = false;
};

struct Split {
  std::size_t piece;
  double at;  // arc length
  int node;
};

// A part of a piece between neighbouring splits or ends.
struct Part {
  std::size_t piece;
  double from, to;
};

// Consecutive parts without a crossing: all of it belongs to the result, or nothing.
struct Stretch {
  int start = -1, end = -1;  // nodes; -1: a loose end
  std::vector<Part> parts;
  bool ring = false;
  bool kept = false, used = false;
  double length() const {
    double sum = 0;
    for (const Part& p : parts) sum += p.to - p.from;
    return sum;
  }
};

class Trim {
 public:
  Trim(const Source& source, double shift, Join join) : source_(source), shift_(shift) {
    for (const SourceLoop& loop : source.loops) append_loop(raw_offset(loop, shift, join, kites_));
  }

  // The loops, or nothing and failed_at() if the stretches do not close up.
  std::optional<std::vector<Loop>> loops() {
    drop_covered();
    find_splits();
    cluster_ = clusters(nodes_, kSameNodeMm);
    make_stretches();
    if (!choose() || !balanced()) return std::nullopt;
    return join();
  }
  Vec2 failed_at() const { return failed_at_; }

 private:
  void append_loop(RawLoop raw) {
    const std::size_t first = pieces_.size(), n = raw.pieces.size();
    for (std::size_t i = 0; i < n; ++i) {
      Piece p;
      p.raw = raw.pieces[i];
      p.next = first + (i + 1 == n ? 0 : i + 1);
      p.linked_back = raw.pieces[i == 0 ? n - 1 : i - 1].linked;
      pieces_.push_back(p);
    }
    if (n > 0) loop_starts_.push_back(first);
  }

  // Pieces that one straight source segment covers whole: its neighbourhood is convex, so three corners of a hull tell.
  // Spares the quadratic tangle of lines that a finely divided tight bend leaves behind.
  void drop_covered() {
    const double reach = std::abs(shift_) - kSliverMm;
    std::vector<std::size_t> gone;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Piece& p = pieces_[i];
      if (p.raw.linked && p.linked_back) continue;
      const Curve& c = p.raw.curve;
      if (std::abs(c.bulge) > 0.5) continue;
      // The tangents of a line meet in its middle; those of an arc at chord middle + tan(half the sweep) / 2 to the
      // right.
      const double tangents = c.bulge / (1 - c.bulge * c.bulge);
      const Vec2 tip = 0.5 * (c.a + c.b) + tangents * right(c.b - c.a);
      const ChainTree::Hit hit = source_.nearest(tip, reach);
      if (hit.item < 0) continue;
      const Curve& by = source_.curves[static_cast<std::size_t>(hit.item)];
      if (by.is_line() && distance(by, c.a) < reach && distance(by, c.b) < reach) gone.push_back(i);
    }
    for (const std::size_t i : gone) pieces_[i].dropped = true;
    for (Piece& p : pieces_) {
      if (p.dropped || pieces_[p.next].dropped) {
        p.raw.linked = false;
        pieces_[p.next].linked_back = false;
      }
    }
  }

  void find_splits() {
    std::vector<std::size_t> ids;
    std::vector<Box> boxes;
    ids.reserve(pieces_.size());
    boxes.reserve(pieces_.size());
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      if (pieces_[i].dropped) continue;
      ids.push_back(i);
      boxes.push_back(box(pieces_[i].raw.curve, 1e-9));
    }
    const ChainTree tree(std::move(boxes));
    tree.pairs([&](std::size_t a, std::size_t b) { cross_pair(ids[a], ids[b]); });
    std::sort(splits_.begin(), splits_.end(), [](const Split& x, const Split& y) {
      return x.piece != y.piece ? x.piece < y.piece : x.at != y.at ? x.at < y.at : x.node < y.node;
    });
  }

  void cross_pair(std::size_t i, std::size_t j) {
    const Piece &p = pieces_[i], &q = pieces_[j];
    const Curve &a = p.raw.curve, &b = q.raw.curve;
    const bool onward = p.raw.linked && p.next == j, back = q.raw.linked && q.next == i;
    if ((onward || back) && !(onward && back) && a.is_line() && b.is_line()) return;
    const Meetings m = meetings(a, b);
    for (int k = 0; k < m.count; ++k) {
      const Meeting& x = m.list[static_cast<std::size_t>(k)];
      // The shared end of linked pieces is no crossing.
      if (onward && a.length - x.on_first < kSameNodeMm && x.on_second < kSameNodeMm) continue;
      if (back && x.on_first < kSameNodeMm && b.length - x.on_second < kSameNodeMm) continue;
      const int node = static_cast<int>(nodes_.size());
      nodes_.push_back(x.at);
      splits_.push_back({i, x.on_first, node});
      splits_.push_back({j, x.on_second, node});
    }
  }

  void make_stretches() {
    std::size_t split = 0;
    for (std::size_t l = 0; l < loop_starts_.size(); ++l) {
      const std::size_t first = loop_starts_[l],
                        last = l + 1 < loop_starts_.size() ? loop_starts_[l + 1] : pieces_.size();
      const std::size_t stretches_before = stretches_.size();
      Stretch current;
      bool broken = false;  // a split or a loose end has been met
      const auto finish = [&](int node) {
        current.end = node;
        stretches_.push_back(std::move(current));
        current = Stretch{};
        current.start = node;
        broken = true;
      };
      for (std::size_t i = first; i < last; ++i) {
        const Piece& p = pieces_[i];
        if (p.dropped) continue;
        if (!p.linked_back && i > first) current.start = -1;
        double from = 0;
        for (; split < splits_.size() && splits_[split].piece == i; ++split) {
          const double at = splits_[split].at;
          if (at > from) current.parts.push_back({i, from, at});
          from = at;
          finish(cluster_[static_cast<std::size_t>(splits_[split].node)]);
        }
        if (p.raw.curve.length > from) current.parts.push_back({i, from, p.raw.curve.length});
        if (!p.raw.linked) finish(-1);
      }
      close_ring(stretches_before, std::move(current), broken);
    }
  }

  // The last stretch of a loop runs on into the first one where the loop's ends are linked.
  void close_ring(std::size_t first, Stretch last, bool broken) {
    if (!broken) {
      last.ring = true;
      if (!last.parts.empty()) stretches_.push_back(std::move(last));
      return;
    }
    if (last.parts.empty() && last.start < 0) return;  // the loop ends loose
    Stretch& head = stretches_[first];
    last.parts.insert(last.parts.end(), head.parts.begin(), head.parts.end());
    last.end = head.end;
    head = std::move(last);
  }

  // Which stretches belong to the result. False if the probes of one disagree, or if one that ends in the air belongs
  // to it: then a crossing has been missed.
  bool choose() {
    for (Stretch& s : stretches_) {
      if (s.parts.empty()) continue;
      const bool loose = !s.ring && (s.start < 0 || s.end < 0);
      const double length = s.length();
      if (!s.ring && s.start == s.end && length < 4 * kSameNodeMm) continue;  // a speck between crossings that are one
      if (loose && length < kSliverMm) continue;
      const std::size_t longest = longest_part(s);
      s.kept = far_enough(s.parts[longest], length);
      const std::size_t step = std::max<std::size_t>(1, s.parts.size() / kProbes);
      for (std::size_t k = step / 2; k < s.parts.size(); k += step) {
        const Part& part = s.parts[k];
        if (k == longest || !contradicts(part, s.kept)) continue;
        failed_at_ = at_length(pieces_[part.piece].raw.curve, part.from);
        return false;
      }
      if (!s.kept || !loose) continue;
      failed_at_ = at_length(pieces_[s.parts[longest].piece].raw.curve, s.parts[longest].from);
      return false;
    }
    return true;
  }

  // Near a crossing a part may look like the other side of it within rounding; only clear cases speak.
  bool contradicts(const Part& part, bool kept) const {
    const double length = part.to - part.from;
    if (!kept) return length > kSmallestFeatureMm && far_enough(part, length);
    const Vec2 middle = at_length(pieces_[part.piece].raw.curve, (part.from + part.to) / 2);
    return source_.nearest(middle, std::abs(shift_) - kSliverMm).item >= 0;
  }

  static std::size_t longest_part(const Stretch& s) {
    std::size_t longest = 0;
    for (std::size_t k = 1; k < s.parts.size(); ++k)
      if (s.parts[k].to - s.parts[k].from > s.parts[longest].to - s.parts[longest].from) longest = k;
    return longest;
  }

  // Whether the middle of a part, pushed a little away from the source, gets that much farther from it.
  bool far_enough(const Part& part, double stretch_length) const {
    const Curve& c = pieces_[part.piece].raw.curve;
    const double push = std::clamp(0.01 * stretch_length, 10 * kDistanceMm, kSliverMm);
    const double middle = (part.from + part.to) / 2;
    const Vec2 away = std::copysign(1, shift_) * left(tangent_at_length(c, middle));
    const Vec2 on = at_length(c, middle), p = on + push * away;
    if (source_.nearest(on, std::abs(shift_) - kDistanceMm).item >= 0) return false;
    if (source_.nearest(p, std::abs(shift_) + push / 2).item >= 0) return false;
    return std::none_of(kites_.begin(), kites_.end(), [&](const Kite& k) { return inside(k, p); });
  }

  static bool inside(const Kite& k, Vec2 p) {
    const Vec2 corners[] = {k.at, k.from, k.tip, k.to};
    const double sense = cross(k.from - k.at, k.to - k.at) > 0 ? 1 : -1;
    for (int i = 0; i < 4; ++i)
      if (sense * cross(corners[(i + 1) % 4] - corners[i], p - corners[i]) <= 0) return false;
    return true;
  }

  bool balanced() {
    std::vector<int> degree(nodes_.size(), 0);
    starts_.assign(nodes_.size(), {});
    for (std::size_t i = 0; i < stretches_.size(); ++i) {
      const Stretch& s = stretches_[i];
      if (!s.kept || s.ring) continue;
      ++degree[static_cast<std::size_t>(s.start)];
      --degree[static_cast<std::size_t>(s.end)];
      starts_[static_cast<std::size_t>(s.start)].push_back(i);
    }
    for (std::size_t i = 0; i < degree.size(); ++i) {
      if (degree[i] == 0) continue;
      failed_at_ = nodes_[i];
      return false;
    }
    return true;
  }

  Vec2 start_tangent(const Stretch& s) const {
    return tangent_at_length(pieces_[s.parts.front().piece].raw.curve, s.parts.front().from);
  }
  Vec2 end_tangent(const Stretch& s) const {
    return tangent_at_length(pieces_[s.parts.back().piece].raw.curve, s.parts.back().to);
  }

  // The stretch after s, which may be the first one of the loop. Where loops touch in a node, the sharpest turn away
  // from the source keeps them apart.
  std::size_t follow(const Stretch& s, std::size_t first) const {
    const Vec2 in = end_tangent(s);
    double best = -10;
    std::size_t chosen = stretches_.size();
    for (const std::size_t i : starts_[static_cast<std::size_t>(s.end)]) {
      if (stretches_[i].used && i != first) continue;
      const Vec2 out = start_tangent(stretches_[i]);
      const double turn = std::copysign(1, shift_) * std::atan2(cross(in, out), dot(in, out));
      if (turn > best) {
        best = turn;
        chosen = i;
      }
    }
    return chosen;
  }

  std::optional<std::vector<Loop>> join() {
    std::vector<Loop> loops;
    for (std::size_t i = 0; i < stretches_.size(); ++i) {
      if (!stretches_[i].kept || stretches_[i].used) continue;
      Loop loop;
      std::size_t k = i;
      while (true) {
        Stretch& s = stretches_[k];
        s.used = true;
        add_parts(loop, s);
        if (s.ring) break;
        k = follow(s, i);
        if (k == i) break;
        if (k == stretches_.size()) {
          failed_at_ = nodes_[static_cast<std::size_t>(s.end)];
          return std::nullopt;
        }
      }
      if (std::abs(area(loop)) <= kSliverMm * perimeter(loop)) continue;
      loops.push_back(std::move(loop));
    }
    return loops;
  }

  void add_parts(Loop& loop, const Stretch& s) const {
    loop.reserve(loop.size() + s.parts.size());
    for (const Part& part : s.parts) {
      if (part.to - part.from < 1e-9) continue;
      const RawPiece& raw = pieces_[part.piece].raw;
      const Curve& c = raw.curve;
      const double share = (part.to - part.from) / c.length;
      const double bulge = c.is_line() || share == 1 ? c.bulge : std::tan(share * std::atan(c.bulge));
      loop.push_back({part.from == 0 ? c.a : at_length(c, part.from), bulge, raw.side});
    }
  }

  const Source& source_;
  double shift_;
  std::vector<Kite> kites_;
  std::vector<Piece> pieces_;
  std::vector<std::size_t> loop_starts_;
  std::vector<Vec2> nodes_;
  std::vector<int> cluster_;  // of each node: the first of the nodes that lie together
  std::vector<Split> splits_;
  std::vector<Stretch> stretches_;
  std::vector<std::vector<std::size_t>> starts_;
  Vec2 failed_at_;
};

// Outer loops with the holes that lie in them; nothing if a hole lies nowhere.
std::optional<std::vector<Outline>> nested(std::vector<Loop> loops, const std::vector<std::string>& sides) {
  std::vector<Outline> out;
  std::vector<double> areas;
  for (Loop& loop : loops) {
    const double a = area(loop);
    if (a <= 0) continue;
    out.push_back({std::move(loop), {}, sides});
    areas.push_back(a);
    loop.clear();
  }
  for (Loop& loop : loops) {
    if (loop.empty()) continue;
    const Vec2 p = segment(loop, 0).point(0.5);
    std::size_t home = out.size();
    for (std::size_t i = 0; i < out.size(); ++i)
      if ((home == out.size() || areas[i] < areas[home]) && winding(out[i].outer, p) != 0) home = i;
    if (home == out.size()) return std::nullopt;
    out[home].holes.push_back(std::move(loop));
  }
  return out;
}

}  // namespace

Result<std::vector<Outline>> offset(const Outline& outline, double distance_mm, Join join) {
  if (distance_mm == 0) return std::vector<Outline>{outline};
  const Source source = Source::of(outline);
  Vec2 place = outline.outer.empty() ? Vec2{} : outline.outer[0].at;
  for (const double nudge : kNudgesMm) {
    Trim trim(source, -(distance_mm + nudge), join);
    auto loops = trim.loops();
    if (!loops) {
      place = trim.failed_at();
      continue;
    }
    if (auto result = nested(std::move(*loops), outline.sides)) return *std::move(result);
  }
  return Finding{Severity::error, "offset.failed", "",
                 "no consistent parallel curve at " + mm_text(distance_mm) + " was found near " + place_text(place),
                 "check the outline there for crossings, or change the distance slightly"};
}

}  // namespace kerfkiln::plane
