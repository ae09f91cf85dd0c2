// Where the branches of a trimmed inside meet, what lies in such mitres, and where the inside runs level.
#include <algorithm>
#include <cmath>
#include <limits>

#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kSame = 2e-10;  // of the wall: nearer than this two branches are one
constexpr double kInfinity = std::numeric_limits<double>::infinity();

}  // namespace

// Where both branches reach across: Illinois false position on their difference. `one`: there is but one branch.
std::optional<InnerSolver::Kink> InnerSolver::tie(const At& a, const At& b, bool& one) const {
  const double tied = kSame * wall_;
  const auto height = [&](double f) { return a.z + f * (b.z - a.z); };
  const auto way = [&](double f) { return direction(a.turn + f * (b.turn - a.turn), height(f)); };
  Kink k;
  k.first = follow(a.point, way(1), height(1));
  k.second = follow(b.point, way(0), height(0));
  const bool there = k.first.reach < b.point.reach + tied, back = k.second.reach < a.point.reach + tied;
  // A foot out of the ray's reach was not followed.
  one = there && back && meets(a.point, way(1), height(1)) && meets(b.point, way(0), height(0));
  if (there || back) return std::nullopt;
  double lo = 0, hi = 1, flo = a.point.reach - k.second.reach, fhi = k.first.reach - b.point.reach;
  InnerPoint at_a = a.point, at_b = b.point;
  for (int i = 0; i < 60 && hi - lo > 1e-13; ++i) {
    const double f = std::clamp((lo * fhi - hi * flo) / (fhi - flo), lo + 0.01 * (hi - lo), hi - 0.01 * (hi - lo));
    k.first = follow(at_a, way(f), height(f));
    k.second = follow(at_b, way(f), height(f));
    const double g = k.first.reach - k.second.reach;
    k.fraction = f;
    if (std::abs(g) < 1e-9 * wall_) break;
    if (g < 0) {
      lo = f, flo = g, fhi *= 0.5, at_a = k.first;
    } else {
      hi = f, fhi = g, flo *= 0.5, at_b = k.second;
    }
  }
  return k;
}

std::optional<InnerSolver::Kink> InnerSolver::kink(const At& from, const At& to, double tolerance) const {
  At a = from, b = to;
  double base = 0, part = 1;
  const auto place = [this](const At& x) {
    const Vec2 u = direction(x.turn, x.z);
    return Vec3{x.point.reach * u.x, x.point.reach * u.y, x.z};
  };
  // A branch may end between the points although a kink lies there: close in on the sharper half. Smooth turns shrink
  // with the distance, a kink keeps its angle.
  constexpr double kSmallestAngle = 0.01;
  const double closest = 2e-8 * wall_;
  for (int i = 0; i < 60; ++i) {
    const double bend = norm(a.point.normal - b.point.normal), chord = norm(place(a) - place(b));
    if (chord * bend < 4 * tolerance) {
      if (bend < kSmallestAngle || bend * wall_ < 10 * chord) return std::nullopt;
      if (chord < closest) return Kink{base + 0.5 * part, a.point, b.point};
    }
    bool one = false;
    if (auto k = tie(a, b, one)) {
      k->fraction = base + part * k->fraction;
      return k;
    }
    At m{0.5 * (a.turn + b.turn), 0.5 * (a.z + b.z), {}};
    const Vec2 u = direction(m.turn, m.z);
    m.point = solve(u, m.z);
    // One branch that is the nearest half way as well: a tight turn, not a kink.
    if (one && meets(a.point, u, m.z) && follow(a.point, u, m.z).reach < m.point.reach + kSame * wall_)
      return std::nullopt;
    part *= 0.5;
    if (norm(a.point.normal - m.point.normal) >= norm(m.point.normal - b.point.normal)) {
      b = m;
    } else {
      a = m;
      base += part;
    }
  }
  return std::nullopt;
}

std::vector<LevelBreak> InnerSolver::level_breaks() const {
  std::vector<LevelBreak> out;
  const Profile& p = form_->profile();
  for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    for (bool end : {false, true}) {
      if (end ? !s.level_end : !s.level_begin) continue;
      const ProfileJet j = p.at(k, s.begin + (end ? s.length : 0));
      const double z = j.rate.half_width < 0 ? j.z - wall_ : j.z + wall_;
      if (z > floor_ + nudge() && z < form_->high() - nudge()) out.push_back({z, s.level(), k});
    }
  }
  std::sort(out.begin(), out.end(),
            [](const LevelBreak& a, const LevelBreak& b) { return a.z < b.z || (a.z == b.z && a.jump && !b.jump); });
  const auto same = [this](const LevelBreak& a, const LevelBreak& b) { return b.z - a.z < 2e-7 * wall_; };
  for (std::size_t i = 1; i < out.size(); ++i)
    if (same(out[i - 1], out[i]) && out[i].jump) out[i - 1].jump = true, out[i - 1].span = out[i].span;
  out.erase(std::unique(out.begin(), out.end(), same), out.end());
  return out;
}

NarrowPlace InnerSolver::narrowest() const {
  NarrowPlace n{kInfinity, floor_};
  constexpr int kHeights = 40;
  const double lip = form_->high();
  const auto look = [&](double turn, double z) {
    const double r = solve(direction(turn, z), z).reach;
    if (r < n.reach) n = {r, z};
    return r;
  };
  for (double share : {0.0, 0.5, 1.0, 0.25, 0.75}) {
    if (share != 0.5 && share != std::round(share) && !form_->twisted()) continue;
    const double turn = share * sector();
    double least = kInfinity;
    int at = 0;
    for (int i = 0; i <= kHeights; ++i) {
      const double r = look(turn, floor_ + (lip - floor_) * i / kHeights);
      if (r < least) least = r, at = i;
    }
    double a = floor_ + (lip - floor_) * std::max(0, at - 1) / kHeights;
    double b = floor_ + (lip - floor_) * std::min(kHeights, at + 1) / kHeights;
    for (int k = 0; k < 16; ++k) {
      const double m1 = a + 0.382 * (b - a), m2 = a + 0.618 * (b - a);
      if (look(turn, m1) < look(turn, m2))
        b = m2;
      else
        a = m1;
    }
  }
  return n;
}

// Farthest that the outside between the feet of a kink lies from it: the clay is as thick as that.
double InnerSolver::thickness(Vec3 kink, const InnerPoint& a, const InnerPoint& b) const {
  const int round = form_->pieces();
  const double from = a.piece + a.v;
  double to = b.piece + b.v;
  // Around the shorter way.
  if (form_->twisted()) to -= round * std::round((to - from) / round);
  double most = 0;
  const auto look = [&](double f, double t) {
    double g = from + f * (to - from);
    if (form_->twisted()) g = std::fmod(g + round, round);
    const int piece = std::clamp(static_cast<int>(g), 0, round - 1);
    most = std::max(most, norm(form_->point(t, piece, g - piece) - kink));
  };
  constexpr int kLooks = 40;
  for (int i = 0; i <= kLooks; ++i) {
    const double f = static_cast<double>(i) / kLooks;
    look(f, a.t + f * (b.t - a.t));
  }
  for (const ProfileSpan& s : form_->profile().spans())
    if (s.corner_before && s.begin >= std::min(a.t, b.t) && s.begin <= std::max(a.t, b.t)) look(0.5, s.begin);
  return most;
}

// One entry for all corners of the section together, and one for each height where the inside is kinked all round; each
// with its thickest place.
void InnerSolver::add_trim(Vec3 kink, const InnerPoint& a, const InnerPoint& b) {
  const Vec3 bend = a.normal - b.normal;
  Trim trim{{std::hypot(kink.x, kink.y), kink.z}, false, std::abs(bend.z) < 0.5 * norm(bend), thickness(kink, a, b)};
  // Branches that differ by rounding alone: no thicker than the wall.
  constexpr double kThicker = 1.01;
  if (trim.thickness < kThicker * wall_) return;
  if (trim.upright) {
    upright_kinks_ = true;
  } else {
    for (const ProfileSpan& s : form_->profile().spans())
      if (s.corner_before && s.begin >= std::min(a.t, b.t) && s.begin <= std::max(a.t, b.t)) trim.corner = true;
  }
  for (Trim& known : trims_) {
    if (known.upright != trim.upright) continue;
    if (!trim.upright && std::abs(known.at.y - trim.at.y) > 2 * wall_) continue;
    trim.corner = trim.corner || known.corner;
    if (trim.thickness > known.thickness)
      known = trim;
    else
      known.corner = trim.corner;
    return;
  }
  trims_.push_back(trim);
}

// On a plane of symmetry the kink's other foot is the mirror image: a corner of the section on the axis.
void InnerSolver::look_at_edge(const At& x, bool begin) {
  constexpr double kEdge = 0.02;
  if (form_->twisted() || std::abs(begin ? x.point.normal.y : x.point.normal.x) < kEdge) return;
  const Vec2 u = direction(x.turn, x.z);
  InnerPoint end = x.point;
  end.piece = begin ? 0 : form_->pieces() - 1;
  end.v = begin ? 0 : 1;
  (begin ? end.normal.y : end.normal.x) *= -1;
  add_trim({x.point.reach * u.x, x.point.reach * u.y, x.z}, x.point, end);
}

void InnerSolver::find_trims() {
  if (regular_) return;
  constexpr int kHeights = 40;
  // Odd, so that no corner of a section lies on a line of its own.
  const int turns = form_->twisted() ? 17 : 9;
  const double worth_a_note = 0.003 * wall_;  // that a chord would cut off
  const double lip = form_->high();
  std::vector<At> before, row;
  const auto look = [&](const At& a, const At& b) {
    const auto found = kink(a, b, worth_a_note);
    if (!found) return;
    const double z = a.z + found->fraction * (b.z - a.z);
    const Vec2 u = direction(a.turn + found->fraction * (b.turn - a.turn), z);
    add_trim({found->first.reach * u.x, found->first.reach * u.y, z}, found->first, found->second);
  };
  for (int i = 0; i <= kHeights; ++i) {
    row.clear();
    const double z = floor_ + (lip - floor_) * i / kHeights;
    for (int k = 0; k <= turns; ++k) {
      At x{sector() * k / turns, z, {}};
      x.point = solve(direction(x.turn, z), z);
      row.push_back(x);
      if (k > 0) look(row[static_cast<std::size_t>(k) - 1], x);
      if (i > 0) look(before[static_cast<std::size_t>(k)], x);
    }
    look_at_edge(row.front(), true);
    look_at_edge(row.back(), false);
    before.swap(row);
  }
  // The rim of a level ceiling, behind the corner that its shoulder begins with.
  for (const LevelBreak& b : level_breaks()) {
    if (!b.jump) continue;
    const double t = form_->profile().spans()[static_cast<std::size_t>(b.span)].begin;
    for (int k = 0; k <= turns; ++k) {
      const double turn = sector() * k / turns;
      const Vec2 u = direction(turn, b.z);
      const InnerPoint rim = solve(u, b.z - nudge());
      if (solve(u, b.z + nudge()).reach > rim.reach - worth_a_note || rim.normal.z > 0.98 || rim.t > t) continue;
      InnerPoint above = rim;
      above.t = t, above.normal = {0, 0, 1};
      add_trim({rim.reach * u.x, rim.reach * u.y, b.z}, rim, above);
    }
  }
  std::sort(trims_.begin(), trims_.end(), [](const Trim& a, const Trim& b) { return a.at.y < b.at.y; });
}

}  // namespace kerfkiln::urn
