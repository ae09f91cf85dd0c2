#include "modeler/cushion/cut_volume.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <functional>
#include <optional>

#include "modeler/cushion/volume.hpp"

namespace kerfkiln::cushion {
namespace {

// A stretch of the boundary that rises or falls all along.
struct Piece {
  plane::Segment s;
  double low = 0, high = 0;  // y
  double x_at(double y) const {
    if (s.is_line()) return s.a.x + (y - s.a.y) / (s.b.y - s.a.y) * (s.b.x - s.a.x);
    const Vec2 c = s.centre();
    const double r = s.radius(), d = std::sqrt(std::max(0.0, r * r - (y - c.y) * (y - c.y)));
    const double middle = s.point(0.5).x;
    return middle > c.x ? c.x + d : c.x - d;
  }
};

void add_pieces(const plane::Loop& loop, std::vector<Piece>& out) {
  const auto add = [&](const plane::Segment& s) {
    const double low = std::min(s.a.y, s.b.y), high = std::max(s.a.y, s.b.y);
    if (high - low > 1e-12) out.push_back({s, low, high});
  };
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    if (s.is_line()) {
      add(s);
      continue;
    }
    // Where the arc is level in x or in y it is cut.
    const Vec2 c = s.centre(), from = s.a - c;
    const double start = std::atan2(from.y, from.x), sweep = s.sweep();
    std::vector<double> cuts{0};
    constexpr double kQuarter = 1.5707963267948966;
    for (int k = -9; k <= 9; ++k)
      if (const double t = (k * kQuarter - start) / sweep; t > 1e-12 && t < 1 - 1e-12) cuts.push_back(t);
    cuts.push_back(1);
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t k = 0; k + 1 < cuts.size(); ++k)
      if (cuts[k + 1] > cuts[k]) add(plane::part(s, cuts[k], cuts[k + 1]));
  }
}

// Row by row; each row's spans along x.
class RegionIntegral {
 public:
  explicit RegionIntegral(const plane::Region& region) {
    for (const plane::Outline& o : region) {
      add_pieces(o.outer, pieces_);
      for (const plane::Loop& hole : o.holes) add_pieces(hole, pieces_);
    }
    for (const Piece& p : pieces_) rows_.insert(rows_.end(), {p.low, p.high});
    std::sort(rows_.begin(), rows_.end());
    rows_.erase(std::unique(rows_.begin(), rows_.end(), [](double a, double b) { return b - a < 1e-9; }), rows_.end());
  }

  double of(const std::function<double(Vec2)>& f, double error) const {
    double sum = 0;
    for (std::size_t r = 0; r + 1 < rows_.size(); ++r) {
      const double y0 = rows_[r], y1 = rows_[r + 1], middle = (y0 + y1) / 2;
      std::vector<const Piece*> here;
      for (const Piece& p : pieces_)
        if (p.low <= middle && p.high >= middle) here.push_back(&p);
      std::sort(here.begin(), here.end(),
                [middle](const Piece* a, const Piece* b) { return a->x_at(middle) < b->x_at(middle); });
      for (std::size_t k = 0; k + 1 < here.size(); k += 2) {
        const double share = error / static_cast<double>(rows_.size());
        // y = y0 + h u^2 (3 - 2 u): ends of arcs come in like square roots.
        const auto row = [&](double u) {
          const double y = y0 + (y1 - y0) * u * u * (3 - 2 * u);
          const double x0 = here[k]->x_at(y), x1 = here[k + 1]->x_at(y);
          const double weight = 6 * u * (1 - u) * (y1 - y0);
          if (!(x1 > x0) || weight == 0) return 0.0;
          return weight * adaptive([&](double x) { return f({x, y}); }, x0, x1, share / (2 * (y1 - y0)));
        };
        sum += adaptive(row, 0, 1, share / 2);
      }
    }
    return sum;
  }

 private:
  template <class F>
  static double adaptive(const F& f, double a, double b, double error, int depth = 0) {
    using Rule = boost::math::quadrature::gauss_kronrod<double, 15>;
    double miss = 0;
    const double value = Rule::integrate(f, a, b, 0, 0.0, &miss);
    if (miss <= error || depth >= 14) return value;
    const double m = (a + b) / 2;
    // Most parts come out far closer than asked: the budget need not be halved each time.
    return adaptive(f, a, m, 0.7 * error, depth + 1) + adaptive(f, m, b, 0.7 * error, depth + 1);
  }
  std::vector<Piece> pieces_;
  std::vector<double> rows_;
};

// Lowest and highest a sheet comes over the region, never too tight.
struct Reach {
  double low = 0, high = 0;
  bool level = false;
};
Reach reach_of(const Form& form, Sheet sheet, const plane::Region& region) {
  Reach r{INFINITY, -INFINITY, true};
  double dropped = 0;
  const auto look = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      const int n = 1 + static_cast<int>(s.length() / 2);
      for (int k = 0; k < n; ++k) {
        const Vec2 p = s.point(static_cast<double>(k) / n);
        const double d = form.drop(sheet, p);
        dropped = std::max(dropped, d);
      }
    }
  };
  for (const plane::Outline& o : region) {
    look(o.outer);
    for (const plane::Loop& hole : o.holes) look(hole);
  }
  const Form::RiseRange& rise = form.rise_range(sheet);
  const bool flat = form.rise(sheet).flat();
  const double low = flat ? 0 : rise.low - 1e-3, high = flat ? 0 : rise.high + 1e-3;
  const double down = dropped > 0 ? form.drop_max(sheet) : 0;
  if (sheet == Sheet::top)
    r = {form.height() + low - down, form.height() + high, flat && dropped == 0};
  else
    r = {-high, down - low, flat && dropped == 0};
  return r;
}

// How much of one cut lies below a level.
class Below {
 public:
  Below(const Form& form, const plane::Region& region, Cut::Kind kind, double mm, double error)
      : sheet_(form.alone(kind == Cut::Kind::roof ? Sheet::bottom : Sheet::top)),
        region_(region),
        kind_(kind),
        mm_(mm),
        area_(plane::area(region)),
        error_(error) {}

  double total() {
    if (kind_ == Cut::Kind::below_top) return area_ * mm_;
    return kind_ == Cut::Kind::floor ? layer({0, mm_, sheet_.height()}, 1) : layer({0, mm_, sheet_.height()}, 0);
  }
  double at(double level) {
    const double height = sheet_.height();
    if (kind_ == Cut::Kind::floor) return layer({0, mm_, level, height}, 1);
    if (kind_ == Cut::Kind::roof) return layer({0, level, height}, 0);
    // The integral of max(0, level + depth - z_top).
    const double lifted = level + mm_;
    if (lifted >= height && sheet_.risen())
      return RegionIntegral(region_).of([&](Vec2 p) { return std::max(0.0, lifted - sheet_.z_top(p)); }, error_);
    if (!known_) whole_ = layer({0, height}, 0);
    known_ = true;
    return lifted * area_ - whole_ + (lifted >= height ? 0 : layer({0, lifted, height}, 1));
  }

 private:
  double layer(std::vector<double> levels, std::size_t i) const {
    const bool closed = sheet_.uniform(Sheet::top) && sheet_.uniform(Sheet::bottom) && !sheet_.risen();
    const double relative = closed ? 0 : error_ / (plane::area(sheet_.outline()) * sheet_.height());
    return volumes_within(sheet_, region_, levels, {.relative_error = relative}).layers[i];
  }
  Form sheet_;
  const plane::Region& region_;
  Cut::Kind kind_;
  double mm_, area_, error_, whole_ = 0;
  bool known_ = false;
};

}  // namespace

CutVolume cut_volume(const Form& form, std::span<const double> levels, const plane::Region& region, Cut::Kind kind,
                     double mm, double error) {
  CutVolume v;
  const double area = plane::area(region);
  const Reach reach = reach_of(form, kind == Cut::Kind::roof ? Sheet::bottom : Sheet::top, region);
  const double low = kind == Cut::Kind::below_top ? reach.low - mm : kind == Cut::Kind::floor ? mm : reach.low;
  const double high = kind == Cut::Kind::roof ? mm : reach.high;
  std::optional<Below> below;
  if (!reach.level) below.emplace(form, region, kind, mm, error);
  v.total = reach.level ? area * (high - low) : below->total();
  double before = 0;
  for (std::size_t i = 0; i + 1 < levels.size(); ++i) {
    const double level = levels[i + 1];
    double now = v.total;
    if (i + 2 < levels.size() && level < high)
      now = level <= low ? 0 : reach.level ? area * (level - low) : below->at(level);
    v.layers.push_back(now - before);
    before = now;
  }
  return v;
}

}  // namespace kerfkiln::cushion
