#include "modeler/urn/capacity_solve.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "modeler/base/tolerance.hpp"
#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kCloseMm3 = 20;      // 0.02 mL
constexpr double kNear = 2e-4;        // of the target: from there on the sums are moved along, not taken anew
constexpr double kApart = 0.01;       // logarithm of the scale: trials that tell how sums move
constexpr double kFarScale = 2;       // beyond it the drawing says little about the urn
constexpr double kUnusualMm3 = 20e6;  // a companion urn holds up to 600 in3, about 10 L
constexpr int kMostWidenings = 60;

struct Trial {
  double scale = 0, capacity = 0;
  Scale sizes;
  InnerSums sums;
  bool fine = false;
  std::optional<Wall> wall;
};

class Solver {
 public:
  Solver(const Spec& spec, const Form& form) : spec_(spec), form_(form), size_(WallSize::of(spec)) {
    if (spec.capacity.keep == "neck") keep_ = neck_begins(spec);
    const double widest = std::max(form.max_width(), form.max_depth()), tall = form.height();
    // Half sizes and heights stay within what a design may say.
    const double most = kLargestSizeMm / std::max(widest / 2, tall);
    highest_ = most;
    lowest_ = kSmallestSizeMm / std::min({form.max_width() / 2, form.max_depth() / 2, tall});
  }

  int power() const { return spec_.capacity.by == "height" ? 1 : spec_.capacity.by == "girth" ? 2 : 3; }
  Scale sizes_at(double k) const {
    if (spec_.capacity.by == "height") return {1, k};
    if (spec_.capacity.by == "girth") return {k, 1};
    return {k, k};
  }

  // The wall alone.
  Trial placed(double k) const {
    Trial t;
    t.scale = k;
    t.sizes = sizes_at(k);
    std::optional<Form> form = form_at(t.sizes);
    if (!form) return t;
    Result<Wall> wall = Wall::make(*form, size_, false);
    if (wall) t.wall.emplace(std::move(wall).value());
    return t;
  }

  Trial at(double k, bool fine = true) {
    ++evaluations;
    Trial t = placed(k);
    t.fine = fine;
    if (!t.wall) return t;
    const double floor = t.wall->floor(), line = std::max(floor, t.wall->lip() - spec_.fill_below_lip.value);
    t.sums = fine ? integrate_inside(*t.wall, floor, line) : integrate_inside_coarsely(*t.wall, floor, line);
    t.capacity = t.sums.volume;
    return t;
  }

  std::optional<Form> form_at(Scale s) const {
    if (keep_ < 0) return form_.scaled(s.girth, s.height);
    Result<Form> f = Form::make(scaled_spec(spec_, s, keep_));
    if (!f) return std::nullopt;
    return std::move(f).value();
  }

  // By the polynomial in the scale; nothing: it does not lead there.
  std::optional<Trial> fast(const Trial& first, double target) {
    if (!(first.capacity > 0)) return std::nullopt;
    const int p = power();
    double k = first.scale, b = wall_volume(first) / std::pow(k, p - 1), a = fitted(first, b);
    Trial last = first;
    for (int i = 0; i < 6; ++i) {
      const double next = root(a, b, target, k);
      if (!(next >= lowest_ && next <= highest_ && next < 4 * k && next > k / 4)) return std::nullopt;
      Trial t = at(next, i > 0);
      if (!(t.capacity > 0)) return std::nullopt;
      if (t.fine && std::abs(t.capacity - target) <= kCloseMm3) return t;
      // Where a fine look takes its time.
      if (t.fine && t.wall->trimmed() && std::abs(t.capacity - target) <= kNear * target &&
          std::abs(std::log(next / first.scale)) > kApart)
        return moved(t, first, root(fitted(t, b), b, target, next), target);
      // Two places give both coefficients, unless they are so near that rounding would speak.
      const double u = std::pow(last.scale, p), v = std::pow(next, p);
      const double det = u * v * (1 / last.scale - 1 / next);
      if (i == 0 && std::abs(next / last.scale - 1) > 1e-4) b = (last.capacity * v - t.capacity * u) / -det;
      a = fitted(t, b);
      k = next;
      last = std::move(t);
    }
    return std::nullopt;
  }

  // Two trials on either side of the target, below first; nothing: it is out of reach.
  std::optional<std::pair<Trial, Trial>> bracket(Trial start, double target) {
    for (int i = 0; start.capacity <= 0 && i < kMostWidenings; ++i) {
      if (start.scale >= highest_) return std::nullopt;
      start = at(std::min(highest_, start.scale * 1.25));
    }
    Trial from = std::move(start);
    const bool up = from.capacity < target;
    for (int i = 0; i < kMostWidenings; ++i) {
      // From an empty trial below there is no ratio: the root lies between it and the last one that held something.
      const double ratio = std::pow(target / from.capacity, 1.0 / power());
      // A hair beyond, so that rounding does not leave the root outside.
      const double next = std::clamp(from.scale * ratio * (up ? 1 + 1e-9 : 1 - 1e-9), lowest_, highest_);
      Trial t = at(next);
      if (up ? t.capacity >= target : t.capacity <= target)
        return up ? std::pair(std::move(from), std::move(t)) : std::pair(std::move(t), std::move(from));
      if (next <= lowest_ || next >= highest_) return std::nullopt;
      from = std::move(t);
    }
    return std::nullopt;
  }

  // The trial nearest to the target inside a bracket.
  Trial solve(std::pair<Trial, Trial> ends, double target) {
    const double a = ends.first.scale, b = ends.second.scale;
    const double fa = ends.first.capacity - target, fb = ends.second.capacity - target;
    Trial best = std::abs(fa) < std::abs(fb) ? std::move(ends.first) : std::move(ends.second);
    if (!best.fine) best = at(best.scale);
    const auto off = [&](double k) {
      Trial t = at(k);
      const double f = t.capacity - target;
      if (std::abs(f) < std::abs(best.capacity - target)) best = std::move(t);
      return f;
    };
    const auto enough = [&](double lo, double hi) {
      return std::abs(best.capacity - target) <= kCloseMm3 || hi - lo <= 1e-13 * hi;
    };
    std::uintmax_t most = 80;
    if (!enough(a, b)) boost::math::tools::toms748_solve(off, a, b, fa, fb, enough, most);
    return best;
  }

  // Capacities between which every one can be reached; {0, 0} when there is none.
  std::pair<double, double> reach() {
    // The high end is the largest size that a design may have, or where the wall fails.
    const auto edge = [&](double good, double bad) {
      // Whether it holds anything a coarse look tells.
      for (int i = 0; i < 40; ++i) {
        const double mid = std::sqrt(good * bad);
        (at(mid, false).capacity > 0 ? good : bad) = mid;
      }
      return at(good).capacity;
    };
    double some = 1;
    for (int i = 0; i < kMostWidenings && at(some, false).capacity <= 0; ++i) {
      some *= 1.25;
      if (some > highest_) return {0, 0};
    }
    const double low = at(lowest_).capacity, high = at(highest_).capacity;
    return {low > 0 ? low : edge(some, lowest_), high > 0 ? high : edge(some, highest_)};
  }

  int evaluations = 0;
  int keep() const { return keep_; }

 private:
  // A fine trial at a scale so near that its sums follow from it by their powers of the scale: volume by the
  // polynomial, area and moment by polynomials through two trials. What that neglects is some thousandths of the way.
  std::optional<Trial> moved(const Trial& t, const Trial& before, double k, double target) {
    if (!(k >= lowest_ && k <= highest_)) return std::nullopt;
    Trial out = placed(k);
    if (!out.wall) return std::nullopt;
    // Like the volume: a k^q less a share of the wall that grows with k^(q-1).
    const auto follow = [&](double now, double then, int q) {
      const double a = then / std::pow(before.scale, q - 1), b = now / std::pow(t.scale, q - 1);
      return (b + (b - a) * (k - t.scale) / (t.scale - before.scale)) * std::pow(k, q - 1);
    };
    const int p = power();
    out.fine = true;
    out.sums = t.sums;
    out.sums.volume = out.capacity = target;
    out.sums.moment = follow(t.sums.moment, before.sums.moment, p == 3 ? 4 : 2);
    out.sums.area = follow(t.sums.area, before.sums.area, p == 3 ? 2 : 1);
    return out;
  }
  double fitted(const Trial& t, double b) const {
    return (t.capacity + b * std::pow(t.scale, power() - 1)) / std::pow(t.scale, power());
  }
  // How much the clay at wall, base and fill line takes from a form that grows, to first order.
  double wall_volume(const Trial& t) const {
    const double fill = spec_.fill_below_lip.value, line = std::max(t.wall->floor(), t.wall->lip() - fill);
    const double flats =
        size_.base_thickness * inner_section_area(*t.wall, t.wall->floor()) + fill * inner_section_area(*t.wall, line);
    // Sides of urns stand mostly upright: nine tenths of their wall count for the girth, the rest for the height.
    const double side = size_.wall * t.sums.area;
    return power() == 3 ? side + flats : power() == 2 ? 0.9 * side : 0.1 * side + flats;
  }
  // The k where a k^p - b k^(p-1) = target, by Newton from a place nearby.
  double root(double a, double b, double target, double k) const {
    const int p = power();
    for (int i = 0; i < 30; ++i) {
      const double low = std::pow(k, p - 1), f = low * (a * k - b) - target;
      const double slope = p * a * low - (p > 1 ? (p - 1) * b * std::pow(k, p - 2) : 0);
      const double step = f / slope;
      if (!(std::abs(step) < k)) return std::numeric_limits<double>::quiet_NaN();
      k -= step;
      if (std::abs(step) <= 1e-14 * k) break;
    }
    return k;
  }

  const Spec& spec_;
  const Form& form_;
  WallSize size_;
  int keep_ = -1;
  double lowest_ = 0, highest_ = 0;
};

std::string litres(double mm3) {
  const double l = mm3 * 1e-6;
  if (l < 5e-4) return "less than 0.001 L";
  return shortest(l, l < 0.1 ? 4 : l < 100 ? 3 : 0) + " L";
}

const char* way(const Spec& s) {
  return s.capacity.by == "height" ? "in height" : s.capacity.by == "girth" ? "in girth" : "in all directions";
}

Finding fill_line_too_low(double fill, double deep) {
  return {Severity::error, "capacity.fill_below_lip", "capacity/fill_below_lip",
          "The fill line lies " + mm(fill) + " below the lip, but the inside is only " + mm(deep) + " deep.",
          "Give less than " + mm(deep) + "."};
}

Result<Solved> as_drawn(const Spec& spec, const Form& form) {
  Result<Wall> wall = Wall::make(form, WallSize::of(spec));
  if (!wall) return wall.findings();
  const double deep = wall->lip() - wall->floor();
  if (!(spec.fill_below_lip.value < deep)) {
    Findings f = wall->findings();
    f.push_back(fill_line_too_low(spec.fill_below_lip.value, deep));
    return f;
  }
  Solved s;
  s.spec = spec;
  s.wall.emplace(std::move(wall).value());
  return s;
}

Finding unreachable(const Spec& spec, Solver& solver) {
  const double target = spec.capacity.target.value;
  const auto [low, high] = solver.reach();
  std::string can = "nothing can be held at any size: the wall leaves no room, or the fill line lies below the floor";
  if (high > 0)
    can = "with this wall, base and fill line it can hold from " + litres(low) + " to " + litres(high) + " that way";
  return {Severity::error, "capacity.unreachable", "capacity/target",
          "Scaled " + std::string(way(spec)) + (solver.keep() >= 0 ? ", the neck kept" : "") +
              ", this form cannot hold " + litres(target) + "; " + can + ".",
          "Choose a target between these, scale it another way, or change the form or the wall."};
}

void remark(const Spec& spec, int keep, Solved& s) {
  const double k = spec.capacity.by == "height" ? s.scale.height : s.scale.girth;
  s.findings.push_back(
      {Severity::note, "capacity.scaled", "capacity/target",
       std::string(keep >= 0 ? "The body below the neck" : "The form") + " is scaled " + way(spec) + " by " +
           shortest(k, 4) + " to hold " + litres(s.capacity) +
           (s.drawn > 0 ? " (as typed: " + litres(s.drawn) + ")" : "") +
           ". The profile in the file stays as typed; all sizes shown are the solved ones.",
       "To keep these sizes, type them from the table of typed and solved sizes and remove the target."});
  if (k > kFarScale || k < 1 / kFarScale)
    s.findings.push_back({Severity::warning, "capacity.far", "capacity/target",
                          "The target asks for a scale of " + shortest(k, 3) +
                              "; beyond 0.5 ... 2 wall, foot and lid "
                              "no longer suit the drawn form.",
                          "Draw the form near the size it must have, or check the target's unit."});
  if (spec.capacity.target.value > kUnusualMm3)
    s.findings.push_back({Severity::warning, "capacity.unusual", "capacity/target",
                          "A target of " + litres(spec.capacity.target.value) +
                              " is more than urns hold: one for two persons holds 5 to 10 L (300 to 600 in3).",
                          "Check the target and its unit."});
}

}  // namespace

double capacity_to_fill_line(const Wall& w, double fill_below_lip) {
  return integrate_inside(w, w.floor(), std::clamp(w.lip() - fill_below_lip, w.floor(), w.lip())).volume;
}

int neck_begins(const Spec& spec) {
  std::size_t widest = 0;
  const auto& p = spec.profile;
  for (std::size_t i = 1; i < p.size(); ++i)
    if (p[i].half_width.value > p[widest].half_width.value) widest = i;
  for (std::size_t i = widest + 1; i + 1 < p.size(); ++i)
    if (p[i].corner) return static_cast<int>(i);
  return -1;
}

Spec scaled_spec(const Spec& typed, Scale s, int keep_from) {
  Spec out = typed;
  const auto scale = [](Quantity& q, double by) {
    if (by == 1 || !q.known()) return;
    q.value *= by;
    q.written.clear();
  };
  const auto kept = static_cast<std::size_t>(std::max(keep_from, 0));
  const double lift = keep_from < 0 ? 0 : typed.profile[kept].height.value * (s.height - 1);
  for (std::size_t i = 0; i < out.profile.size(); ++i) {
    ProfilePoint& p = out.profile[i];
    if (keep_from >= 0 && i >= kept) {
      p.height.value += lift;
      if (lift != 0) p.height.written.clear();
      continue;
    }
    scale(p.height, s.height);
    for (Quantity* q : std::initializer_list<Quantity*>{&p.half_width, &p.half_depth, &p.corner_radius})
      scale(*q, s.girth);
  }
  if (keep_from >= 0) return out;
  for (LidPoint& p : out.lid.profile) scale(p.height, s.height), scale(p.half_width, s.girth);
  for (Quantity* q : std::initializer_list<Quantity*>{&out.lid.height, &out.lid.knob.height}) scale(*q, s.height);
  for (Quantity* q : std::initializer_list<Quantity*>{&out.lid.knob.diameter, &out.lid.knob.neck}) scale(*q, s.girth);
  return out;
}

Result<Solved> solve_capacity(const Spec& spec, const Form& form) {
  if (!spec.capacity.target.known()) return as_drawn(spec, form);
  Solver solver(spec, form);
  if (spec.capacity.keep == "neck" && solver.keep() < 0)
    return Finding{
        Severity::error, "capacity.keep", "capacity/keep",
        "None of the " + std::to_string(spec.profile.size()) +
            " profile points is a corner above the belly and below the lip, so the program cannot tell where the neck "
            "that is to be kept begins.",
        "Set \"corner\": true on the point where the neck begins, or keep nothing."};
  const double target = spec.capacity.target.value;
  Trial first = solver.at(1, false);
  const double drawn = first.capacity;
  Trial best;
  if (std::optional<Trial> t = solver.fast(first, target))
    best = std::move(*t);
  else if (auto ends = solver.bracket(std::move(first), target))
    best = solver.solve(std::move(*ends), target);
  if (!best.wall || std::abs(best.capacity - target) > kCloseMm3) {
    // A wall or foot that is wrong by itself is said as such.
    const Result<Solved> plain = as_drawn(spec, form);
    Findings f = plain.findings();
    f.push_back(unreachable(spec, solver));
    return f;
  }
  Solved s;
  s.asked = true;
  s.scale = best.sizes;
  s.capacity = best.capacity;
  s.filled = best.sums;
  s.drawn = drawn;
  s.evaluations = solver.evaluations;
  s.spec = scaled_spec(spec, best.sizes, solver.keep());
  s.wall = std::move(best.wall);
  remark(spec, solver.keep(), s);
  return s;
}

}  // namespace kerfkiln::urn
