#include "modeler/cushion/membrane.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <mutex>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "modeler/cushion/plan_cells.hpp"
#include "modeler/numeric/skyline.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kCells = 14;  // across the mean width: within 2e-4 of the height where corners are rounded or convex
constexpr double kMostCells = 4096;  // of the box: long thin outlines are resolved as well as that allows
constexpr double kHold = 40;         // Nitsche's factor for cubics
constexpr double kGhost = 1e-4;      // of the penalty on jumps of third derivatives
constexpr int kNodes = 5;            // products of slopes have degree 6 in either direction

using Local = std::array<double, 16>;

// One dimension of a cell, or of a part of it, in its own measure: integrals of the splines, of their products and of
// those of their derivatives.
struct Line {
  double mass[4][4] = {}, stiff[4][4] = {}, mean[4] = {};
  Line(double from, double to) {
    const FewNodes& g = few_nodes(kNodes);
    for (std::size_t k = 0; k < g.node.size(); ++k) {
      const SplineBasis s = spline_basis(from + g.node[k] * (to - from));
      const double weight = g.weight[k] * (to - from);
      for (int a = 0; a < 4; ++a) {
        mean[a] += weight * s.v[a];
        for (int b = 0; b < 4; ++b) {
          mass[a][b] += weight * s.v[a] * s.v[b];
          stiff[a][b] += weight * s.d[a] * s.d[b];
        }
      }
    }
  }
};

class Solver {
 public:
  Solver(const plane::Loop& loop, double cells) {
    const plane::Box box = plane::bounds(loop);
    double length = 0;
    for (std::size_t i = 0; i < loop.size(); ++i) length += plane::segment(loop, i).length();
    const double mean_width = 2 * plane::area(loop) / length;
    cell_ = std::max(mean_width / cells, std::sqrt(box.width() * box.depth() / kMostCells));
    columns_ = std::max(1, static_cast<int>(std::ceil(box.width() / cell_ - 1e-9)));
    rows_ = std::max(1, static_cast<int>(std::ceil(box.depth() / cell_ - 1e-9)));
    const Vec2 middle = 0.5 * (box.low + box.high);
    origin_ = {middle.x - columns_ * cell_ / 2, middle.y - rows_ * cell_ / 2};
    std::vector<double> x, y;
    for (int i = 0; i <= columns_; ++i) x.push_back(origin_.x + i * cell_);
    for (int j = 0; j <= rows_; ++j) y.push_back(origin_.y + j * cell_);
    // The box's own ends, which rounding may have put outside.
    x.front() = std::min(x.front(), box.low.x);
    x.back() = std::max(x.back(), box.high.x);
    y.front() = std::min(y.front(), box.low.y);
    y.back() = std::max(y.back(), box.high.y);
    const plane::Loop loops[] = {loop};
    cells_.emplace(loops, std::move(x), std::move(y));
    number();
  }

  // The coefficients; also the integral of u.
  std::vector<double> solve(double& content) {
    add_whole_cells();
    add_cut_cells();
    add_edges();
    add_ghosts();
    std::vector<std::size_t> first(unknowns_.size());
    for (std::size_t r = 0; r < first.size(); ++r) first[r] = r;
    each_entry([&](std::size_t r, std::size_t c, double) { first[r] = std::min(first[r], c); });
    Skyline a(first);
    each_entry([&](std::size_t r, std::size_t c, double v) { a.at(r, c) += v; });
    std::vector<double> u = load_;
    a.factor();
    a.solve(u);
    content = std::inner_product(u.begin(), u.end(), load_.begin(), 0.0);
    std::vector<double> all(ids_.size(), 0.0);
    for (std::size_t k = 0; k < ids_.size(); ++k)
      if (ids_[k] >= 0) all[k] = u[static_cast<std::size_t>(ids_[k])];
    return all;
  }

  Vec2 origin() const { return origin_; }
  double cell() const { return cell_; }
  int columns() const { return columns_; }
  int rows() const { return rows_; }
  const PlanCells& cells() const { return *cells_; }

 private:
  // Of the lower triangle.
  template <class See>
  void each_entry(const See& see) const {
    const auto ordered = [&](std::size_t r, std::size_t c, double v) { see(std::max(r, c), std::min(r, c), v); };
    for (std::size_t r = 0; r < unknowns_.size(); ++r) {
      const auto [i, j] = unknowns_[r];
      for (int dj = 0; dj <= 3; ++dj)
        for (int di = dj == 0 ? 0 : -3; di <= 3; ++di)
          if (const double v = rows_of_[r][slot(di, dj)]; v != 0)
            ordered(r, static_cast<std::size_t>(id(i + di, j + dj)), v);
    }
    for (const Far& e : far_) ordered(static_cast<std::size_t>(e.from), static_cast<std::size_t>(e.to), e.value);
  }

  // The splines that some cell with material needs, line by line of the shorter direction: rows reach back three lines.
  void number() {
    const auto stride = static_cast<std::size_t>(columns_) + 3;
    ids_.assign(stride * (static_cast<std::size_t>(rows_) + 3), -1);
    for (int j = 0; j < rows_; ++j)
      for (int i = 0; i < columns_; ++i)
        if (cells_->state(i, j) != PlanCells::State::outside)
          for (int b = 0; b < 4; ++b)
            for (int a = 0; a < 4; ++a) ids_[place(i + a, j + b)] = 0;
    const bool upright = rows_ < columns_;
    for (int b = 0; b < std::max(columns_, rows_) + 3; ++b)
      for (int a = 0; a < std::min(columns_, rows_) + 3; ++a) {
        const int i = upright ? b : a, j = upright ? a : b;
        if (ids_[place(i, j)] != 0) continue;
        ids_[place(i, j)] = static_cast<int>(unknowns_.size());
        unknowns_.push_back({i, j});
      }
    rows_of_.assign(unknowns_.size(), {});
    load_.assign(unknowns_.size(), 0);
  }
  std::size_t place(int i, int j) const {
    return static_cast<std::size_t>(j) * (static_cast<std::size_t>(columns_) + 3) + static_cast<std::size_t>(i);
  }
  int id(int i, int j) const { return ids_[place(i, j)]; }
  static std::size_t slot(int di, int dj) { return static_cast<std::size_t>(dj * 7 + di + 3); }
  // Entries between spline (i, j) and its neighbours above it, or beside it at its right, and itself.
  void add(int i, int j, int di, int dj, double v) {
    if (dj < 0 || (dj == 0 && di < 0)) return;
    rows_of_[static_cast<std::size_t>(id(i, j))][slot(di, dj)] += v;
  }
  // Of a cell: integrals of its splines, and products of those of row b with those at or above it, d >= b; with the
  // columns a and c of the two, k[b][d][4 a + c].
  struct CellSums {
    double k[4][4][16] = {};
    Local f{};
  };
  void add_local(int i, int j, const CellSums& s) {
    for (int b = 0; b < 4; ++b)
      for (int a = 0; a < 4; ++a) {
        const auto r = static_cast<std::size_t>(id(i + a, j + b));
        load_[r] += s.f[static_cast<std::size_t>(4 * b + a)];
        for (int d = b; d < 4; ++d)
          for (int c = d == b ? a : 0; c < 4; ++c) rows_of_[r][slot(c - a, d - b)] += s.k[b][d][4 * a + c];
      }
  }

  void add_whole_cells() {
    const Line line(0, 1);
    CellSums s;
    for (int b = 0; b < 4; ++b)
      for (int a = 0; a < 4; ++a) {
        s.f[static_cast<std::size_t>(4 * b + a)] = cell_ * cell_ * line.mean[a] * line.mean[b];
        for (int d = b; d < 4; ++d)
          for (int c = 0; c < 4; ++c)
            s.k[b][d][4 * a + c] = line.stiff[a][c] * line.mass[b][d] + line.mass[a][c] * line.stiff[b][d];
      }
    for (int j = 0; j < rows_; ++j)
      for (int i = 0; i < columns_; ++i)
        if (cells_->state(i, j) == PlanCells::State::full) add_local(i, j, s);
  }

  struct Values {
    Local v, x, y;  // splines and their slopes at a place, 1/mm
  };
  Values values(int i, int j, Vec2 p) const {
    const SplineBasis s = spline_basis((p.x - origin_.x) / cell_ - i), t = spline_basis((p.y - origin_.y) / cell_ - j);
    Values r;
    for (std::size_t k = 0; k < 16; ++k) {
      r.v[k] = s.v[k % 4] * t.v[k / 4];
      r.x[k] = s.d[k % 4] * t.v[k / 4] / cell_;
      r.y[k] = s.v[k % 4] * t.d[k / 4] / cell_;
    }
    return r;
  }

  // Nodes come cell by cell in runs: a cell's sums are added when the next one begins.
  struct Pending {
    int i = -1, j = -1;
    CellSums sums;
  };
  void turn_to(Pending& p, int i, int j) {
    if (p.i == i && p.j == j) return;
    if (p.i >= 0) add_local(p.i, p.j, p.sums);
    p = Pending{};
    p.i = i;
    p.j = j;
  }

  // Along an upright line the splines' x is constant: products over y first, for each pair of rows, then once the
  // products over x.
  void add_cut_cells() {
    std::vector<Pending> column(static_cast<std::size_t>(rows_));  // lines visit its cut cells in turn
    cells_->each_cut_line(kNodes, [&](const PlanCells::Upright& l) {
      Pending& now = column[static_cast<std::size_t>(l.j)];
      turn_to(now, l.i, l.j);
      const SplineBasis s = spline_basis((l.x - origin_.x) / cell_ - l.i);
      double mass[16], stiff[16];
      for (std::size_t a = 0; a < 4; ++a)
        for (std::size_t c = 0; c < 4; ++c) {
          mass[4 * a + c] = l.weight * s.v[a] * s.v[c];
          stiff[4 * a + c] = l.weight * s.d[a] * s.d[c];
        }
      const Line line((l.from - origin_.y) / cell_ - l.j, (l.to - origin_.y) / cell_ - l.j);
      for (std::size_t b = 0; b < 4; ++b) {
        for (std::size_t a = 0; a < 4; ++a) now.sums.f[4 * b + a] += l.weight * s.v[a] * line.mean[b] * cell_;
        for (std::size_t d = b; d < 4; ++d) {
          double(&k)[16] = now.sums.k[b][d];
          const double m = line.mass[b][d] / cell_, q = line.stiff[b][d] / cell_;
          for (std::size_t n = 0; n < 16; ++n) k[n] += stiff[n] * m + mass[n] * q;
        }
      }
    });
    for (Pending& p : column) turn_to(p, -1, -1);
  }
  void add_edges() {
    Pending now;
    cells_->each_edge_node(4, [&](const PlanCells::EdgeNode& n) {
      turn_to(now, n.i, n.j);
      const Values s = values(n.i, n.j, n.at);
      Local across;
      for (std::size_t p = 0; p < 16; ++p) across[p] = n.outward.x * s.x[p] + n.outward.y * s.y[p];
      for (std::size_t b = 0; b < 4; ++b)
        for (std::size_t d = b; d < 4; ++d)
          for (std::size_t a = 0; a < 4; ++a)
            for (std::size_t c = 0; c < 4; ++c) {
              const std::size_t p = 4 * b + a, q = 4 * d + c;
              now.sums.k[b][d][4 * a + c] +=
                  n.weight * (kHold / cell_ * s.v[p] * s.v[q] - s.v[p] * across[q] - across[p] * s.v[q]);
            }
    });
    turn_to(now, -1, -1);
  }
  void add_ghosts() {
    constexpr double kJump[5] = {1, -4, 6, -4, 1};
    const Line line(0, 1);
    const auto held = [&](int i, int j, int k, int l) {
      using S = PlanCells::State;
      const S a = cells_->state(i, j), b = cells_->state(k, l);
      return a != S::outside && b != S::outside && (a == S::cut || b == S::cut);
    };
    const auto add_jump = [&](int i, int j, bool in_x, double weight) {
      for (int p = 0; p < 5; ++p)
        for (int q = 0; q < 5; ++q) {
          // Stencils are five long; products reach four places, beyond the three of a cell's splines.
          const double v = weight * kJump[p] * kJump[q];
          if (in_x)
            add_far(i + p, j, q - p, 0, v);
          else
            add_far(i, j + p, 0, q - p, v);
        }
    };
    for (int j = 0; j < rows_; ++j)
      for (int i = 0; i < columns_; ++i)
        for (int k = 0; k < 4; ++k) {
          if (i + 1 < columns_ && held(i, j, i + 1, j)) add_jump(i, j + k, true, kGhost * line.mean[k]);
          if (j + 1 < rows_ && held(i, j, i, j + 1)) add_jump(i + k, j, false, kGhost * line.mean[k]);
        }
  }
  void add_far(int i, int j, int di, int dj, double v) {
    if (std::abs(di) <= 3 && std::abs(dj) <= 3) return add(i, j, di, dj, v);
    if (di == 4 || dj == 4) far_.push_back({id(i, j), id(i + di, j + dj), v});
  }

  struct Far {
    int from, to;
    double value;
  };
  Vec2 origin_;
  double cell_ = 1;
  int columns_ = 0, rows_ = 0;
  std::optional<PlanCells> cells_;
  std::vector<int> ids_;
  std::vector<std::pair<int, int>> unknowns_;
  std::vector<std::array<double, 28>> rows_of_;
  std::vector<Far> far_;  // entries four places apart
  std::vector<double> load_;
};

// The highest place: the best node of the grid, then Newton's steps.
Vec2 highest(const SplineGrid& grid, const PlanCells& cells) {
  Vec2 best;
  double high = -INFINITY;
  for (int j = 0; j < grid.rows(); ++j)
    for (int i = 0; i < grid.columns(); ++i) {
      if (cells.state(i, j) == PlanCells::State::outside) continue;
      const Vec2 p = grid.origin() + grid.cell() * Vec2{i + 0.5, j + 0.5};
      if (const double v = grid.value(p); v > high) high = v, best = p;
    }
  for (int k = 0; k < 12; ++k) {
    const SplineGrid::At a = grid.at(best);
    const double det = a.xx * a.yy - a.xy * a.xy;
    if (!(det > 0)) break;
    const Vec2 q =
        best + Vec2{(a.xy * a.slope.y - a.yy * a.slope.x) / det, (a.xy * a.slope.x - a.xx * a.slope.y) / det};
    if (!(grid.value(q) > a.value)) break;
    best = q;
  }
  return best;
}

bool same(const plane::Loop& a, const plane::Loop& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const plane::Vertex& x, const plane::Vertex& y) { return x.at == y.at && x.bulge == y.bulge; });
}

// The last few outlines: a design under edit asks again for one that has not changed.
class Recent {
 public:
  std::shared_ptr<const Membrane> find(const plane::Loop& loop, double cells) {
    const std::lock_guard lock(mutex_);
    for (std::size_t i = 0; i < kept_.size(); ++i)
      if (kept_[i].cells == cells && same(kept_[i].loop, loop)) {
        std::rotate(kept_.begin() + static_cast<std::ptrdiff_t>(i), kept_.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                    kept_.end());
        return kept_.back().membrane;
      }
    return nullptr;
  }
  void keep(const plane::Loop& loop, double cells, std::shared_ptr<const Membrane> membrane) {
    const std::lock_guard lock(mutex_);
    if (kept_.size() >= kMost) kept_.erase(kept_.begin());
    kept_.push_back({loop, cells, std::move(membrane)});
  }

 private:
  static constexpr std::size_t kMost = 16;
  struct Entry {
    plane::Loop loop;
    double cells;
    std::shared_ptr<const Membrane> membrane;
  };
  std::mutex mutex_;
  std::vector<Entry> kept_;  // newest last
};

}  // namespace

std::shared_ptr<const Membrane> Membrane::over(const plane::Loop& outer, double cells) {
  static Recent recent;
  if (cells <= 0) cells = kCells;
  if (auto known = recent.find(outer, cells)) return known;
  Solver solver(outer, cells);
  double content = 0;
  const SplineGrid raw(solver.origin(), solver.cell(), solver.columns(), solver.rows(), solver.solve(content));
  const Vec2 top = highest(raw, solver.cells());
  const double peak = raw.value(top);
  std::shared_ptr<const Membrane> m(new Membrane(raw.times(1 / peak), top, peak, content));
  recent.keep(outer, cells, m);
  return m;
}

}  // namespace kerfkiln::cushion
