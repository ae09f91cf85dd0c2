// The trimmed inside of a squared form: a grid of direction x height whose cells are cut along the kinks.
//
// Every vertex is a point of the inside. Where the branches at the two ends of a grid edge differ, the kink on that
// edge becomes a vertex (or the nearby grid vertex moves onto it), and cells are split from kink to kink.
#include <algorithm>
#include <array>
#include <numbers>
#include <optional>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/sheet_lines.hpp"
#include "modeler/urn/sheet_refine.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kTouchingMm = 1e-4;  // points nearer than this are one
constexpr double kSnap = 0.12;        // of an edge: kinks nearer to a vertex than this take the vertex

// A vertex in the plane of turn and height.
struct Node {
  double turn = 0, z = 0;
  InnerPoint inner;
  bool kink = false;
  std::uint32_t id = 0;
};

class Sheet {
 public:
  // Everything but the points of `q` is in the solver's lengths.
  Sheet(const Wall& wall, double deviation, Sector& q, ChartMesh& out, SheetRange range)
      : solver_(*wall.solver()),
        unit_(wall.solver_unit()),
        deviation_(deviation),
        q_(q),
        out_(out),
        range_(std::move(range)) {}

  // A cell so crooked that no triangles fit into it the right way round: the lines are too far apart.
  bool folded() const { return folded_; }

  // Fills the grid over the turns of all sheets, which share their columns.
  void fill(const std::vector<double>& turns) {
    turns_ = turns;
    fill_nodes();
    find_kinks();
  }
  // Rows; and stations a radian that the columns need, at evenly spread turns.
  void choose_lines() { lines_ = sheet_lines(solver_, deviation_, range_); }
  const std::vector<double>& by_turn() const { return lines_.by_turn; }

  // At a level ceiling or floor the inside jumps in some directions and not in others: the two rings get their vertices
  // in the same directions, so that they coincide where the inside does not jump.
  static void agree(Sheet& below, Sheet& above) {
    const std::size_t top = below.rows() - 1;
    for (std::size_t i = 0; i < above.columns(); ++i) {
      Node &a = below.at(i, top), &b = above.at(i, 0);
      if (a.turn != b.turn && a.kink != b.kink) (a.kink ? above : below).move(a.kink ? b : a, (a.kink ? a : b).turn);
      std::optional<Node>&e = below.along(i, top), &f = above.along(i, 0);
      if (e.has_value() == f.has_value()) continue;
      Sheet& other = e ? above : below;
      Node n = e ? other.at(i, 0) : other.at(i, top);
      n.kink = false;
      other.move(n, (e ? e : f)->turn);
      (e ? f : e) = n;
    }
    if (!above.q_.half) return;
    const std::size_t last = above.columns() - 1;
    below.at(last, top) = below.half_turned(below.at(0, top));
    above.at(last, 0) = above.half_turned(above.at(0, 0));
  }

  // `below`: the sheet whose upper ring lies in the level plane that this one's lower ring lies in, and its ring.
  InnerSheet build(Sheet* below, double bottom, double top) {
    const std::size_t last = columns() - 1;
    const auto put = [&](Node& n, const Node* under) {
      n.id = under && norm(place_of(n) - below->place_of(*under)) < touching() ? under->id : add(n);
    };
    const std::size_t under = below ? below->rows() - 1 : 0;
    for (std::size_t j = 0; j < rows(); ++j)
      for (std::size_t i = 0; i < columns(); ++i) {
        Node& n = at(i, j);
        put(n, below && j == 0 ? &below->at(i, under) : nullptr);
        if (along(i, j))
          put(*along(i, j), below && j == 0 && below->along(i, under) ? &*below->along(i, under) : nullptr);
        if (up(i, j)) put(*up(i, j), nullptr);
      }
    for (std::size_t j = 0; q_.half && j < rows(); ++j) {
      sew(at(0, j), at(last, j));
      if (up(0, j)) sew(*up(0, j), *up(last, j));
    }
    for (std::size_t j = 0; j + 1 < rows(); ++j)
      for (std::size_t i = 0; i + 1 < columns(); ++i) cell(i, j);
    const InnerSheet rings{row_ids(rows() - 1), row_ids(0)};
    // Rings that stand a nudge off a ceiling go onto it.
    for (std::uint32_t id : rings.floor) q_.points[id].z = bottom;
    for (std::uint32_t id : rings.lip) q_.points[id].z = top;
    return rings;
  }

 private:
  Vec2 direction(const Node& n) const { return solver_.direction(n.turn, n.z); }
  Vec3 place_of(const Node& n) const {
    const Vec2 u = direction(n);
    return {n.inner.reach * u.x, n.inner.reach * u.y, n.z};
  }
  std::uint32_t add(const Node& n) {
    out_.chart.push_back({n.turn, n.z, n.inner, n.kink});
    return q_.add(unit_ * place_of(n));
  }
  double touching() const { return kTouchingMm / unit_; }
  std::size_t columns() const { return turns_.size(); }
  std::size_t rows() const { return lines_.heights.size(); }
  Node& at(std::size_t i, std::size_t j) { return nodes_[j * columns() + i]; }
  std::optional<Node>& along(std::size_t i, std::size_t j) { return along_[j * columns() + i]; }  // to i + 1
  std::optional<Node>& up(std::size_t i, std::size_t j) { return up_[j * columns() + i]; }        // to j + 1

  // The same place of the inside in another direction.
  void move(Node& n, double turn) {
    n.turn = turn;
    n.inner = solver_.solve(direction(n), n.z);
  }

  // The end of half a form is the half turn of its beginning, to the bit.
  void sew(const Node& first, const Node& last) {
    const Vec3 p = q_.points[first.id];
    q_.points[last.id] = {-p.x, -p.y, p.z};
    q_.seam(first.id, last.id);
  }
  Node half_turned(Node n) const {
    n.turn = solver_.sector();
    const int round = solver_.form().pieces();
    n.inner.piece = (n.inner.piece + round / 2) % round;
    n.inner.normal = {-n.inner.normal.x, -n.inner.normal.y, n.inner.normal.z};
    return n;
  }

  void fill_nodes() {
    nodes_.resize(columns() * rows());
    along_.resize(nodes_.size());
    up_.resize(nodes_.size());
    for (std::size_t j = 0; j < rows(); ++j)
      for (std::size_t i = 0; i < columns(); ++i) {
        Node& n = at(i, j);
        n.turn = turns_[i], n.z = lines_.heights[j];
        if (q_.half && i + 1 == columns())
          n = half_turned(at(0, j));
        else
          n.inner = solver_.solve(direction(n), n.z);
      }
  }

  std::optional<Node> kink_between(const Node& a, const Node& b) const {
    const auto k = solver_.kink({a.turn, a.z, a.inner}, {b.turn, b.z, b.inner}, 0.15 * deviation_);
    if (!k) return std::nullopt;
    Node n;
    n.turn = a.turn + k->fraction * (b.turn - a.turn);
    n.z = a.z + k->fraction * (b.z - a.z);
    n.inner = solver_.solve(direction(n), n.z);
    n.kink = true;
    return n;
  }

  static double fraction(const Node& a, const Node& b, const Node& k) {
    return std::abs(b.z - a.z) > 0 ? (k.z - a.z) / (b.z - a.z) : (k.turn - a.turn) / (b.turn - a.turn);
  }

  // Vertices near a kink move onto it along the grid line, those of the rim along the rim only; corners stay.
  bool may_move(std::size_t i, std::size_t j, bool upwards) const {
    const bool side = i == 0 || i + 1 == columns(), end = j == 0 || j + 1 == rows();
    return upwards ? !end : !side;
  }

  void find_kinks() {
    for (std::size_t j = 0; j < rows(); ++j)
      for (std::size_t i = 0; i < columns(); ++i) {
        if (i + 1 < columns()) along(i, j) = kink_between(at(i, j), at(i + 1, j));
        if (j + 1 >= rows()) continue;
        if (!q_.half || i + 1 < columns())
          up(i, j) = kink_between(at(i, j), at(i, j + 1));
        else if (up(0, j))
          up(i, j) = half_turned(*up(0, j));
      }
    const std::vector<Node> original = nodes_;
    const auto old = [&](std::size_t i, std::size_t j) -> const Node& { return original[j * columns() + i]; };
    const auto snap = [&](std::optional<Node>& e, std::size_t i0, std::size_t j0, std::size_t i1, std::size_t j1) {
      if (!e) return;
      const double f = fraction(old(i0, j0), old(i1, j1), *e);
      const bool first = f<kSnap, last = f> 1 - kSnap;
      if (!first && !last) return;
      const std::size_t i = first ? i0 : i1, j = first ? j0 : j1;
      Node& n = at(i, j);
      if (n.kink) {
        e.reset();
        return;
      }
      if (!may_move(i, j, i0 == i1)) {
        if (norm(place_of(n) - place_of(*e)) > touching()) return;
        n.kink = true;
        e.reset();
        return;
      }
      n = *e;
      e.reset();
    };
    for (std::size_t j = 0; j < rows(); ++j)
      for (std::size_t i = 0; i < columns(); ++i) {
        if (i + 1 < columns()) snap(along(i, j), i, j, i + 1, j);
        if (j + 1 < rows()) snap(up(i, j), i, j, i, j + 1);
      }
    // Both sides of a seam snap alike: whatever happened at the beginning happens at the end.
    for (std::size_t j = 0; q_.half && j < rows(); ++j) {
      at(columns() - 1, j) = half_turned(at(0, j));
      if (up(0, j))
        up(columns() - 1, j) = half_turned(*up(0, j));
      else
        up(columns() - 1, j).reset();
    }
  }

  std::vector<std::uint32_t> row_ids(std::size_t j) {
    std::vector<std::uint32_t> ids;
    for (std::size_t i = 0; i < columns(); ++i) {
      ids.push_back(at(i, j).id);
      if (along(i, j)) ids.push_back(along(i, j)->id);
    }
    return ids;
  }

  using Polygon = std::vector<const Node*>;

  // Area in the (turn, z) plane in units of the cell.
  static double area(const Node& a, const Node& b, const Node& c) {
    return 0.5 * ((b.turn - a.turn) * (c.z - a.z) - (c.turn - a.turn) * (b.z - a.z));
  }

  // The inside is seen from the axis: turning counter-clockwise and up is inward out, so faces are turned about.
  // One that looks away from the axis has turned over: the inside is star-shaped.
  void triangle(const Node& a, const Node& b, const Node& c) {
    if (a.id == b.id || b.id == c.id || c.id == a.id) return;
    out_.triangles.push_back({a.id, c.id, b.id});
    const Vec3 p = q_.points[a.id], q = q_.points[b.id], r = q_.points[c.id];
    const Vec3 n = cross(q - p, r - p), middle = p + q + r;
    if (n.x * middle.x + n.y * middle.y < 0) folded_ = true;
  }

  // From the vertex whose fan has the fattest thinnest triangle.
  void fan(const Polygon& p) {
    if (p.size() < 3) return;
    std::size_t best = 0;
    double most = -INFINITY;
    for (std::size_t k = 0; k < p.size(); ++k) {
      double least = INFINITY;
      for (std::size_t i = 1; i + 1 < p.size(); ++i)
        least = std::min(least, area(*p[k], *p[(k + i) % p.size()], *p[(k + i + 1) % p.size()]));
      if (least > most) most = least, best = k;
    }
    if (!(most > 0) && p.size() > 3) {
      star(p);
      return;
    }
    if (!(most > 0)) folded_ = true;
    for (std::size_t i = 1; i + 1 < p.size(); ++i)
      triangle(*p[best], *p[(best + i) % p.size()], *p[(best + i + 1) % p.size()]);
  }

  // Where kinks meet: a middle that sees every side, the best of a few.
  void star(const Polygon& p) {
    Node centre;
    const double share = 1 / static_cast<double>(p.size());
    for (const Node* n : p) centre.turn += share * n->turn, centre.z += share * n->z;
    Node middle = centre;
    double most = -INFINITY;
    const auto attempt = [&](const Node& m) {
      double least = INFINITY;
      for (std::size_t i = 0; i < p.size(); ++i) least = std::min(least, area(m, *p[i], *p[(i + 1) % p.size()]));
      if (least > most) most = least, middle = m;
    };
    attempt(centre);
    for (const Node* n : p)
      for (double f : {0.25, 0.5, 0.75}) {
        Node m;
        m.turn = centre.turn + f * (n->turn - centre.turn);
        m.z = centre.z + f * (n->z - centre.z);
        attempt(m);
      }
    if (!(most > 0)) folded_ = true;
    middle.inner = solver_.solve(direction(middle), middle.z);
    middle.id = add(middle);
    for (std::size_t i = 0; i < p.size(); ++i) triangle(middle, *p[i], *p[(i + 1) % p.size()]);
  }

  void cell(std::size_t i, std::size_t j) {
    Polygon p;
    const auto put = [&](const Node& n) { p.push_back(&n); };
    const auto edge = [&](const std::optional<Node>& e) {
      if (e) put(*e);
    };
    put(at(i, j)), edge(along(i, j));
    put(at(i + 1, j)), edge(up(i + 1, j));
    put(at(i + 1, j + 1)), edge(along(i, j + 1));
    put(at(i, j + 1)), edge(up(i, j));
    std::vector<std::size_t> kinks;
    for (std::size_t k = 0; k < p.size(); ++k)
      if (p[k]->kink) kinks.push_back(k);
    // The kink runs along the chord that stays nearest to the inside; where none does, kinks meet in the cell.
    double least = kinks.size() == 2 ? INFINITY : deviation_;
    std::size_t a = 0, b = 0;
    for (std::size_t m = 0; m < kinks.size(); ++m)
      for (std::size_t n = m + 1; n < kinks.size(); ++n) {
        if (!splits(p, kinks[m], kinks[n])) continue;
        const double off = kinks.size() == 2 ? 0 : chord_error(*p[kinks[m]], *p[kinks[n]]);
        if (off < least) least = off, a = kinks[m], b = kinks[n];
      }
    if (b > 0) {
      Polygon one(p.begin() + static_cast<std::ptrdiff_t>(a), p.begin() + static_cast<std::ptrdiff_t>(b) + 1);
      Polygon two(p.begin() + static_cast<std::ptrdiff_t>(b), p.end());
      two.insert(two.end(), p.begin(), p.begin() + static_cast<std::ptrdiff_t>(a) + 1);
      fan(one);
      fan(two);
    } else if (kinks.size() > 2) {
      star(p);
    } else {
      fan(p);
    }
  }

  // Both parts must have a body: a chord along a side of the cell has none.
  static bool splits(const Polygon& p, std::size_t a, std::size_t b) {
    if (b - a < 2 || b - a + 2 > p.size()) return false;
    double whole = 0, one = 0;
    for (std::size_t k = 1; k + 1 < p.size(); ++k) whole += area(*p[0], *p[k], *p[k + 1]);
    for (std::size_t k = a + 1; k < b; ++k) one += area(*p[a], *p[k], *p[k + 1]);
    return one > 1e-3 * whole && whole - one > 1e-3 * whole;
  }

  double chord_error(const Node& a, const Node& b) const {
    const Vec3 middle = 0.5 * (place_of(a) + place_of(b));
    const Vec2 level{middle.x, middle.y};
    return std::abs(norm(level) - solver_.solve(unit(level), middle.z).reach);
  }

  const InnerSolver& solver_;
  double unit_, deviation_;
  Sector& q_;
  ChartMesh& out_;
  SheetRange range_;
  SheetLines lines_;
  bool folded_ = false;
  std::vector<double> turns_;
  std::vector<Node> nodes_;
  std::vector<std::optional<Node>> along_, up_;
};

}  // namespace

std::vector<InnerSheet> add_trimmed_inside(const Wall& wall, double deviation_mm, Sector& q) {
  const InnerSolver& solver = *wall.solver();
  double deviation = deviation_mm / wall.solver_unit();
  // Where the sheets begin and end, mm, and what lies between.
  struct Part {
    double bottom = 0, top = 0;  // mm
    SheetRange range;
  };
  std::vector<Part> parts(1);
  parts.back().bottom = wall.floor();
  parts.back().range.stops = {solver.floor()};
  bool level = false;
  for (const LevelBreak& b : solver.level_breaks()) {
    parts.back().range.stops.push_back(b.jump ? b.z - solver.nudge() : b.z);
    parts.back().range.eased.push_back(true);
    level = true;
    if (!b.jump) continue;
    parts.back().top = wall.solver_unit() * b.z;
    parts.push_back({parts.back().top, 0, {{b.z + solver.nudge()}, {}}});
  }
  parts.back().top = wall.lip();
  parts.back().range.stops.push_back(solver.form().high());
  parts.back().range.eased.push_back(level);

  constexpr int kTries = 4;
  const std::size_t points = q.points.size(), seams = q.seams.size();
  for (int i = 1;; ++i, deviation *= 0.5) {
    ChartMesh mesh;
    mesh.first = static_cast<std::uint32_t>(points);
    std::vector<Sheet> sheets;
    std::vector<double> by_turn;
    for (const Part& p : parts) {
      sheets.emplace_back(wall, deviation, q, mesh, p.range);
      sheets.back().choose_lines();
      const std::vector<double>& own = sheets.back().by_turn();
      by_turn.resize(own.size(), 0.0);
      for (std::size_t k = 0; k < own.size(); ++k) by_turn[k] = std::max(by_turn[k], own[k]);
    }
    const std::vector<double> turns = spread_lines(by_turn, 0, solver.sector());
    for (Sheet& s : sheets) s.fill(turns);
    for (std::size_t k = 1; k < sheets.size(); ++k) Sheet::agree(sheets[k - 1], sheets[k]);
    std::vector<InnerSheet> rings;
    bool folded = false;
    for (std::size_t k = 0; k < sheets.size(); ++k) {
      rings.push_back(sheets[k].build(k > 0 ? &sheets[k - 1] : nullptr, parts[k].bottom, parts[k].top));
      folded = folded || sheets[k].folded();
    }
    if (!folded || i == kTries) {
      refine_sheets(solver, wall.solver_unit(), deviation_mm / wall.solver_unit(), mesh, q, rings);
      for (const auto& [a, b, c] : mesh.triangles) q.face(a, b, c);
      return rings;
    }
    q.points.resize(points);
    q.seams.resize(seams);
  }
}

}  // namespace kerfkiln::urn
