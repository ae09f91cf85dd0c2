// Where the search for the nearest ball of a ray begins, so that no branch of the inside is missed.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kStationsPerSpan = 8;
constexpr int kPlacesPerPiece = 12;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

}  // namespace

// Close enough together that every branch within a ball's reach of a ray has a sample within that reach as well, and
// that two branches beside each other have one each.
void InnerSolver::sample() {
  const auto& spans = form_->profile().spans();
  const int pieces = form_->pieces();
  const double girth = std::max(form_->max_width(), form_->max_depth());
  const int per_piece = std::clamp(static_cast<int>(std::ceil(0.5 * girth / (0.4 * wall_))), kPlacesPerPiece, 100);
  std::vector<FormPlace> places;
  for (int piece = 0; piece < pieces; ++piece)
    for (int q = 0; q <= per_piece; ++q) {
      places_.push_back({piece, static_cast<double>(q) / per_piece});
      places.push_back(form_->place(piece, places_.back().v));
    }
  int segment = 0;
  for (int k = 0; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    if (k > 0 && s.corner_before) ++segment;
    const double length =
        std::hypot(value(s.height, s.length) - s.height[0], value(s.half_width, s.length) - s.half_width[0]);
    const int per_span = std::clamp(static_cast<int>(std::ceil(length / (0.25 * wall_))), kStationsPerSpan, 600);
    // The end of a segment too.
    const bool ends = k + 1 == static_cast<int>(spans.size()) || spans[static_cast<std::size_t>(k) + 1].corner_before;
    const int n = ends ? per_span + 1 : per_span;
    for (int i = 0; i < n; ++i) {
      const double t = s.begin + s.length * i / per_span;
      const ProfileJet j = form_->profile().at(k, t);
      double nearest = kInfinity;
      const std::size_t first = samples_.size();
      for (const FormPlace& place : places) {
        const Vec3 p = form_->point_at(j, place);
        samples_.push_back({p.x, p.y});
        nearest = std::min(nearest, std::hypot(p.x, p.y));
        double turn = std::atan2(p.y, p.x);
        // Rising all round; an empty piece repeats its turn to rounding.
        if (samples_.size() > first + 1) {
          const double before = turns_.back();
          turn += 2 * std::numbers::pi * std::round((before - turn) / (2 * std::numbers::pi));
          turn = std::max(turn, before);
        }
        turns_.push_back(turn);
      }
      const double spread = nearest > wall_ ? std::asin(wall_ / nearest) + 1e-9 : 2 * std::numbers::pi;
      constexpr double kFlat = 0.4;  // slope
      const bool flat = j.z_t < kFlat * std::max(std::abs(j.rate.half_width), std::abs(j.rate.half_depth));
      stations_.push_back({j.z, t, k, segment, spread, flat});
    }
  }
}

// The runs of a station's places whose balls a ray in that turn may meet: those that stand aside by less than the wall.
template <class F>
void InnerSolver::each_run_beside(std::size_t station, double turn, F&& f) const {
  const double *begin = turns_.data() + station * places_.size(), *end = begin + places_.size();
  constexpr double kRound = 2 * std::numbers::pi;
  const double half = stations_[station].spread;
  // The places go round once at most; the ray's turn is looked for on either side of where they begin.
  turn += kRound * std::floor((*begin + half - turn) / kRound);
  for (; turn - half <= end[-1]; turn += kRound) {
    const double* from = std::lower_bound(begin, end, turn - half);
    const double* to = std::upper_bound(from, end, turn + half);
    if (from != to) f(static_cast<std::size_t>(from - begin), static_cast<std::size_t>(to - begin));
    if (half > std::numbers::pi) break;
  }
}

// Where a ray may be closed in first: of each segment's pieces the best sample, and samples that are better than those
// beside, below and above them, since one piece may have two such places. Of a sheet that is almost level the balls
// hardly touch a ray, and no sample's may: there it is the point straight above or below. Best first.
void InnerSolver::find_starts(Vec2 u, double z, std::vector<Start>& out) const {
  // Places of one station, with the entries of their balls.
  struct Run {
    std::size_t station = 0, from = 0, to = 0, entries = 0;
  };
  thread_local std::vector<Run> runs;
  thread_local std::vector<double> entries;
  constexpr std::size_t kPieces = 40;  // all round a sixteen-sided section
  const auto pieces = std::min(static_cast<std::size_t>(form_->pieces()), kPieces);
  const double turn = std::atan2(u.y, u.x);
  const auto lower = [](const Station& s, double height) { return s.z < height; };
  const auto first = std::lower_bound(stations_.begin(), stations_.end(), z - wall_, lower) - stations_.begin();
  std::array<Start, kPieces> best;
  for (auto i = static_cast<std::size_t>(first); i < stations_.size() && stations_[i].z < z + wall_;) {
    std::fill_n(best.begin(), pieces, Start{});
    Start above;
    runs.clear();
    entries.clear();
    const int segment = stations_[i].segment;
    for (; i < stations_.size() && stations_[i].z < z + wall_ && stations_[i].segment == segment; ++i) {
      const double rise = stations_[i].z - z, room = wall_ * wall_ - rise * rise;
      if (!(room > 0)) continue;
      const Vec2* samples = samples_.data() + i * places_.size();
      each_run_beside(i, turn, [&](std::size_t from, std::size_t to) {
        runs.push_back({i, from, to, entries.size()});
        double aside_before = 1, along_before = 0;
        for (std::size_t k = from; k < to; ++k) {
          const double aside = cross(u, samples[k]), along = dot(u, samples[k]), square = room - aside * aside;
          if (stations_[i].flat && aside_before <= 0 && aside >= 0 && along >= 0) {
            const double share = aside > aside_before ? aside / (aside - aside_before) : 0;
            const double e = along + share * (along_before - along) - std::sqrt(room);
            if (e < above.e) above = {e, i, k, true};
          }
          aside_before = aside, along_before = along;
          // Not those across the axis.
          const double e = square > 0 && along >= 0 ? along - std::sqrt(square) : kInfinity;
          entries.push_back(e);
          Start& b = best[std::min(static_cast<std::size_t>(places_[k].piece), pieces - 1)];
          if (e < b.e) b = {e, i, k};
        }
      });
    }
    if (above.e < kInfinity) out.push_back(above);
    for (std::size_t piece = 0; piece < pieces; ++piece)
      if (best[piece].e < kInfinity) out.push_back(best[piece]);
    for (const Run& run : runs) {
      const double* e = entries.data() + run.entries;
      const std::size_t n = run.to - run.from;
      for (std::size_t k = 0; k < n; ++k) {
        if (!(e[k] < kInfinity) || (k > 0 && e[k - 1] <= e[k]) || (k + 1 < n && e[k + 1] < e[k])) continue;
        // The same place and its neighbours, a station below and above.
        const std::size_t place = run.from + k;
        bool least = true;
        for (const Run& other : runs) {
          const bool below = other.station + 1 == run.station;
          if (!below && run.station + 1 != other.station) continue;
          const double* f = entries.data() + other.entries;
          for (std::size_t q = std::max(other.from, place > 0 ? place - 1 : 0); q < std::min(other.to, place + 2); ++q)
            least = least && (below ? f[q - other.from] > e[k] : f[q - other.from] >= e[k]);
        }
        const Start& b = best[std::min(static_cast<std::size_t>(places_[place].piece), pieces - 1)];
        if (least && !(b.station == run.station && b.place == place)) out.push_back({e[k], run.station, place});
      }
    }
  }
  std::sort(out.begin(), out.end(), [](const Start& a, const Start& b) {
    if (a.e != b.e) return a.e < b.e;
    return a.station != b.station ? a.station < b.station : a.place < b.place;
  });
}

InnerPoint InnerSolver::solve(Vec2 u, double z) const {
  if (regular_) return from_level_places(settle(direct(u, z), u, z), u, z);
  thread_local std::vector<Start> starts;
  starts.clear();
  find_starts(u, z, starts);
  InnerPoint best;
  best.reach = kInfinity;
  for (const Start& s : starts) {
    if (s.e > best.reach + wall_) break;
    const Station& station = stations_[s.station];
    InnerPoint x;
    x.span = station.span, x.t = station.t;
    x.piece = places_[s.place].piece, x.v = places_[s.place].v;
    x = settle(s.straight ? straight(u, station.span, station.t, 1e-14) : x, u, z);
    if (x.reach < best.reach) best = x;
  }
  if (!(best.reach < kInfinity)) best = settle(direct(u, z), u, z);
  return from_level_places(from_beside(best, u, z), u, z);
}

// A valley along a tight corner of the section can hold a second place that no sample tells from the first: where the
// foot is close to the end of its piece, the next piece is looked at from some way inside.
InnerPoint InnerSolver::from_beside(InnerPoint best, Vec2 u, double z) const {
  constexpr double kClose = 0.3, kInside = 0.35;  // of the wall
  constexpr double kLeast = 0.3, kMost = 0.7;     // of a piece
  const InnerPoint known = best;
  const int pieces = form_->pieces();
  const ProfileJet at = form_->profile().at(known.span, known.t);
  const auto speed = [&](int piece, double v) { return norm(form_->slopes_at(at, form_->place(piece, v)).p_v); };
  for (const bool on : {false, true}) {
    if ((on ? 1 - known.v : known.v) * speed(known.piece, known.v) > kClose * wall_) continue;
    int next = known.piece + (on ? 1 : -1);
    if (form_->twisted()) next = (next + pieces) % pieces;
    if (next < 0 || next >= pieces) continue;
    const double inside = kInside * wall_ / std::max(speed(next, 0.5), 1e-9 * wall_);
    InnerPoint x = known;
    x.piece = next;
    x.v = std::clamp(inside, kLeast, kMost);
    if (!on) x.v = 1 - x.v;
    x = settle(x, u, z);
    if (x.reach < best.reach) best = x;
  }
  return best;
}

// Just above a level ceiling the balls that close the ray in touch it in so small a disc that no sample need lie in it:
// the level places straight above are starts of their own, both ends of a level stretch.
InnerPoint InnerSolver::from_level_places(InnerPoint best, Vec2 u, double z) const {
  for (const LevelPlace& level : level_places_) {
    if (!(std::abs(level.z - z) < wall_)) continue;
    const InnerPoint x = settle(straight(u, level.span, level.t, 1e-14), u, z);
    if (x.reach < best.reach) best = x;
  }
  return best;
}

}  // namespace kerfkiln::urn
