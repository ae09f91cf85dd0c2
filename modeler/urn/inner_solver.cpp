#include "modeler/urn/inner_solver.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace kerfkiln::urn {
namespace {

constexpr int kStationsPerSpan = 8;
constexpr int kPlacesPerPiece = 12;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Entry of the ray (direction, z) into the ball about a point of the outside.
struct Entry {
  double e = kInfinity;
  Vec2 off;      // of the point from the ray: sideways, up
  double s = 0;  // half chord
};

Entry entry(Vec3 p, Vec2 u, double z, double wall) {
  Entry r;
  r.off = {u.x * p.y - u.y * p.x, p.z - z};
  const double square = wall * wall - dot(r.off, r.off);
  if (square <= 0) return r;
  r.s = std::sqrt(square);
  r.e = u.x * p.x + u.y * p.y - r.s;
  return r;
}

struct Model {
  double e = kInfinity, e_t = 0, e_v = 0, e_tt = 0, e_tv = 0, e_vv = 0;
};

Model model(const SurfaceJet& j, Vec2 u, double z, double wall) {
  Model m;
  const Entry r = entry(j.p, u, z, wall);
  m.e = r.e;
  if (r.e == kInfinity) return m;
  const auto along = [&](Vec3 d) { return u.x * d.x + u.y * d.y; };
  const auto aside = [&](Vec3 d) { return Vec2{u.x * d.y - u.y * d.x, d.z}; };
  const Vec2 ot = aside(j.p_t), ov = aside(j.p_v);
  const double pt = dot(r.off, ot) / r.s, pv = dot(r.off, ov) / r.s;
  m.e_t = along(j.p_t) + pt;
  m.e_v = along(j.p_v) + pv;
  m.e_tt = along(j.p_tt) + (dot(ot, ot) + dot(r.off, aside(j.p_tt)) + pt * pt) / r.s;
  m.e_tv = along(j.p_tv) + (dot(ot, ov) + dot(r.off, aside(j.p_tv)) + pt * pv) / r.s;
  m.e_vv = along(j.p_vv) + (dot(ov, ov) + dot(r.off, aside(j.p_vv)) + pv * pv) / r.s;
  return m;
}

// A step that goes down: Newton where the model is convex, else along the scaled slope.
void newton_step(const Model& m, bool move_t, bool move_v, double scale_t, double scale_v, double& dt, double& dv) {
  dt = dv = 0;
  if (move_t && move_v) {
    const double det = m.e_tt * m.e_vv - m.e_tv * m.e_tv;
    if (m.e_tt > 0 && det > 1e-14 * m.e_tt * std::abs(m.e_vv)) {
      dt = (-m.e_t * m.e_vv + m.e_v * m.e_tv) / det;
      dv = (-m.e_v * m.e_tt + m.e_t * m.e_tv) / det;
      return;
    }
  }
  if (move_t) dt = m.e_tt > 0 ? -m.e_t / m.e_tt : std::copysign(0.1 * scale_t, -m.e_t);
  if (move_v) dv = m.e_vv > 0 ? -m.e_v / m.e_vv : std::copysign(0.1 * scale_v, -m.e_v);
}

}  // namespace

InnerSolver::InnerSolver(const Form& form, double wall, double floor) : form_(std::make_shared<const Form>(form)), wall_(wall), floor_(floor) {
  sample();
  judge();
}

void InnerSolver::sample() {
  const auto& spans = form_->profile().spans();
  const int pieces = form_->section().pieces;
  places_ = static_cast<std::size_t>(pieces * (kPlacesPerPiece + 1));
  for (int k = 0; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    // The end of the last span too: it is the lip.
    const int n = k + 1 == static_cast<int>(spans.size()) ? kStationsPerSpan + 1 : kStationsPerSpan;
    for (int i = 0; i < n; ++i) {
      const double t = s.begin + s.length * i / kStationsPerSpan;
      const ProfileJet j = form_->profile().at(k, t);
      stations_.push_back(j.z);
      for (int piece = 0; piece < pieces; ++piece)
        for (int q = 0; q <= kPlacesPerPiece; ++q) {
          const double v = static_cast<double>(q) / kPlacesPerPiece;
          const Vec2 p = form_->section().point(j.size, piece, v);
          samples_.push_back({{p.x, p.y, j.z}, k, piece, t, v});
        }
    }
  }
}

// The point of the outside that the ray itself meets: always a valid start.
InnerPoint InnerSolver::direct(Vec2 u, double z) const {
  InnerPoint x;
  x.t = form_->profile().at_height(z);
  x.span = form_->profile().span_of(x.t);
  const SectionSize size = form_->profile().at(x.span, x.t).size;
  const SectionType& type = form_->section();
  const auto side = [&](int piece, double v) { return cross(u, type.point(size, piece, v)); };
  for (x.piece = 0; x.piece + 1 < type.pieces && side(x.piece, 1) < 0; ++x.piece) {
  }
  double lo = 0, hi = 1, flo = side(x.piece, 0), fhi = side(x.piece, 1);
  if (flo >= 0) {
    x.v = 0;
  } else if (fhi <= 0) {
    x.v = 1;
  } else {
    // Only a start: a few steps of false position are near enough.
    for (int i = 0; i < 8 && hi - lo > 1e-6; ++i) {
      const double m = std::clamp(lo - flo * (hi - lo) / (fhi - flo), lo + 0.02 * (hi - lo), hi - 0.02 * (hi - lo));
      const double f = side(x.piece, m);
      (f < 0 ? lo : hi) = m;
      (f < 0 ? flo : fhi) = f;
    }
    x.v = lo - flo * (hi - lo) / (fhi - flo);
  }
  return x;
}

// Projected Newton inside one span and piece. True when the foot moved.
bool InnerSolver::descend(InnerPoint& x, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
  const double t0 = s.begin, t1 = s.begin + s.length;
  const double from_t = x.t, from_v = x.v;
  Model m = model(form_->jet(profile.at(x.span, x.t), x.piece, x.v), u, z, wall_);
  if (m.e == kInfinity) return false;
  for (int i = 0; i < 60; ++i) {
    const bool move_t = !((x.t <= t0 && m.e_t > 0) || (x.t >= t1 && m.e_t < 0));
    const bool move_v = m.e_vv != 0 && !((x.v <= 0 && m.e_v > 0) || (x.v >= 1 && m.e_v < 0));
    double dt, dv;
    newton_step(m, move_t, move_v, s.length, 1, dt, dv);
    if (std::abs(dt) <= 1e-15 * s.length && std::abs(dv) <= 1e-15) break;
    bool better = false;
    for (int cut = 0; cut < 30; ++cut, dt *= 0.4, dv *= 0.4) {
      const double t = std::clamp(x.t + dt, t0, t1), v = std::clamp(x.v + dv, 0.0, 1.0);
      const Model next = model(form_->jet(profile.at(x.span, t), x.piece, v), u, z, wall_);
      const double drop = m.e - next.e;
      if (!(next.e <= m.e)) continue;
      better = drop > 0;
      // At rounding level the slope still improves the foot although the value no longer does.
      const bool near = cut == 0 && drop == 0 &&
                        next.e_t * next.e_t * s.length * s.length + next.e_v * next.e_v <
                            m.e_t * m.e_t * s.length * s.length + m.e_v * m.e_v;
      better = better || near;
      if (better) x.t = t, x.v = v, m = next;
      break;
    }
    if (!better) break;
  }
  x.reach = m.e;
  return x.t != from_t || x.v != from_v;
}

// Descends across spans and pieces until no neighbour goes further down.
InnerPoint InnerSolver::settle(InnerPoint x, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const int spans = static_cast<int>(profile.spans().size()), pieces = form_->section().pieces;
  x.reach = kInfinity;
  descend(x, u, z);
  const auto goes_down = [&](InnerPoint& y) {
    const double before = x.reach;
    y.reach = kInfinity;
    descend(y, u, z);
    return y.reach < before - 1e-13 * (1 + std::abs(before));
  };
  for (int hop = 0; hop < 40; ++hop) {
    const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
    bool moved = false;
    const auto attempt = [&](InnerPoint y) {
      if (!moved && goes_down(y)) x = y, moved = true;
    };
    if (x.t <= s.begin && x.span > 0) {
      InnerPoint y = x;
      --y.span;
      attempt(y);
    }
    if (x.t >= s.begin + s.length && x.span + 1 < spans) {
      InnerPoint y = x;
      ++y.span;
      y.t = profile.spans()[static_cast<std::size_t>(y.span)].begin;
      attempt(y);
    }
    // A piece may be empty here (no flat left, no radius): look past it.
    for (int step = 1; step < pieces && !moved; ++step) {
      if (x.v <= 0 && x.piece - step >= 0) {
        InnerPoint y = x;
        y.piece -= step, y.v = 1;
        attempt(y);
      }
      if (!moved && x.v >= 1 && x.piece + step < pieces) {
        InnerPoint y = x;
        y.piece += step, y.v = 0;
        attempt(y);
      }
    }
    if (!moved) break;
  }
  const Vec3 p = form_->point(x.t, x.piece, x.v);
  x.normal = (p - Vec3{x.reach * u.x, x.reach * u.y, z}) / wall_;
  return x;
}

InnerPoint InnerSolver::follow(const InnerPoint& from, Vec2 u, double z) const {
  // A start outside the balls' reach has no value to descend from: begin at the direct point then.
  if (entry(form_->point(from.t, from.piece, from.v), u, z, wall_).e == kInfinity) return settle(direct(u, z), u, z);
  return settle(from, u, z);
}

InnerPoint InnerSolver::solve(Vec2 u, double z) const {
  InnerPoint best = settle(direct(u, z), u, z);
  if (regular_) return best;
  const auto first = std::lower_bound(stations_.begin(), stations_.end(), z - wall_) - stations_.begin();
  const auto last = std::upper_bound(stations_.begin(), stations_.end(), z + wall_) - stations_.begin();
  const Sample* guess = nullptr;
  double least = kInfinity;
  for (auto i = static_cast<std::size_t>(first) * places_; i < static_cast<std::size_t>(last) * places_; ++i) {
    const double e = entry(samples_[i].at, u, z, wall_).e;
    if (e < least) least = e, guess = &samples_[i];
  }
  if (!guess) return best;
  InnerPoint x;
  x.span = guess->span, x.piece = guess->piece, x.t = guess->t, x.v = guess->v;
  const InnerPoint other = settle(x, u, z);
  return other.reach < best.reach ? other : best;
}

InnerPoint InnerSolver::reach(double turn, double z) const {
  const double c = std::cos(turn), s = std::sin(turn);
  InnerPoint x = solve({std::abs(c), std::abs(s)}, z);
  x.normal.x = std::copysign(x.normal.x, c);
  x.normal.y = std::copysign(x.normal.y, s);
  return x;
}

std::optional<InnerSolver::Kink> InnerSolver::kink(const InnerPoint& a, double turn_a, double za, const InnerPoint& b,
                                                   double turn_b, double zb) const {
  // Branches tie within this distance: they are the same or about to join.
  constexpr double kTie = 1e-9;
  const auto direction = [&](double f) {
    const double turn = turn_a + f * (turn_b - turn_a);
    return Vec2{std::cos(turn), std::sin(turn)};
  };
  const auto height = [&](double f) { return za + f * (zb - za); };
  Kink k;
  k.first = follow(a, direction(1), height(1));
  if (k.first.reach < b.reach + kTie) return std::nullopt;
  k.second = follow(b, direction(0), height(0));
  if (k.second.reach < a.reach + kTie) return std::nullopt;
  // Illinois false position on the difference of the two branches.
  double lo = 0, hi = 1, flo = a.reach - k.second.reach, fhi = k.first.reach - b.reach;
  InnerPoint at_a = a, at_b = b;
  for (int i = 0; i < 60 && hi - lo > 1e-12; ++i) {
    const double f = std::clamp((lo * fhi - hi * flo) / (fhi - flo), lo + 0.01 * (hi - lo), hi - 0.01 * (hi - lo));
    k.first = follow(at_a, direction(f), height(f));
    k.second = follow(at_b, direction(f), height(f));
    const double g = k.first.reach - k.second.reach;
    k.fraction = f;
    if (std::abs(g) < 1e-11) break;
    if (g < 0) {
      lo = f, flo = g, fhi *= 0.5, at_a = k.first;
    } else {
      hi = f, fhi = g, flo *= 0.5, at_b = k.second;
    }
  }
  return k;
}

OffsetJet InnerSolver::offset(int span, double t, int piece, double v) const {
  const SurfaceJet j = form_->jet(form_->profile().at(span, t), piece, v);
  const Vec3 big = cross(j.p_v, j.p_t);
  const double length = norm(big);
  OffsetJet o;
  o.normal = big / length;
  const auto turn = [&](Vec3 d) { return (d - dot(d, o.normal) * o.normal) / length; };
  o.normal_t = turn(cross(j.p_tv, j.p_t) + cross(j.p_v, j.p_tt));
  o.normal_v = turn(cross(j.p_vv, j.p_t) + cross(j.p_v, j.p_tv));
  o.at = j.p - wall_ * o.normal;
  o.at_t = j.p_t - wall_ * o.normal_t;
  o.at_v = j.p_v - wall_ * o.normal_v;
  return o;
}

NarrowPlace InnerSolver::narrowest() const {
  NarrowPlace n{kInfinity, floor_};
  constexpr int kHeights = 40;
  const double lip = form_->high();
  const auto look = [&](double turn, double z) {
    const double r = reach(turn, z).reach;
    if (r < n.reach) n = {r, z};
    return r;
  };
  for (double turn : {0.0, std::numbers::pi / 4, std::numbers::pi / 2}) {
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
      if (look(turn, m1) < look(turn, m2)) b = m2;
      else a = m1;
    }
  }
  return n;
}

std::vector<Trim> InnerSolver::trims() const {
  std::vector<Trim> found;
  if (regular_) return found;
  constexpr int kHeights = 48, kTurns = 8;
  const double lip = form_->high();
  const auto at = [&](int i) { return floor_ + (lip - floor_) * i / kHeights; };
  const auto apart = [&](const InnerPoint& a, const InnerPoint& b, Vec2 u, double z) {
    return follow(a, u, z).reach > b.reach + 1e-6;
  };
  std::vector<InnerPoint> before;
  bool upright = false;
  for (int i = 0; i <= kHeights; ++i) {
    std::vector<InnerPoint> row;
    bool level = false;
    for (int k = 0; k <= kTurns; ++k) {
      const double turn = std::numbers::pi / 2 * k / kTurns;
      const Vec2 u{std::cos(turn), std::sin(turn)};
      row.push_back(solve(u, at(i)));
      if (i > 0 && !level && apart(before[static_cast<std::size_t>(k)], row.back(), u, at(i))) {
        level = true;
        Trim trim{{row.back().reach, at(i)}, false};
        for (const ProfileSpan& s : form_->profile().spans())
          if (s.corner_before && s.begin >= before[static_cast<std::size_t>(k)].t && s.begin <= row.back().t)
            trim.corner = true;
        if (found.empty() || at(i) - found.back().at.y > wall_) found.push_back(trim);
      }
      if (k > 0 && !upright && apart(row[static_cast<std::size_t>(k) - 1], row.back(), u, at(i))) {
        upright = true;
        found.push_back({{row.back().reach, at(i)}, false});
      }
    }
    before = std::move(row);
  }
  return found;
}

}  // namespace kerfkiln::urn
