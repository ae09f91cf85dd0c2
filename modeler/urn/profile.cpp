#include "modeler/urn/profile.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

std::string node_path(int node, const char* field) { return "profile/" + std::to_string(node) + "/" + field; }

bool nested(const ProfileNode& in, const ProfileNode& out) {
  return in.half_width < out.half_width && in.half_depth < out.half_depth;
}

Findings check_nodes(const std::vector<ProfileNode>& nodes) {
  Findings f;
  if (nodes.size() < 2) {
    f.push_back({Severity::error, "profile.points", "profile",
                 "the profile has " + std::to_string(nodes.size()) + " points; at least 2 are needed",
                 "add a point for the foot and one for the lip"});
    return f;
  }
  for (std::size_t i = 1; i < nodes.size(); ++i) {
    const ProfileNode &a = nodes[i - 1], &b = nodes[i];
    if (b.height == a.height && !std::isnan(a.twist) && !std::isnan(b.twist) && a.twist != b.twist)
      f.push_back({Severity::error, "profile.twist", node_path(static_cast<int>(i), "twist"),
                   "two points at height " + mm(b.height) + " say different twists, " + deg(a.twist, 3) + " and " +
                       deg(b.twist, 3),
                   "say one twist for a height, or let the height rise"});
    if (!(b.height >= a.height)) {
      f.push_back({Severity::error, "profile.heights", node_path(static_cast<int>(i), "height"),
                   "height " + mm(b.height) + " lies below the point before; from " + mm(a.height) + " up is possible",
                   "list the points from the foot up, none lower than the one before"});
    } else if (b.height == a.height && i == 1) {
      f.push_back({Severity::error, "profile.level", node_path(1, "height"),
                   "the first two points both stand at " + mm(b.height) +
                       "; the foot is flat by itself, and the second point must stand above it",
                   "begin with the outer edge of the foot"});
    } else if (b.height == a.height && i + 1 == nodes.size() && nested(a, b)) {
      f.push_back({Severity::error, "profile.level", node_path(static_cast<int>(i), "height"),
                   "the last two points both stand at " + mm(b.height) +
                       " and the outline grows: a flange without "
                       "thickness",
                   "let the lip rise by the flange's thickness, or end with the point before"});
    } else if (b.height == a.height && !nested(a, b) && !nested(b, a)) {
      f.push_back(
          {Severity::error, "profile.level", node_path(static_cast<int>(i), "height"),
           "between two points at height " + mm(b.height) + " the outline gets neither narrower nor wider on all sides",
           "make both half sizes smaller (a shoulder) or both larger (a ledge), or let the height rise"});
    }
  }
  return f;
}

// Where min(half_width, half_depth) changes sides the span is cut, so that a shape that follows it stays smooth.
std::vector<double> crossings(const ProfileSpan& s) {
  std::vector<double> cuts;
  Cubic d;
  bool same = true;
  for (std::size_t k = 0; k < 4; ++k) d[k] = s.half_width[k] - s.half_depth[k], same = same && d[k] == 0;
  if (same) return cuts;
  const Extreme e = extremes(d, s.length);
  std::vector<double> stops{0, e.low_at, e.high_at, s.length};
  std::sort(stops.begin(), stops.end());
  for (std::size_t i = 1; i < stops.size(); ++i) {
    double a = stops[i - 1], b = stops[i];
    if (value(d, a) * value(d, b) >= 0) continue;
    for (int k = 0; k < 60; ++k) {
      const double m = 0.5 * (a + b);
      (value(d, a) * value(d, m) <= 0 ? b : a) = m;
    }
    const double u = 0.5 * (a + b);
    if (u > 1e-9 * s.length && u < s.length * (1 - 1e-9)) cuts.push_back(u);
  }
  return cuts;
}

Cubic moved(const Cubic& c, double u) { return {value(c, u), slope(c, u), 0.5 * bend(c, u), c[3]}; }

void add_span(std::vector<ProfileSpan>& spans, std::vector<int>& owners, const ProfileSpan& s, int node) {
  std::vector<double> cuts = s.full ? crossings(s) : std::vector<double>{};
  cuts.push_back(s.length);
  double from = 0;
  for (double to : cuts) {
    ProfileSpan part = s;
    part.begin = s.begin + from;
    part.length = to - from;
    if (from > 0) {
      part.half_width = moved(s.half_width, from);
      part.half_depth = moved(s.half_depth, from);
      part.height = moved(s.height, from);
      part.corner_before = part.level_begin = false;
    }
    part.level_end = s.level_end && to == s.length;
    if (s.full) {
      const double mid = 0.5 * part.length;
      part.shape = value(part.half_width, mid) < value(part.half_depth, mid) ? part.half_width : part.half_depth;
    }
    spans.push_back(part);
    owners.push_back(node);
    from = to;
  }
}

// Heights between corners: broken where the curve is to be level, with slope 0 there.
std::vector<Cubic> heights_through(const std::vector<double>& t, const std::vector<double>& z,
                                   const std::vector<bool>& level) {
  std::vector<Cubic> out;
  std::size_t from = 0;
  for (std::size_t i = 1; i < t.size(); ++i) {
    if (!level[i] && i + 1 < t.size()) continue;
    const auto part = [&](const std::vector<double>& x) { return std::span(x).subspan(from, i - from + 1); };
    const std::vector<Cubic> c = levelled_cubic(part(t), part(z), level[from], level[i]);
    out.insert(out.end(), c.begin(), c.end());
    from = i;
  }
  return out;
}

void add_segment(const std::vector<ProfileNode>& nodes, std::size_t first, std::size_t last, double begin,
                 double depth_factor, std::vector<ProfileSpan>& spans, std::vector<int>& owners) {
  const std::size_t n = last - first + 1;
  std::vector<double> t(n), a(n), b(n), z(n), shape(n);
  for (std::size_t i = 0; i < n; ++i) {
    const ProfileNode& p = nodes[first + i];
    a[i] = p.half_width, b[i] = p.half_depth, z[i] = p.height, shape[i] = p.shape;
    t[i] = i == 0 ? 0 : t[i - 1] + norm(Vec3{a[i] - a[i - 1], b[i] - b[i - 1], z[i] - z[i - 1]});
  }
  std::vector<bool> level(n);
  for (std::size_t i = 0; i < n; ++i) {
    // Between two corners the curve is straight, whatever its ends say.
    level[i] = n > 2 || !nodes[first].corner || !nodes[last].corner ? nodes[first + i].level : false;
    const bool stretch = (i > 0 && z[i] == z[i - 1]) || (i + 1 < n && z[i] == z[i + 1]);
    if (stretch && i > 0 && i + 1 < n) level[i] = true;
  }
  const std::vector<Cubic> ca = natural_cubic(t, a), cz = heights_through(t, z, level), cs = monotone_cubic(t, shape);
  std::vector<Cubic> cb;
  if (depth_factor == 0) cb = natural_cubic(t, b);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    ProfileSpan s{begin + t[i], t[i + 1] - t[i], ca[i], {}, cz[i], cs[i]};
    s.level_begin = level[i] || s.level(), s.level_end = level[i + 1] || s.level();
    for (std::size_t k = 0; k < 4; ++k)
      s.half_depth[k] = depth_factor == 0 ? cb[i][k] : cs[i][k] + depth_factor * (ca[i][k] - cs[i][k]);
    const bool full = nodes[first + i].full && nodes[first + i + 1].full;
    if (full && depth_factor != 0) s.shape = s.half_depth = s.half_width;
    s.full = full;
    s.corner_before = i == 0 && first > 0;
    add_span(spans, owners, s, static_cast<int>(first + i));
  }
}

// The twist runs through corners and levels alike, on the heights of the nodes that say one.
void add_twist(const std::vector<ProfileNode>& nodes, std::vector<ProfileSpan>& spans) {
  std::vector<double> z, angle;
  for (const ProfileNode& n : nodes)
    if (!std::isnan(n.twist) && (z.empty() || n.height > z.back())) z.push_back(n.height), angle.push_back(n.twist);
  if (z.empty()) return;
  if (z.size() == 1) z.push_back(z[0] + 1), angle.push_back(angle[0]);
  const std::vector<Cubic> c = monotone_cubic(z, angle);
  for (ProfileSpan& s : spans) {
    const double low = s.height[0];
    if (low >= z.back()) {
      s.twist = {angle.back(), 0, 0, 0};
    } else if (value(s.height, s.length) <= z.front()) {
      s.twist = {angle.front(), 0, 0, 0};
    } else {
      const auto k = static_cast<std::size_t>(std::upper_bound(z.begin(), z.end() - 1, low) - z.begin());
      s.twist = moved(c[k > 0 ? k - 1 : 0], low - z[k > 0 ? k - 1 : 0]);
    }
  }
}

// A place along a span for a message: the nearer of the two profile points.
int nearer(const std::vector<int>& owners, std::size_t span, double u, double length) {
  return owners[span] + (u > 0.5 * length ? 1 : 0);
}

void check_span(const ProfileSpan& s, std::size_t i, const std::vector<int>& owners, Findings& f) {
  const auto narrow = [&](const Cubic& c, const char* field) {
    const Extreme e = extremes(c, s.length);
    if (e.low > 0) return;
    f.push_back({Severity::error, "profile.axis", node_path(nearer(owners, i, e.low_at, s.length), field),
                 "the curve reaches the axis at height " + mm(value(s.height, e.low_at)) + " (half size " + mm(e.low) +
                     "; it must stay above 0)",
                 "move the neighbouring points apart, add a point there or make a neighbour a corner"});
  };
  narrow(s.half_width, "half_width");
  narrow(s.half_depth, "half_depth");
  if (s.level()) return;
  const Extreme e = slope_extremes(s.height, s.length);
  constexpr double kFlat = 1e-12;  // mm a mm of the parameter
  const bool level = (e.low_at == 0 && s.level_begin) || (e.low_at == s.length && s.level_end);
  if (!(e.low > kFlat) && !(level && e.low >= -kFlat))
    f.push_back({Severity::error, "profile.folds", node_path(nearer(owners, i, e.low_at, s.length), "height"),
                 "the curve turns back in height at " + mm(value(s.height, e.low_at)) + " (rise along the profile " +
                     shortest(e.low) + "; between points it must stay above 0)",
                 "add a point near there, move the points further apart in height or make one of them a corner"});
}

}  // namespace

Result<Profile> Profile::through(const std::vector<ProfileNode>& nodes, double depth_factor) {
  if (Findings f = check_nodes(nodes); !f.empty()) return f;
  std::vector<ProfileSpan> spans;
  std::vector<int> owners;
  double begin = 0;
  std::size_t first = 0;
  for (std::size_t i = 1; i < nodes.size(); ++i) {
    if (!nodes[i].corner && i + 1 < nodes.size()) continue;
    add_segment(nodes, first, i, begin, depth_factor, spans, owners);
    begin = spans.back().begin + spans.back().length;
    first = i;
  }
  add_twist(nodes, spans);
  return of_spans(std::move(spans), owners);
}

Result<Profile> Profile::of_spans(std::vector<ProfileSpan> spans, const std::vector<int>& node_of_span) {
  std::vector<int> owners = node_of_span;
  for (std::size_t i = owners.size(); i < spans.size(); ++i) owners.push_back(static_cast<int>(i));
  Findings f;
  if (spans.empty())
    f.push_back({Severity::error, "profile.points", "profile", "the profile has 0 spans; at least 1 is needed",
                 "give at least 2 points"});
  for (std::size_t i = 0; i < spans.size(); ++i) check_span(spans[i], i, owners, f);
  if (!f.empty()) return f;
  Profile p;
  p.spans_ = std::move(spans);
  for (std::size_t i = 0; i < p.spans_.size(); ++i)
    if (i == 0 || p.spans_[i].corner_before) p.segments_.push_back(static_cast<int>(i));
  p.segments_.push_back(static_cast<int>(p.spans_.size()));
  p.twisted_ = std::any_of(p.spans_.begin(), p.spans_.end(), [](const ProfileSpan& s) { return s.twist != Cubic{}; });
  return p;
}

double Profile::low() const { return spans_.front().height[0]; }
double Profile::high() const { return value(spans_.back().height, spans_.back().length); }

int Profile::span_of(double t) const {
  const auto it =
      std::upper_bound(spans_.begin() + 1, spans_.end(), t, [](double x, const ProfileSpan& s) { return x < s.begin; });
  return static_cast<int>(it - spans_.begin()) - 1;
}

ProfileJet Profile::at(int span, double t) const {
  const ProfileSpan& s = spans_[static_cast<std::size_t>(span)];
  const double u = t - s.begin;
  ProfileJet j;
  j.size = {value(s.half_width, u), value(s.half_depth, u), value(s.shape, u)};
  j.rate = {slope(s.half_width, u), slope(s.half_depth, u), slope(s.shape, u)};
  j.rate2 = {bend(s.half_width, u), bend(s.half_depth, u), bend(s.shape, u)};
  j.z = value(s.height, u), j.z_t = slope(s.height, u), j.z_tt = bend(s.height, u);
  if (twisted_) {
    const double h = j.z - s.height[0], along = slope(s.twist, h);
    j.twist = value(s.twist, h);
    j.twist_t = along * j.z_t;
    j.twist_tt = bend(s.twist, h) * j.z_t * j.z_t + along * j.z_tt;
  }
  if (crown_ != 0) {
    const double half = 0.5 * (high() - low()), x = (j.z - low()) / half - 1, q = 1 - x * x;
    const double along = -4 * x * q / half, twice = (12 * x * x - 4) / (half * half);
    j.size.bow = crown_ * q * q;
    j.rate.bow = crown_ * along * j.z_t;
    j.rate2.bow = crown_ * (twice * j.z_t * j.z_t + along * j.z_tt);
  }
  return j;
}

Profile Profile::untwisted() const {
  Profile p = *this;
  for (ProfileSpan& s : p.spans_) s.twist = {};
  p.twisted_ = false;
  return p;
}

Profile Profile::crowned(double bow) const {
  Profile p = *this;
  p.crown_ = bow;
  return p;
}

double Profile::at_height(double z) const {
  if (z <= low()) return begin();
  if (z >= high()) return end();
  const auto it = std::upper_bound(spans_.begin() + 1, spans_.end(), z,
                                   [](double x, const ProfileSpan& s) { return x < s.height[0]; });
  const ProfileSpan& s = *(it - 1);
  // Newton inside a shrinking bracket: the height rises, so that one root is certain.
  double lo = 0, hi = s.length;
  double u = s.length * (z - s.height[0]) / (value(s.height, s.length) - s.height[0]);
  for (int i = 0; i < 80; ++i) {
    const double off = value(s.height, u) - z;
    if (off == 0) break;
    (off < 0 ? lo : hi) = u;
    double next = u - off / slope(s.height, u);
    if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
    if (std::abs(next - u) <= 1e-15 * s.length) {
      u = next;
      break;
    }
    u = next;
  }
  return s.begin + u;
}

double Profile::max_half_width() const {
  double m = 0;
  for (const ProfileSpan& s : spans_) m = std::max(m, extremes(s.half_width, s.length).high);
  return m;
}
double Profile::max_half_depth() const {
  double m = 0;
  for (const ProfileSpan& s : spans_) m = std::max(m, extremes(s.half_depth, s.length).high);
  return m;
}

Profile Profile::scaled(double girth, double height, bool shape_is_length) const {
  Profile p = *this;
  p.crown_ *= girth;
  for (ProfileSpan& s : p.spans_)
    for (std::size_t k = 0; k < 4; ++k) {
      s.half_width[k] *= girth;
      s.half_depth[k] *= girth;
      s.height[k] *= height;
      if (shape_is_length) s.shape[k] *= girth;
      s.twist[k] /= std::pow(height, static_cast<double>(k));
    }
  return p;
}

namespace {

// What both sides of a knot say of it, where they say the same.
double shared(double own, double next) { return std::abs(own - next) <= 1e-9 * (1 + std::abs(own)) ? next : own; }

// A cubic over 0 ... length: values times `scale`, lengths over `unit`. By its ends, so that neighbours go on meeting;
// next: the cubic that follows, or null.
Cubic in_units(const Cubic& c, double length, double scale, double unit, const Cubic* next) {
  constexpr double kShort = 0.05;  // the ends of a short span say nothing of its bending
  Cubic out;
  if (!(length > kShort * unit)) {
    double power = scale;
    for (std::size_t k = 0; k < 4; ++k, power *= unit) out[k] = Profile::on_grid(power * c[k]);
    return out;
  }
  double end = scale * value(c, length), rate = scale * unit * slope(c, length);
  if (next) end = shared(end, scale * (*next)[0]), rate = shared(rate, scale * unit * (*next)[1]);
  const double l = Profile::on_grid(length / unit), y0 = Profile::on_grid(scale * c[0]), y1 = Profile::on_grid(end);
  const double m0 = Profile::on_grid(scale * unit * c[1]), m1 = Profile::on_grid(rate), m = (y1 - y0) / l;
  return {y0, m0, (3 * m - 2 * m0 - m1) / l, (m0 + m1 - 2 * m) / (l * l)};
}

}  // namespace

double Profile::on_grid(double x) {
  constexpr double kGrid = 0x1p-36;
  return std::round(x / kGrid) * kGrid;
}

Profile Profile::in_units(double unit, bool shape_is_length) const {
  Profile p = *this;
  p.crown_ = on_grid(crown_ / unit);
  double begin = 0;
  for (std::size_t i = 0; i < spans_.size(); ++i) {
    const ProfileSpan& from = spans_[i];
    const ProfileSpan* next = i + 1 < spans_.size() ? &spans_[i + 1] : nullptr;
    ProfileSpan& s = p.spans_[i];
    s.begin = begin;
    s.length = on_grid(from.length / unit);
    begin += s.length;
    const auto length = [&](Cubic ProfileSpan::*c) {
      s.*c = urn::in_units(from.*c, from.length, 1 / unit, unit, next ? &(next->*c) : nullptr);
    };
    length(&ProfileSpan::half_width), length(&ProfileSpan::half_depth), length(&ProfileSpan::height);
    if (shape_is_length)
      length(&ProfileSpan::shape);
    else
      s.shape = urn::in_units(from.shape, from.length, 1, unit, next ? &next->shape : nullptr);
    if (from.full) s.shape = from.shape == from.half_width ? s.half_width : s.half_depth;
    const double rise = value(from.height, from.length) - from.height[0];
    s.twist = urn::in_units(from.twist, rise, 1, unit, next ? &next->twist : nullptr);
  }
  return p;
}

}  // namespace kerfkiln::urn
