// How the cuts of one line follow from those of the line before it.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "modeler/urn/inner_lines.hpp"

namespace kerfkiln::urn {

// The panel cut as on the line before; nothing: it is not.
std::optional<InnerSums> InnerLines::along_known_cuts(const InnerSolver::At& a, const InnerSolver::At& b,
                                                      Panel& cuts) const {
  Panel now = cuts;
  now.front().begin = a.point;
  now.back().end = b.point;
  for (std::size_t i = 1; i < now.size(); ++i) {
    Stretch &before = now[i - 1], &after = now[i];
    if (after.join == Join::fixed)
      before.end = after.begin = at(after.from).point;
    else if (!(after.join == Join::kink ? tie_again(before, after) : seam_again(before, after)) ||
             at(after.from).point.reach < after.begin.reach - kNearer * solver_.wall())
      return std::nullopt;  // or another branch has grown over it
  }
  InnerSums sums;
  for (Stretch& s : now) {
    constexpr double kShortest = 1e-9;
    if (!(s.to - s.from > kShortest)) return std::nullopt;
    const auto w = stretch(s.from, s.to, s.begin, s.end);
    if (!w || !w->one_part) return std::nullopt;
    s.part = part(w->middle);
    sums += w->sums;
  }
  cuts = std::move(now);
  return sums;
}

namespace {

// Gauss with pivots; false: singular.
bool solve4(double (&m)[4][5], double (&x)[4]) {
  for (int k = 0; k < 4; ++k) {
    int best = k;
    for (int i = k + 1; i < 4; ++i)
      if (std::abs(m[i][k]) > std::abs(m[best][k])) best = i;
    if (!(std::abs(m[best][k]) > 0)) return false;
    std::swap(m[k], m[best]);
    for (int i = k + 1; i < 4; ++i) {
      const double f = m[i][k] / m[k][k];
      for (int j = k; j < 5; ++j) m[i][j] -= f * m[k][j];
    }
  }
  for (int k = 3; k >= 0; --k) {
    double sum = m[k][4];
    for (int j = k + 1; j < 4; ++j) sum -= m[k][j] * x[j];
    x[k] = sum / m[k][k];
  }
  return true;
}

}  // namespace

// How far a place is off the line, and how that changes: by height where the line is level, else across its direction.
double InnerLines::off_line(Vec3 p) const {
  if (level()) return p.z - from_.z;
  return cross(solver_.direction(from_.turn, p.z), Vec2{p.x, p.y});
}
double InnerLines::off_line_rate(Vec3 p, Vec3 d) const {
  if (level()) return d.z;
  const Vec2 u = solver_.direction(from_.turn, p.z), xy{p.x, p.y};
  double out = cross(u, Vec2{d.x, d.y});
  if (solver_.form().twisted()) {
    const double step = 1e-6 * solver_.wall();
    out += d.z * cross((solver_.direction(from_.turn, p.z + step) - u) / step, xy);
  }
  return out;
}

// The line's parameter at a place on it.
double InnerLines::parameter(Vec3 p) const {
  if (level()) {
    const Vec2 at{p.x, p.y}, zero = solver_.direction(0, from_.z);
    double turn = std::atan2(cross(zero, at), dot(zero, at));
    if (turn < from_.turn - 1e-6) turn += 2 * std::numbers::pi;
    return (turn - from_.turn) / (to_.turn - from_.turn);
  }
  const double g = (p.z - from_.z) / (to_.z - from_.z);
  return eased_ ? uneased(g) : g;
}

// Where two branches meet on the line: Newton's method on their feet, from places nearby. Each foot stays on its own
// smooth part of the outside, which is no corner.
std::optional<InnerLines::Tie> InnerLines::tied(InnerPoint a, InnerPoint b) const {
  const auto& spans = solver_.form().profile().spans();
  const ProfileSpan &sa = spans[static_cast<std::size_t>(a.span)], &sb = spans[static_cast<std::size_t>(b.span)];
  const auto keep = [](InnerPoint& p, const ProfileSpan& s) {
    p.t = std::clamp(p.t, s.begin, s.begin + s.length);
    p.v = std::clamp(p.v, 0.0, 1.0);
  };
  for (int i = 0; i < 10; ++i) {
    const OffsetJet o = solver_.offset(a.span, a.t, a.piece, a.v), q = solver_.offset(b.span, b.t, b.piece, b.v);
    const Vec3 apart = o.at - q.at;
    const double off = off_line(o.at);
    if (norm(apart) < 1e-10 * solver_.wall() && std::abs(off) < 1e-10 * solver_.wall()) {
      // One and the same branch ties everywhere.
      constexpr double kSmallestTurn = 1e-3;
      const double f = parameter(o.at);
      if (norm(o.normal - q.normal) < kSmallestTurn || !(f > 0 && f < 1)) return std::nullopt;
      a.reach = b.reach = std::hypot(o.at.x, o.at.y);
      a.normal = o.normal, b.normal = q.normal;
      return Tie{f, a, b};
    }
    double m[4][5] = {{o.at_t.x, o.at_v.x, -q.at_t.x, -q.at_v.x, -apart.x},
                      {o.at_t.y, o.at_v.y, -q.at_t.y, -q.at_v.y, -apart.y},
                      {o.at_t.z, o.at_v.z, -q.at_t.z, -q.at_v.z, -apart.z},
                      {off_line_rate(o.at, o.at_t), off_line_rate(o.at, o.at_v), 0, 0, -off}};
    double x[4];
    if (!solve4(m, x)) return std::nullopt;
    constexpr double kFarthest = 0.5;  // of a span or piece
    if (!(std::max(std::abs(x[0]) / sa.length, std::abs(x[2]) / sb.length) < kFarthest &&
          std::max(std::abs(x[1]), std::abs(x[3])) < kFarthest))
      return std::nullopt;
    a.t += x[0], a.v += x[1], b.t += x[2], b.v += x[3];
    keep(a, sa), keep(b, sb);
  }
  return std::nullopt;
}

bool InnerLines::tie_again(Stretch& before, Stretch& after) const {
  const int pieces = solver_.form().pieces();
  if (before.part / pieces % 2 == 0 || after.part / pieces % 2 == 0) return false;  // a round about a corner
  const auto k = tied(before.end, after.begin);
  if (!k) return false;
  before.to = after.from = k->at;
  before.end = k->first, after.begin = k->second;
  return true;
}

// Where the foot passes from part to part now: it is known but for one parameter of the outside, which the line
// determines.
bool InnerLines::seam_again(Stretch& before, Stretch& after) const {
  InnerPoint a = before.end, b = after.begin;
  const int pieces = solver_.form().pieces();
  const int along_a = before.part / pieces, along_b = after.part / pieces;
  const bool across = a.piece != b.piece;  // a seam between pieces: the height along it is unknown
  if (across == (along_a != along_b)) return false;
  const auto& spans = solver_.form().profile().spans();
  // The span whose normals the foot has on the seam: a corner's are those of the span beside it.
  InnerPoint seam = across || along_a % 2 == 1 ? a : b;
  const ProfileSpan& span = spans[static_cast<std::size_t>(seam.span)];
  if (across) {
    if (along_a % 2 == 0) return corner_seam_again(before, after);
    seam.v = a.v > 0.5 ? 1 : 0;
  } else {
    const int knot = std::max(along_a, along_b) / 2;
    if (knot != seam.span && knot != seam.span + 1) return false;
    seam.t = knot == seam.span ? span.begin : span.begin + span.length;
  }
  const double low = across ? span.begin : 0, high = across ? span.begin + span.length : 1;
  OffsetJet o;
  const auto off = [&](double s) {
    (across ? seam.t : seam.v) = s;
    o = solver_.offset(seam.span, seam.t, seam.piece, seam.v);
    return off_line(o.at);
  };
  double s0 = across ? a.t : a.v, f0 = off(s0);
  double s1 = s0 + (s0 < 0.5 * (low + high) ? 1e-4 : -1e-4) * (high - low), f1 = off(s1);
  bool found = false;
  for (int i = 0; i < 12 && !found; ++i) {
    const double next = s1 - f1 * (s1 - s0) / (f1 - f0);
    if (!(next >= low && next <= high)) return false;
    s0 = s1, f0 = f1;
    s1 = next, f1 = off(s1);
    found = std::abs(f1) < 1e-12 * solver_.wall() || s1 == s0;
  }
  if (!found) return false;
  const double f = parameter(o.at);
  if (!(f > 0 && f < 1)) return false;
  seam.reach = std::hypot(o.at.x, o.at.y);
  seam.normal = o.normal;
  const auto place = [&](InnerPoint& p) {
    p.reach = seam.reach, p.normal = seam.normal;
    if (across)
      p.t = seam.t, p.v = p.v > 0.5 ? 1 : 0;
    else
      p.t = seam.t, p.v = seam.v;
  };
  place(a), place(b);
  before.to = after.from = f;
  before.end = a, after.begin = b;
  return true;
}

// The same about a corner of the profile: the foot is known, the normal leans as the line asks.
bool InnerLines::corner_seam_again(Stretch& before, Stretch& after) const {
  InnerPoint a = before.end, b = after.begin;
  a.v = a.v > 0.5 ? 1 : 0, b.v = b.v > 0.5 ? 1 : 0;
  const Form& form = solver_.form();
  const SurfaceJet j = form.jet(form.profile().at(a.span, a.t), a.piece, a.v);
  if (!(norm(j.p_v) > 1e-9 * solver_.wall())) return false;
  const Vec3 tangent = unit(j.p_v);
  const Vec2 out{tangent.y, -tangent.x}, foot{j.p.x, j.p.y};
  double level_part = 0, up = 0;
  if (level()) {
    up = (j.p.z - from_.z) / solver_.wall();
    level_part = std::sqrt(1 - up * up);
  } else {
    if (form.twisted()) return false;
    const Vec2 u = solver_.direction(from_.turn, j.p.z);
    level_part = cross(u, foot) / (solver_.wall() * cross(u, out));
    up = std::copysign(std::sqrt(1 - level_part * level_part), a.normal.z);
  }
  const Vec3 normal{level_part * out.x, level_part * out.y, up}, at = j.p - solver_.wall() * normal;
  const double f = parameter(at);
  if (!(f > 0 && f < 1)) return false;  // nor where a root failed
  a.reach = b.reach = std::hypot(at.x, at.y);
  a.normal = b.normal = normal;
  before.to = after.from = f;
  before.end = a, after.begin = b;
  return true;
}

}  // namespace kerfkiln::urn
