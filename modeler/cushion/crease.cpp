#include "modeler/cushion/crease.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "modeler/cushion/crease_allowance.hpp"
#include "modeler/cushion/crease_draft.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/drop.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

// Reference part 4, common practice.
constexpr double kFloorMm = 20, kEdgeMm = 40, kSpacingMm = 60, kShortMm = 5;
constexpr double kRestMm = 15;      // stretches shorter than this are left out
constexpr double kSteepest = 0.27;  // tangent of the flattest angle at which a crease may cross the edge

std::string place_text(Vec2 p) { return "(" + number_text(p.x, 1) + ", " + number_text(p.y, 1) + ") mm"; }

// A draft fitted to the core: where its path runs in the foam.
struct Fitted {
  CreaseDraft draft;
  Crease crease;
  CreasePath path;
  double from = 0, to = 0;  // lengths between which it lies in the foam
  bool out_at_start = false, out_at_end = false;
  std::vector<std::pair<double, double>> gaps;  // taken by creases that go through
  bool crossed = false;
};

class Fitter {
 public:
  Fitter(const Form& form, Findings& out) : form_(form), outline_(form.outline()), out_(out) {}

  // The stretch of the path within the core, ends extended past the outline where they run out.
  bool fit(Fitted& f) {
    const std::string& field = f.crease.field;
    f.path = CreasePath(f.draft.path, f.draft.closed);
    if (crosses_itself(f)) return false;
    std::vector<double> at = meetings_with_outline(f.path);
    const auto inside = [&](double a, double b) { return plane::contains(outline_, f.path.point((a + b) / 2)); };
    if (f.draft.closed) {
      if (!at.empty() || !plane::contains(outline_, f.path.point(0)))
        return complain("crease.outside", field,
                        "a closed crease leaves the foam at " + place_text(f.path.point(at.empty() ? 0 : at[0])),
                        "keep closed creases within the core");
      f.to = f.path.length();
      return true;
    }
    at.insert(at.begin(), 0);
    at.push_back(f.path.length());
    std::vector<std::pair<double, double>> in;
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {
      if (at[i + 1] - at[i] < 1e-6 || !inside(at[i], at[i + 1])) continue;
      if (!in.empty() && at[i] - in.back().second < 1e-6)
        in.back().second = at[i + 1];
      else
        in.push_back({at[i], at[i + 1]});
    }
    if (in.empty())
      return complain("crease.outside", field,
                      "no part of the crease lies in the foam, from " + place_text(f.path.point(0)) + " on",
                      "move it into the outline");
    if (in.size() > 1)
      return complain("crease.outside", field,
                      "the crease leaves the foam and comes back, first at " + place_text(f.path.point(in[0].second)),
                      "make two creases of it");
    f.from = in[0].first;
    f.to = in[0].second;
    // What lies past the edge is no matter as long as it is meant as an end.
    for (const double over : {f.from, f.path.length() - f.to})
      if (over > kPastMm)
        return complain(
            "crease.outside", field,
            "the crease runs on for " + mm_text(over) + " outside the foam; permitted is " + mm_text(kPastMm),
            "end it nearer to the edge");
    if (!end(f, true) || !end(f, false)) return false;
    if (f.to - f.from >= 2 * f.crease.width_mm && f.to - f.from >= kRestMm) return true;
    return complain("crease.short", field,
                    "only " + mm_text(f.to - f.from) + " of the crease lie in the foam; permitted is " +
                        mm_text(std::max(2 * f.crease.width_mm, kRestMm)) + " or more",
                    "make it longer or leave it out");
  }

 private:
  static constexpr double kPastMm = 150, kEndMm = 10;

  bool complain(const std::string& code, const std::string& field, const std::string& message,
                const std::string& remedy) {
    out_.push_back(error(code, field, message, remedy));
    return false;
  }
  bool crosses_itself(const Fitted& f) {
    const auto& c = f.path.curves();
    for (std::size_t i = 0; i < c.size(); ++i)
      for (std::size_t j = i + 1; j < c.size(); ++j) {
        const plane::Meetings m = plane::meetings(c[i], c[j]);
        const bool next = j == i + 1 || (f.draft.closed && i == 0 && j + 1 == c.size());
        for (int k = 0; k < m.count; ++k) {
          const plane::Meeting& x = m.list[static_cast<std::size_t>(k)];
          const bool joint = next && ((c[i].length - x.on_first < 1e-6 && x.on_second < 1e-6) ||
                                      (x.on_first < 1e-6 && c[j].length - x.on_second < 1e-6));
          if (joint) continue;
          complain("crease.itself", f.crease.field, "the crease crosses itself at " + place_text(x.at),
                   "make two creases of it");
          return true;
        }
      }
    return false;
  }
  std::vector<double> meetings_with_outline(const CreasePath& path) const {
    std::vector<double> at;
    const auto meet = [&](const plane::Loop& loop) {
      for (std::size_t k = 0; k < loop.size(); ++k) {
        const plane::Curve edge = plane::curve(plane::segment(loop, k));
        for (std::size_t i = 0; i < path.curves().size(); ++i) {
          const plane::Meetings m = plane::meetings(path.curves()[i], edge);
          for (int j = 0; j < m.count; ++j)
            at.push_back(path.start_of(i) + m.list[static_cast<std::size_t>(j)].on_first);
        }
      }
    };
    meet(outline_.outer);
    for (const plane::Loop& hole : outline_.holes) meet(hole);
    std::sort(at.begin(), at.end());
    return at;
  }

  // Does the crease stop inside here, or run out over the edge?
  bool end(Fitted& f, bool start) {
    const double s = start ? f.from : f.to;
    const Vec2 p = f.path.point(s);
    const bool outside = start ? f.from > 0 : f.to < f.path.length();
    const double away = outside ? 0 : plane::nearest(outline_, p).distance;
    if (!outside && away > kEndMm + f.crease.width_mm / 2) return true;
    const Vec2 way = start ? -f.path.tangent(s) : f.path.tangent(s);
    if (!outside && away > 1e-6)
      out_.push_back(warning("crease.end", f.crease.field,
                             "the crease ends " + mm_text(away) + " inside the edge at " + place_text(p) +
                                 ", which leaves a web too thin to stay: it is cut out over the edge",
                             "end it past the outline, or " + mm_text(kEdgeMm) + " or more before the edge"));
    // Along the tangent to the edge, and past it by as much as the slant of the edge asks.
    double exit = 0;
    Vec2 edge_way = left(way);
    if (!outside) {
      const plane::Curve ray = plane::curve({p, p + 400 * way, 0});
      exit = INFINITY;
      const auto meet = [&](const plane::Loop& loop) {
        for (std::size_t k = 0; k < loop.size(); ++k) {
          const plane::Curve c = plane::curve(plane::segment(loop, k));
          const plane::Meetings m = plane::meetings(ray, c);
          for (int j = 0; j < m.count; ++j) exit = std::min(exit, m.list[static_cast<std::size_t>(j)].on_first);
        }
      };
      meet(outline_.outer);
      for (const plane::Loop& hole : outline_.holes) meet(hole);
      if (exit > 4 * (kEndMm + f.crease.width_mm)) exit = INFINITY;
    }
    if (exit < INFINITY) {
      const plane::Nearest n = plane::nearest(outline_, p + exit * way);
      const plane::Loop& loop = n.loop == 0 ? outline_.outer : outline_.holes[static_cast<std::size_t>(n.loop - 1)];
      edge_way = plane::segment(loop, static_cast<std::size_t>(n.segment)).tangent(n.t);
    }
    const double slant = std::abs(cross(way, edge_way)) / std::max(std::abs(dot(way, edge_way)), 1e-9);
    if (!(exit < INFINITY) || slant < kSteepest)
      return complain("crease.outside", f.crease.field,
                      "the crease runs along the edge near " + place_text(p) + " instead of over it",
                      "let it cross the edge more squarely, or end it inside");
    double past = f.crease.width_mm / 2 / slant + 0.2 * f.crease.width_mm + 2;
    for (int tries = 0; tries < 4; ++tries, past *= 2) {
      const Vec2 e = p + (exit + past) * way, n = f.crease.width_mm / 2 * left(way);
      bool clear = true;
      for (double share : {-1.0, -0.5, 0.0, 0.5, 1.0}) {
        const Vec2 q = e + share * n;
        clear = clear && !plane::contains(outline_, q) && plane::nearest(outline_, q).distance > 1;
      }
      if (!clear) continue;
      extend(f, start, s, e, exit);
      return true;
    }
    return complain("crease.outside", f.crease.field,
                    "the crease does not come clear of the foam past the edge near " + place_text(p),
                    "let it cross the edge where the outline is straighter, or end it inside");
  }
  void extend(Fitted& f, bool start, double s, Vec2 e, double exit) {
    plane::Loop chain = start ? f.path.part(s, f.path.length()) : f.path.part(0, s);
    const double added = norm(e - f.path.point(s));
    if (start) {
      chain.insert(chain.begin(), {e, 0, 0});
      f.to += added - f.from;
      f.from = added - exit;
      f.out_at_start = true;
    } else {
      chain.back().bulge = 0;
      chain.push_back({e, 0, 0});
      f.to = s + exit;
      f.out_at_end = true;
    }
    f.path = CreasePath(chain, false);
  }

  const Form& form_;
  const plane::Outline& outline_;
  Findings& out_;
};

// Where the lesser of two creases would meet the one that goes through it stops short.
class Crossings {
 public:
  Crossings(std::vector<Fitted>& list, Findings& out) : list_(list), out_(out) {}

  void run() {
    std::vector<std::size_t> order(list_.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return list_[a].crease.depth_mm > list_[b].crease.depth_mm; });
    int parted = 0;
    std::string first;
    for (std::size_t i = 0; i < order.size(); ++i)
      for (std::size_t j = i + 1; j < order.size(); ++j) {
        if (!part(list_[order[i]], list_[order[j]])) continue;
        if (parted++ == 0) first = list_[order[j]].crease.name + " stops at " + list_[order[i]].crease.name;
      }
    if (parted > 0)
      out_.push_back(note("crease.crossing", "creases",
                          std::to_string(parted) + (parted == 1 ? " crossing" : " crossings") +
                              " of creases: the deeper one is cut through, of equal depths the first in the list; the "
                              "other stops " +
                              mm_text(kShortMm) + " short on both sides, its tape in pieces that butt (" + first + ")",
                          "order the list, or change a depth, if the other one should go through"));
  }

 private:
  bool part(Fitted& through, Fitted& other) {
    const double half = other.crease.width_mm / 2, clear = through.crease.width_mm / 2 + kShortMm;
    if (apart(through, other, clear + half)) return false;
    bool found = false;
    const auto near = [&](double s) { return through.path.nearest(other.path.point(s)); };
    // Square ends come nearer to a slanting wall than their middle does.
    const auto wanted = [&](double s, const CreasePath::Near& n) {
      return clear + half * std::abs(dot(other.path.tangent(s), through.path.tangent(n.s)));
    };
    for (double s = other.from;; s = std::min(s + clear / 2, other.to)) {
      const bool gone = std::any_of(other.gaps.begin(), other.gaps.end(),
                                    [&](const auto& g) { return g.first <= s && s <= g.second; });
      const CreasePath::Near n = near(s);
      if (!gone && n.distance < wanted(s, n)) {
        found = true;
        const double a = leave(other, s, -1, wanted(s, n), near), b = leave(other, s, 1, wanted(s, n), near);
        other.gaps.push_back({a, b});
        s = std::max(s, b);
      }
      if (s >= other.to) break;
    }
    through.crossed = through.crossed || found;
    other.crossed = other.crossed || found;
    return found;
  }
  static bool apart(const Fitted& a, const Fitted& b, double margin) {
    const auto box = [](const Fitted& f) {
      plane::Box all{{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
      for (const plane::Curve& c : f.path.curves()) {
        const plane::Box one = plane::box(c, 0);
        all = {{std::min(all.low.x, one.low.x), std::min(all.low.y, one.low.y)},
               {std::max(all.high.x, one.high.x), std::max(all.high.y, one.high.y)}};
      }
      return all;
    };
    const plane::Box p = box(a), q = box(b);
    return p.low.x > q.high.x + margin || q.low.x > p.high.x + margin || p.low.y > q.high.y + margin ||
           q.low.y > p.high.y + margin;
  }
  // From s on, where the distance wanted is reached, or the end.
  template <class Near>
  static double leave(const Fitted& f, double s, int way, double wanted, const Near& near) {
    const double end = way > 0 ? f.to : f.from, step = std::max(0.5, wanted / 4);
    double in = s, out = s;
    while (near(out).distance < wanted) {
      in = out;
      if (out == end) return end;
      out = way > 0 ? std::min(out + step, end) : std::max(out - step, end);
    }
    for (int i = 0; i < 50 && std::abs(out - in) > 1e-9; ++i) {
      const double mid = (in + out) / 2;
      (near(mid).distance < wanted ? in : out) = mid;
    }
    return out;
  }

  std::vector<Fitted>& list_;
  Findings& out_;
};

// Runs, strips, tapes and floors of one fitted crease.
class Finisher {
 public:
  Finisher(const Form& form, Findings& out) : form_(form), out_(out) {}

  bool finish(Fitted& f) {
    std::sort(f.gaps.begin(), f.gaps.end());
    // Past the edge at the ends that run out.
    const double first = f.out_at_start ? 0 : f.from, last = f.out_at_end ? f.path.length() : f.to;
    double from = first;
    std::vector<std::pair<double, double>> parts;
    for (const auto& [a, b] : f.gaps) {
      if (a > from) parts.push_back({from, a});
      from = std::max(from, b);
    }
    if (from < last) parts.push_back({from, last});
    for (const auto& [a, b] : parts) {
      const double in = std::min(b, f.to) - std::max(a, f.from);
      if (in < kRestMm) {
        if (!f.draft.pattern && in > 0)
          out_.push_back(note("crease.rest", f.crease.field,
                              "a stretch of " + mm_text(in) + " near " + place_text(f.path.point((a + b) / 2)) +
                                  " between other creases is not cut",
                              "move the crossings farther apart if it should be"));
        continue;
      }
      if (!add_run(f, a, b)) return false;
    }
    return true;
  }

 private:
  bool add_run(Fitted& f, double a, double b) {
    CreaseRun run;
    const bool whole = f.draft.closed && f.gaps.empty();
    const CreasePath cut = whole ? f.path : CreasePath(f.path.part(a, b), false);
    std::optional<plane::Outline> strip = strip_along(cut, f.crease.width_mm);
    if (strip && !(plane::area(*strip) > 0 && plane::check_outline(*strip).empty())) strip.reset();
    if (!strip) {
      out_.push_back(error("crease.bend", f.crease.field,
                           f.crease.name + " bends too tightly for a cut " + mm_text(f.crease.width_mm) +
                               " wide near " + place_text(cut.point(cut.length() / 2)),
                           "use wider bends, longer stretches or a narrower cut"));
      return false;
    }
    run.strip = std::move(*strip);
    run.closed = whole;
    run.out_at_start = f.out_at_start && a < f.from;
    run.out_at_end = f.out_at_end && b > f.to;
    const double low = std::max(a, f.from), high = std::min(b, f.to);
    run.path = whole ? f.draft.path : f.path.part(low, high);
    run.tape_mm = tape_length(f.crease, CreasePath(run.path, whole));
    f.crease.runs.push_back(std::move(run));
    return true;
  }

  // A tape on edge lies at the longer wall, one that lies flat along the middle. Floors are the surface moved down, so
  // both are as long as the surface above them.
  double tape_length(const Crease& c, const CreasePath& path) const {
    if (c.trench) return length_over(path, 0);
    return std::max(length_over(path, c.width_mm / 2), length_over(path, -c.width_mm / 2));
  }
  double length_over(const CreasePath& path, double aside) const {
    double sum = 0;
    for (std::size_t i = 0; i < path.curves().size(); ++i) {
      const plane::Curve& c = path.curves()[i];
      const auto at = [&](double s) {
        const Vec2 p = plane::at_length(c, s) + aside * left(plane::tangent_at_length(c, s));
        return Vec3{p.x, p.y, form_.z_top(p)};
      };
      // Stretches no longer than an edge profile's run, so that none is overlooked.
      const int n = 1 + static_cast<int>(c.length / 16);
      for (int k = 0; k < n; ++k) {
        const double a = c.length * k / n, b = c.length * (k + 1) / n;
        sum += chord(at, a, b, at(a), at(b), 1e-10 * c.length / n + 1e-9, 0);
      }
    }
    return sum;
  }
  // Chords halved until Richardson's extrapolation from them agrees.
  template <class At>
  static double chord(const At& at, double a, double b, Vec3 pa, Vec3 pb, double tolerance, int depth) {
    const double m = (a + b) / 2;
    const Vec3 pm = at(m), pq = at((a + m) / 2), pr = at((m + b) / 2);
    const double one = norm(pb - pa), two = norm(pm - pa) + norm(pb - pm);
    const double four = norm(pq - pa) + norm(pm - pq) + norm(pr - pm) + norm(pb - pr);
    const double better = four + (four - two) / 3, good = two + (two - one) / 3;
    if (depth > 40 || (std::abs(better - good) < tolerance && (depth > 0 || four - one < tolerance))) return better;
    return chord(at, a, m, pa, pm, tolerance / 1.4, depth + 1) + chord(at, m, b, pm, pb, tolerance / 1.4, depth + 1);
  }

  const Form& form_;
  Findings& out_;
};

// Clearances that practice asks for.
class Clearances {
 public:
  Clearances(const Form& form, Findings& out) : form_(form), out_(out) {}

  // Precondition: runs. False where the crease goes through the foam.
  bool floor(Crease& c) {
    c.floor_min_mm = INFINITY;
    for (const CreaseRun& r : c.runs) {
      const CreasePath path(r.path, r.closed);
      const int n = 2 + static_cast<int>(path.length() / 3);
      for (int i = 0; i <= n; ++i)
        for (double side : {-0.5, 0.0, 0.5}) {
          const double s = path.length() * i / n;
          const Vec2 p = path.point(s) + side * c.width_mm * left(path.tangent(s));
          if (!plane::contains(form_.outline(), p)) continue;
          const double left_mm = form_.z_top(p) - c.depth_mm - form_.z_bottom(p);
          if (left_mm >= c.floor_min_mm) continue;
          c.floor_min_mm = left_mm;
          c.floor_min_at = p;
        }
    }
    if (c.floor_min_mm < kThroughMm) {
      out_.push_back(error(
          "crease.through", c.field + "/depth",
          c.name + ", " + mm_text(c.depth_mm) + " deep, " +
              (c.floor_min_mm > 0 ? "leaves only " + mm_text(c.floor_min_mm) + " of foam" : "goes through the foam") +
              " at " + place_text(c.floor_min_at) + "; permitted there is " +
              mm_text(std::max(0.0, c.depth_mm + c.floor_min_mm - kFloorMm)) + " or less, which leaves " +
              mm_text(kFloorMm),
          "make the crease shallower, end it before the edge or give the edge a smaller drop"));
      return false;
    }
    if (c.floor_min_mm < kFloorMm)
      out_.push_back(warning("crease.floor", c.field + "/depth",
                             c.name + " leaves " + mm_text(c.floor_min_mm) + " of foam under its floor at " +
                                 place_text(c.floor_min_at) + "; " + mm_text(kFloorMm) + " or more should stay",
                             "make the crease shallower or the foam thicker"));
    if (c.depth_mm > form_.height() / 2)
      out_.push_back(warning("crease.deep", c.field + "/depth",
                             c.name + " is " + mm_text(c.depth_mm) +
                                 " deep; practice stays below half the thickness, " + mm_text(form_.height() / 2),
                             "make the crease shallower or the foam thicker"));
    return true;
  }

  void edge(const Crease& c) {
    double least = INFINITY;
    Vec2 where;
    for (const CreaseRun& r : c.runs) {
      const CreasePath path(r.path, r.closed);
      const int n = 2 + static_cast<int>(path.length() / 5);
      for (int i = 0; i <= n; ++i) {
        const double s = path.length() * i / n, free = 1.5 * (kEdgeMm + form_.inset(Sheet::top));
        if ((r.out_at_start && s < free) || (r.out_at_end && path.length() - s < free)) continue;
        const Vec2 p = path.point(s);
        const plane::Nearest near = plane::nearest(form_.outline(), p);
        const plane::Loop& loop =
            near.loop == 0 ? form_.outline().outer : form_.outline().holes[static_cast<std::size_t>(near.loop - 1)];
        const int side = loop[static_cast<std::size_t>(near.segment)].side;
        const double start = near.distance - form_.edges(Sheet::top).of(side).inset - c.width_mm / 2;
        if (start >= least) continue;
        least = start;
        where = p;
      }
    }
    if (least >= kEdgeMm) return;
    out_.push_back(warning("crease.edge", c.field,
                           c.name + " comes within " + mm_text(std::max(least, 0.0)) +
                               " of where the rounding of the edge begins at " + place_text(where) + "; " +
                               mm_text(kEdgeMm) + " or more should stay",
                           "move it inward, or run it out squarely over the edge"));
  }

  void spacing(const std::vector<Fitted>& list) {
    for (std::size_t i = 0; i < list.size(); ++i)
      for (std::size_t j = i + 1; j < list.size(); ++j) {
        const Crease &a = list[i].crease, &b = list[j].crease;
        if (list[i].draft.pattern && list[j].draft.pattern && a.field == b.field && told(a.field)) continue;
        if (list[i].crossed && list[j].crossed) continue;
        Vec2 where;
        const double least = distance(list[i], list[j], where);
        if (least >= kSpacingMm) continue;
        told_.push_back(a.field);
        out_.push_back(warning("crease.spacing", b.field,
                               a.name + " and " + b.name + " come within " + mm_text(least) + " at " +
                                   place_text(where) + "; " + mm_text(kSpacingMm) + " or more should stay",
                               "move one of them"));
      }
  }

 private:
  static constexpr double kThroughMm = 1;
  bool told(const std::string& field) const { return std::find(told_.begin(), told_.end(), field) != told_.end(); }
  // Between the walls.
  static double distance(const Fitted& a, const Fitted& b, Vec2& where) {
    const double walls = (a.crease.width_mm + b.crease.width_mm) / 2;
    double least = INFINITY;
    const auto look = [&](const Fitted& x, const Fitted& y) {
      const int n = 2 + static_cast<int>((x.to - x.from) / 10);
      for (int i = 0; i <= n; ++i) {
        const Vec2 p = x.path.point(x.from + (x.to - x.from) * i / n);
        const double d = y.path.nearest(p).distance - walls;
        if (d >= least) continue;
        least = d;
        where = p;
      }
    };
    const auto ends = [](const Fitted& f) { return std::pair{f.path.point(f.from), f.path.point(f.to)}; };
    // Straight ones are nearest at an end.
    if (a.path.curves().size() == 1 && b.path.curves().size() == 1 && a.path.curves()[0].is_line() &&
        b.path.curves()[0].is_line()) {
      const auto at_ends = [&](const Fitted& x, const Fitted& y) {
        const auto [p, q] = ends(x);
        for (Vec2 v : {p, q})
          if (const double d = y.path.nearest(v).distance - walls; d < least) {
            least = d;
            where = v;
          }
      };
      at_ends(a, b);
      at_ends(b, a);
      return least;
    }
    look(a, b);
    look(b, a);
    return least;
  }

  const Form& form_;
  Findings& out_;
  std::vector<std::string> told_;
};

bool check_sizes(const CreaseSpec& c, const std::string& field, Findings& out) {
  bool good = true;
  const auto check = [&](const char* key, const Length& x, double low, double high) {
    if (x.value >= low && x.value <= high) return;
    good = false;
    out.push_back(error("crease.cut", field + "/" + key,
                        std::string("the ") + key + (x.known() ? " is " + mm_text(x.value) : " is missing") +
                            "; permitted is " + mm_text(low) + " to " + mm_text(high),
                        "give a size in that range"));
  };
  check("depth", c.depth, 0.1, 2000);
  if (c.cut != "trench") check("kerf", c.kerf, 0.1, 100);
  check("tape", c.tape, 1, 500);
  if (good && c.cut != "trench" && c.tape.value > c.depth.value) {
    good = false;
    out.push_back(error("crease.cut", field + "/tape",
                        "a tape of " + mm_text(c.tape.value) + " on edge does not fit a slit " +
                            mm_text(c.depth.value) + " deep; permitted is " + mm_text(c.depth.value) + " or less",
                        "use a narrower tape, a deeper slit or a trench"));
  }
  return good;
}

}  // namespace

double trench_width(double tape, const CreaseSkins& skins) {
  return core_slot(tape + 3 + 2 * skins.cover_mm, 0, kFoldedTopper * skins.topper_mm).width;
}

Result<Creases> creases_of(const std::vector<CreaseSpec>& list, const plane::Outline& given, bool mirrored,
                           const Form& form, const CreaseSkins& skins) {
  Creases result;
  Findings& out = result.notes;
  for (std::size_t i = 0; i < list.size(); ++i) check_sizes(list[i], "creases/" + std::to_string(i), out);
  if (has_errors(out)) return out;
  std::vector<Fitted> fitted;
  Fitter fitter(form, out);
  for (CreaseDraft& d : drafted(list, given, mirrored, form.outline(), out)) {
    Fitted f;
    f.crease.name = d.name;
    f.crease.field = d.field;
    f.crease.trench = d.spec->cut == "trench";
    f.crease.depth_mm = d.spec->depth.value;
    f.crease.tape_width_mm = d.spec->tape.value;
    f.crease.width_mm = f.crease.trench ? trench_width(f.crease.tape_width_mm, skins) : d.spec->kerf.value;
    f.draft = std::move(d);
    if (!f.draft.pattern) {
      if (fitter.fit(f)) fitted.push_back(std::move(f));
      continue;
    }
    // Lines of a pattern that meet the edge too flat are not the maker's.
    Findings kept;
    std::swap(kept, out);
    const bool fits = fitter.fit(f);
    std::swap(kept, out);
    if (fits) fitted.push_back(std::move(f));
  }
  if (has_errors(out)) return out;
  Crossings(fitted, out).run();
  Finisher finisher(form, out);
  Clearances clearances(form, out);
  for (Fitted& f : fitted)
    if (finisher.finish(f) && clearances.floor(f.crease)) clearances.edge(f.crease);
  clearances.spacing(fitted);
  for (Fitted& f : fitted) {
    if (f.crease.runs.empty() && !f.draft.pattern)
      out.push_back(error("crease.short", f.crease.field,
                          f.crease.name + " lies in other creases, or too close to them, along its whole length",
                          "move it or leave it out"));
    if (!f.crease.runs.empty()) result.list.push_back(std::move(f.crease));
  }
  if (has_errors(out)) return out;
  return result;
}

}  // namespace kerfkiln::cushion
