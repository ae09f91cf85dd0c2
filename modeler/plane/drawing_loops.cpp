// From loose lines and arcs to closed loops.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <tuple>

#include "modeler/base/tolerance.hpp"
#include "modeler/plane/drawing_pieces.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

constexpr std::size_t kNamed = 6;
constexpr std::size_t kLookedAt = 64;  // neighbours of one point; more of them are one heap anyway

// Points in square cells, for neighbours nearer than a cell's side.
class PointGrid {
 public:
  PointGrid(std::vector<Vec2> points, double cell_mm) : points_(std::move(points)), cell_(cell_mm) {
    for (std::size_t i = 0; i < points_.size(); ++i)
      entries_.push_back({key(points_[i].x), key(points_[i].y), static_cast<int>(i)});
    std::sort(entries_.begin(), entries_.end());
  }
  // visit(j, distance) for points nearer than the cell's side, each at most kLookedAt to a cell.
  template <class F>
  void near(std::size_t i, F visit) const {
    const Vec2 p = points_[i];
    for (std::int64_t cx = key(p.x) - 1; cx <= key(p.x) + 1; ++cx)
      for (std::int64_t cy = key(p.y) - 1; cy <= key(p.y) + 1; ++cy) {
        auto it = std::lower_bound(entries_.begin(), entries_.end(), std::tuple(cx, cy, -1));
        for (std::size_t k = 0; k < kLookedAt && it != entries_.end(); ++k, ++it) {
          if (std::get<0>(*it) != cx || std::get<1>(*it) != cy) break;
          const int j = std::get<2>(*it);
          const double d = norm(points_[static_cast<std::size_t>(j)] - p);
          if (static_cast<std::size_t>(j) != i && d <= cell_) visit(j, d);
        }
      }
  }

 private:
  std::int64_t key(double x) const { return static_cast<std::int64_t>(std::floor(x / cell_)); }
  std::vector<Vec2> points_;
  double cell_;
  std::vector<std::tuple<std::int64_t, std::int64_t, int>> entries_;
};

class Joiner {
 public:
  Joiner(const std::vector<Piece>& pieces, const DrawingFrame& frame, double gap_mm, Findings& findings)
      : pieces_(pieces),
        frame_(frame),
        gap_(gap_mm),
        findings_(findings),
        root_(2 * pieces.size()),
        dropped_(pieces.size(), false) {
    std::iota(root_.begin(), root_.end(), 0);
    for (const Piece& p : pieces) at_.insert(at_.end(), {p.segment.a, p.segment.b});
  }

  std::vector<TracedLoop> run() {
    join_ends();
    drop_tiny();
    drop_duplicates();
    count_ends();
    report_branches();
    close_gaps();
    report_open();
    return walk();
  }

 private:
  static std::size_t index(int i) { return static_cast<std::size_t>(i); }
  int find(int i) {
    while (root_[index(i)] != i) i = root_[index(i)] = root_[index(root_[index(i)])];
    return i;
  }
  void unite(int i, int j) {
    const int a = find(i), b = find(j);
    root_[index(std::max(a, b))] = std::min(a, b);
  }
  int node(std::size_t piece, bool end) { return find(static_cast<int>(2 * piece + (end ? 1 : 0))); }

  void add(Severity severity, const char* code, std::string message, std::string remedy) {
    findings_.push_back({severity, code, "", std::move(message), std::move(remedy)});
  }

  void join_ends() {
    const PointGrid grid(at_, kDrawingSameMm);
    for (std::size_t i = 0; i < at_.size(); ++i) grid.near(i, [&](int j, double) { unite(static_cast<int>(i), j); });
  }

  void drop_tiny() {
    std::size_t count = 0;
    Vec2 first;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Segment& s = pieces_[i].segment;
      const bool tiny = s.length() < kSmallestFeatureMm || node(i, false) == node(i, true);
      if (!tiny) continue;
      dropped_[i] = true;
      unite(static_cast<int>(2 * i), static_cast<int>(2 * i + 1));
      // What a fit leaves between its arcs is nobody's fault.
      if (!pieces_[i].source.fitted && count++ == 0) first = s.a;
    }
    if (count > 0)
      add(Severity::note, "drawing.tiny",
          std::to_string(count) + (count == 1 ? " line or arc" : " lines and arcs") + " shorter than " +
              mm_text(kSmallestFeatureMm) + " left out, the first at " + frame_.place(first) + " in the drawing",
          "nothing to do unless a detail is missing");
  }

  void drop_duplicates() {
    struct Key {
      int low, high;
      Vec2 middle;
      std::size_t piece;
    };
    std::vector<Key> keys;
    for (std::size_t i = 0; i < pieces_.size(); ++i)
      if (!dropped_[i]) {
        const auto [low, high] = std::minmax({node(i, false), node(i, true)});
        keys.push_back({low, high, pieces_[i].segment.point(0.5), i});
      }
    std::sort(keys.begin(), keys.end(), [](const Key& a, const Key& b) {
      return std::tie(a.low, a.high, a.middle.x, a.middle.y, a.piece) <
             std::tie(b.low, b.high, b.middle.x, b.middle.y, b.piece);
    });
    std::size_t count = 0;
    Vec2 first;
    for (std::size_t k = 0, kept = 0; k < keys.size(); ++k) {
      const bool same = k > 0 && keys[k].low == keys[kept].low && keys[k].high == keys[kept].high &&
                        norm(keys[k].middle - keys[kept].middle) <= 2 * kDrawingSameMm;
      if (!same) {
        kept = k;
        continue;
      }
      dropped_[keys[k].piece] = true;
      if (count++ == 0) first = pieces_[keys[k].piece].segment.a;
    }
    if (count > 0)
      add(Severity::note, "drawing.duplicate",
          std::to_string(count) + (count == 1 ? " line or arc is" : " lines and arcs are") +
              " drawn twice and counted once, the first from " + frame_.place(first) + " in the drawing",
          "nothing to do; the drawing could be cleaned");
  }

  void count_ends() {
    ends_.assign(at_.size(), {});
    for (std::size_t i = 0; i < pieces_.size(); ++i)
      if (!dropped_[i])
        for (const bool end : {false, true})
          ends_[index(node(i, end))].push_back(static_cast<int>(2 * i + (end ? 1 : 0)));
  }

  void report_branches() {
    std::size_t count = 0;
    for (std::size_t i = 0; i < ends_.size(); ++i) {
      if (ends_[i].size() <= 2) continue;
      if (++count <= kNamed)
        add(Severity::error, "drawing.branch",
            std::to_string(ends_[i].size()) + " lines meet at " + frame_.place(at_[i]) +
                " in the drawing; an outline has 2",
            "keep the outline alone on its layer, without centre or construction lines");
    }
    if (count > kNamed)
      add(Severity::error, "drawing.branch",
          std::to_string(count - kNamed) + " further points where more than 2 lines meet",
          "keep the outline alone on its layer");
  }

  std::vector<int> open_nodes() const {
    std::vector<int> open;
    for (std::size_t i = 0; i < ends_.size(); ++i)
      if (ends_[i].size() == 1) open.push_back(static_cast<int>(i));
    return open;
  }

  // Nearest pairs first, each end once.
  void close_gaps() {
    const std::vector<int> open = open_nodes();
    if (open.empty() || gap_ <= 0) return;
    std::vector<Vec2> points;
    for (const int i : open) points.push_back(at_[index(i)]);
    const PointGrid grid(points, gap_);
    std::vector<std::tuple<double, int, int>> pairs;
    for (std::size_t i = 0; i < open.size(); ++i)
      grid.near(i, [&](int j, double d) {
        const int a = ends_[index(open[i])][0], b = ends_[index(open[index(j)])][0];
        if (static_cast<int>(i) < j && a / 2 != b / 2) pairs.push_back({d, open[i], open[index(j)]});
      });
    std::sort(pairs.begin(), pairs.end());
    std::size_t count = 0;
    double widest = 0;
    Vec2 where;
    for (const auto& [d, i, j] : pairs) {
      if (ends_[index(i)].size() != 1 || ends_[index(j)].size() != 1) continue;
      const Vec2 middle = 0.5 * (at_[index(i)] + at_[index(j)]);
      ends_[index(std::min(i, j))].push_back(ends_[index(std::max(i, j))][0]);
      ends_[index(std::max(i, j))].clear();
      unite(i, j);
      at_[index(std::min(i, j))] = middle;
      ++count;
      if (d >= widest) widest = d, where = middle;
    }
    if (count > 0)
      add(Severity::warning, "drawing.gap",
          std::to_string(count) + (count == 1 ? " gap" : " gaps") + " closed, the widest " + mm_text(widest) + " at " +
              frame_.place(where) + " in the drawing; up to " + mm_text(gap_) + " is closed",
          "look at that place on the plan; set \"gap\" smaller to be stricter");
  }

  void report_open() {
    const std::vector<int> open = open_nodes();
    for (std::size_t k = 0; k < std::min(open.size(), kNamed); ++k) {
      const Vec2 p = at_[index(open[k])];
      double best = -1;
      Vec2 other;
      for (std::size_t j = 0; j < open.size(); ++j)
        if (const double d = norm(at_[index(open[j])] - p); j != k && (best < 0 || d < best))
          best = d, other = at_[index(open[j])];
      std::string message = "the outline is open at " + frame_.place(p) + " in the drawing";
      if (best >= 0) message += "; the nearest other end lies " + mm_text(best) + " away at " + frame_.place(other);
      add(Severity::error, "drawing.open", std::move(message),
          "join the ends in the drawing, or allow a wider \"gap\" (now " + mm_text(gap_) + ", at most 5 mm)");
    }
    if (open.size() > kNamed)
      add(Severity::error, "drawing.open", std::to_string(open.size() - kNamed) + " further open ends",
          "join the ends in the drawing");
  }

  std::vector<TracedLoop> walk() {
    std::vector<TracedLoop> loops;
    std::vector<bool> done = dropped_;
    for (std::size_t start = 0; start < pieces_.size(); ++start) {
      if (done[start]) continue;
      TracedLoop traced;
      std::size_t piece = start;
      bool backwards = false;
      while (!done[piece]) {
        done[piece] = true;
        const Piece& p = pieces_[piece];
        traced.loop.push_back({at_[index(node(piece, backwards))], backwards ? -p.segment.bulge : p.segment.bulge, 0});
        traced.sources.push_back(p.source);
        const std::vector<int>& here = ends_[index(node(piece, !backwards))];
        if (here.size() != 2) break;
        const int mine = static_cast<int>(2 * piece + (backwards ? 0 : 1));
        const int next = here[0] == mine ? here[1] : here[0];
        piece = index(next / 2);
        backwards = next % 2 == 1;
      }
      if (piece == start && traced.loop.size() >= 2) loops.push_back(std::move(traced));
    }
    return loops;
  }

  const std::vector<Piece>& pieces_;
  const DrawingFrame& frame_;
  double gap_;
  Findings& findings_;
  std::vector<Vec2> at_;   // of piece i: 2 i its start, 2 i + 1 its end
  std::vector<int> root_;  // joined ends
  std::vector<bool> dropped_;
  std::vector<std::vector<int>> ends_;  // at each root
};

}  // namespace

TracedLoop reversed(const TracedLoop& t) {
  const std::size_t n = t.loop.size();
  TracedLoop back;
  for (std::size_t k = 0; k < n; ++k) {
    // Segment n - 1 - k walked backwards starts at the vertex after it.
    const std::size_t i = n - 1 - k;
    back.loop.push_back({t.loop[(i + 1) % n].at, -t.loop[i].bulge, t.loop[i].side});
    back.sources.push_back(t.sources[i]);
  }
  return back;
}

std::vector<TracedLoop> loops_of(const std::vector<Piece>& pieces, const DrawingFrame& frame, double gap_mm,
                                 Findings& findings) {
  return Joiner(pieces, frame, gap_mm, findings).run();
}

}  // namespace kerfkiln::plane
