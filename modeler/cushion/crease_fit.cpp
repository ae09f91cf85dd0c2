#include "modeler/cushion/crease_fit.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {
namespace {

constexpr double kSteepest = 0.27;  // tangent of the flattest angle at which a crease may cross the edge
constexpr double kShortMm = 5;      // common practice

class Fitter {
 public:
  Fitter(const Form& form, Findings& out) : form_(form), outline_(form.outline()), out_(out) {}

  // The stretch of the path within the core, ends extended past the outline where they run out.
  bool fit(FittedCrease& f) {
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
    if (f.to - f.from >= 2 * f.crease.width_mm && f.to - f.from >= kCreaseRestMm) return true;
    return complain("crease.short", field,
                    "only " + mm_text(f.to - f.from) + " of the crease lie in the foam; permitted is " +
                        mm_text(std::max(2 * f.crease.width_mm, kCreaseRestMm)) + " or more",
                    "make it longer or leave it out");
  }

 private:
  static constexpr double kPastMm = 150, kEndMm = 10;

  bool complain(const std::string& code, const std::string& field, const std::string& message,
                const std::string& remedy) {
    out_.push_back(error(code, field, message, remedy));
    return false;
  }
  bool crosses_itself(const FittedCrease& f) {
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
  bool end(FittedCrease& f, bool start) {
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
                             "end it past the outline, or " + mm_text(kCreaseEdgeMm) + " or more before the edge"));
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
  void extend(FittedCrease& f, bool start, double s, Vec2 e, double exit) {
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
  Crossings(std::vector<FittedCrease>& list, Findings& out) : list_(list), out_(out) {}

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
  bool part(FittedCrease& through, FittedCrease& other) {
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
  static bool apart(const FittedCrease& a, const FittedCrease& b, double margin) {
    const auto box = [](const FittedCrease& f) {
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
  static double leave(const FittedCrease& f, double s, int way, double wanted, const Near& near) {
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

  std::vector<FittedCrease>& list_;
  Findings& out_;
};

}  // namespace

bool fit_crease(const Form& form, FittedCrease& f, Findings& out) { return Fitter(form, out).fit(f); }

void cross_creases(std::vector<FittedCrease>& list, Findings& out) { Crossings(list, out).run(); }

}  // namespace kerfkiln::cushion
