#include "modeler/urn/profile.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

std::string node_path(int node, const char* field) { return "profile/" + std::to_string(node) + "/" + field; }

Findings check_nodes(const std::vector<ProfileNode>& nodes) {
  Findings f;
  if (nodes.size() < 2) {
    f.push_back({Severity::error, "profile.points", "profile",
                 "the profile has " + std::to_string(nodes.size()) + " points; at least 2 are needed",
                 "add a point for the foot and one for the lip"});
    return f;
  }
  for (std::size_t i = 1; i < nodes.size(); ++i)
    if (!(nodes[i].height > nodes[i - 1].height))
      f.push_back(
          {Severity::error, "profile.heights", node_path(static_cast<int>(i), "height"),
           "height " + mm(nodes[i].height) + " does not rise above the point before (" + mm(nodes[i - 1].height) + ")",
           "list the points from the foot up, each higher than the one before"});
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
      part.corner_before = false;
    }
    if (s.full) {
      const double mid = 0.5 * part.length;
      part.shape = value(part.half_width, mid) < value(part.half_depth, mid) ? part.half_width : part.half_depth;
    }
    spans.push_back(part);
    owners.push_back(node);
    from = to;
  }
}

void add_segment(const std::vector<ProfileNode>& nodes, std::size_t first, std::size_t last, double begin,
                 std::vector<ProfileSpan>& spans, std::vector<int>& owners) {
  const std::size_t n = last - first + 1;
  std::vector<double> t(n), a(n), b(n), z(n), shape(n);
  for (std::size_t i = 0; i < n; ++i) {
    const ProfileNode& p = nodes[first + i];
    a[i] = p.half_width, b[i] = p.half_depth, z[i] = p.height, shape[i] = p.shape;
    t[i] = i == 0 ? 0 : t[i - 1] + norm(Vec3{a[i] - a[i - 1], b[i] - b[i - 1], z[i] - z[i - 1]});
  }
  const std::vector<Cubic> ca = natural_cubic(t, a), cb = natural_cubic(t, b), cz = natural_cubic(t, z),
                           cs = monotone_cubic(t, shape);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    ProfileSpan s{begin + t[i], t[i + 1] - t[i], ca[i], cb[i], cz[i], cs[i]};
    s.full = nodes[first + i].full && nodes[first + i + 1].full;
    s.corner_before = i == 0 && first > 0;
    add_span(spans, owners, s, static_cast<int>(first + i));
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
  const Extreme e = slope_extremes(s.height, s.length);
  if (e.low <= 0)
    f.push_back(
        {Severity::error, "profile.folds", node_path(nearer(owners, i, e.low_at, s.length), "height"),
         "the curve turns back in height at " + mm(value(s.height, e.low_at)) + "; between points it must keep rising",
         "add a point near there, move the points further apart in height or make one of them a corner"});
}

}  // namespace

Result<Profile> Profile::through(const std::vector<ProfileNode>& nodes) {
  if (Findings f = check_nodes(nodes); !f.empty()) return f;
  std::vector<ProfileSpan> spans;
  std::vector<int> owners;
  double begin = 0;
  std::size_t first = 0;
  for (std::size_t i = 1; i < nodes.size(); ++i) {
    if (!nodes[i].corner && i + 1 < nodes.size()) continue;
    add_segment(nodes, first, i, begin, spans, owners);
    begin = spans.back().begin + spans.back().length;
    first = i;
  }
  return of_spans(std::move(spans), owners);
}

Result<Profile> Profile::of_spans(std::vector<ProfileSpan> spans, const std::vector<int>& node_of_span) {
  std::vector<int> owners = node_of_span;
  for (std::size_t i = owners.size(); i < spans.size(); ++i) owners.push_back(static_cast<int>(i));
  Findings f;
  if (spans.empty())
    f.push_back({Severity::error, "profile.points", "profile", "the profile has no span", "give at least 2 points"});
  for (std::size_t i = 0; i < spans.size(); ++i) check_span(spans[i], i, owners, f);
  if (!f.empty()) return f;
  Profile p;
  p.spans_ = std::move(spans);
  for (std::size_t i = 0; i < p.spans_.size(); ++i)
    if (i == 0 || p.spans_[i].corner_before) p.segments_.push_back(static_cast<int>(i));
  p.segments_.push_back(static_cast<int>(p.spans_.size()));
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
  return j;
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
  for (ProfileSpan& s : p.spans_)
    for (std::size_t k = 0; k < 4; ++k) {
      s.half_width[k] *= girth;
      s.half_depth[k] *= girth;
      s.height[k] *= height;
      if (shape_is_length) s.shape[k] *= girth;
    }
  return p;
}

}  // namespace kerfkiln::urn
