#include "modeler/cushion/wrap_apart.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/words.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

// What is taken off together: the wall of one run of a crease; one side of the outline with the round corners at its
// ends; all rims of a hole.
struct Flap {
  enum class Kind { hole, wall, side } kind = Kind::side;
  std::size_t loop = 0;
  std::vector<std::size_t> edges;  // neighbours, in order
  double length_mm = 0;
};
enum class Left { all, bend, none };  // of a flap

bool of_plan(const WrapEdge& e) { return e.kind == WrapEdge::Kind::side || e.kind == WrapEdge::Kind::corner; }

double length_at(const plane::Segment& s, double n) {
  return s.is_line() ? s.length() : s.length() * std::max(0.0, 1 + std::copysign(n / s.radius(), s.bulge));
}

// Neighbours that are the same flap.
bool same_flap(const WrapEdge& a, const WrapEdge& b) {
  if (a.kind != b.kind) return false;
  if (a.kind == WrapEdge::Kind::wall) return a.crease == b.crease && a.run == b.run;
  return a.kind == WrapEdge::Kind::corner || (a.kind == WrapEdge::Kind::side && a.side == b.side);
}

std::vector<Flap> flaps_of(const WrapPiece& piece) {
  std::vector<Flap> out;
  for (std::size_t l = 0; l < piece.loops.size(); ++l) {
    const WrapLoop& loop = piece.loops[l];
    const std::size_t n = loop.size();
    if (l > 0 && std::any_of(loop.begin(), loop.end(), of_plan)) {
      Flap f{Flap::Kind::hole, l, {}, 0};
      for (std::size_t i = 0; i < n; ++i)
        if (of_plan(loop[i])) f.edges.push_back(i);
      out.push_back(std::move(f));
    }
    // From a place where one flap ends and the next begins.
    std::size_t begin = 0;
    while (begin < n && same_flap(loop[(begin + n - 1) % n], loop[begin])) ++begin;
    if (begin == n) begin = 0;
    for (std::size_t k = 0; k < n;) {
      const std::size_t first = (begin + k) % n;
      std::size_t count = 1;
      while (k + count < n && same_flap(loop[first], loop[(first + count) % n])) ++count;
      k += count;
      const WrapEdge& e = loop[first];
      if (e.kind == WrapEdge::Kind::butt || (l > 0 && of_plan(e))) continue;
      Flap f{e.kind == WrapEdge::Kind::wall ? Flap::Kind::wall : Flap::Kind::side, l, {}, 0};
      const auto corners = [&](std::size_t from, std::size_t step) {
        std::vector<std::size_t> found;
        for (std::size_t at = (from + step) % n; found.size() < n && loop[at].kind == WrapEdge::Kind::corner;
             at = (at + step) % n)
          found.push_back(at);
        return found;
      };
      if (e.kind == WrapEdge::Kind::side) {
        f.edges = corners(first, n - 1);
        std::reverse(f.edges.begin(), f.edges.end());
      }
      for (std::size_t i = 0; i < count; ++i) f.edges.push_back((first + i) % n);
      if (e.kind == WrapEdge::Kind::side)
        for (const std::size_t at : corners((first + count - 1) % n, 1))
          if (std::find(f.edges.begin(), f.edges.end(), at) == f.edges.end()) f.edges.push_back(at);
      for (const std::size_t i : f.edges) f.length_mm += loop[i].rim.length();
      out.push_back(std::move(f));
    }
  }
  return out;
}

void take_off(WrapEdge& e, Left left) {
  if (left == Left::none) {
    e.kind = WrapEdge::Kind::butt;
    e.varies = false;
    e.section = [](double) { return butt_section(0); };
  } else if (left == Left::bend) {
    e.section = [whole = e.section](double t) {
      WrapSection at = whole(t);
      std::erase_if(at.points, [&](const WrapSection::Point& p) { return p.s > at.fold_end_s + 1e-9; });
      at.beyond_n = at.n_end();
      return at;
    };
  }
}

class Parter {
 public:
  Parter(const WrapPiece& piece, const PatternRequest& request) : piece_(piece), request_(request) {
    for (const WrapLoop& loop : piece.loops) left_.emplace_back(loop.size(), Left::all);
  }

  LaidFlat laid(const std::string& name, const std::vector<std::string>& sides) {
    LaidFlat out = attempt();
    if (out.ok) return out;
    const std::string crossing = out.crossing;
    flaps_ = flaps_of(piece_);
    while (!out.ok && less(out.pattern)) out = attempt();
    if (out.ok) give_back(out);
    if (!out.ok) out.crossing = crossing;
    out.cut_apart = true;
    add_strips(name, sides, out.strips);
    return out;
  }

 private:
  LaidFlat attempt() const {
    LaidFlat out;
    out.piece = piece_;
    for (std::size_t l = 0; l < left_.size(); ++l)
      for (std::size_t i = 0; i < left_[l].size(); ++i) take_off(out.piece.loops[l][i], left_[l][i]);
    out.pattern = flat_pattern(out.piece, request_);
    const plane::Outline& o = out.pattern.outline;
    if (o.outer.size() < 3 || plane::area(o) <= 0) return out;
    out.ok = plane::simple(o);
    if (out.ok) return out;
    if (const std::vector<plane::SelfCrossing> found = plane::self_crossings(o); !found.empty())
      out.crossing = "at (" + number_text(found[0].at.x, 0) + ", " + number_text(found[0].at.y, 0) + ") mm";
    return out;
  }

  bool can_lose(const Flap& f) const {
    return std::any_of(f.edges.begin(), f.edges.end(), [&](std::size_t i) { return left_[f.loop][i] != Left::none; });
  }
  void lose(const Flap& f) {
    const bool whole =
        std::all_of(f.edges.begin(), f.edges.end(), [&](std::size_t i) { return left_[f.loop][i] == Left::all; });
    const Left next = f.kind == Flap::Kind::side && whole ? Left::bend : Left::none;
    for (const std::size_t i : f.edges) left_[f.loop][i] = std::max(left_[f.loop][i], next);
  }
  // The one to take off first: bends go only where neither has more left.
  bool before(const Flap* a, const Flap* b) const {
    if (a->kind != b->kind) return a->kind < b->kind;
    const auto lost = [&](const Flap* f) {
      Left most = Left::all;
      for (const std::size_t i : f->edges) most = std::max(most, left_[f->loop][i]);
      return most;
    };
    if (lost(a) != lost(b)) return lost(a) < lost(b);
    return a->length_mm < b->length_mm;
  }
  const Flap* flap_at(std::size_t loop, int edge) const {
    const Flap* best = nullptr;
    for (const Flap& f : flaps_)
      if (f.loop == loop &&
          std::find(f.edges.begin(), f.edges.end(), static_cast<std::size_t>(edge)) != f.edges.end() && can_lose(f) &&
          (best == nullptr || before(&f, best)))
        best = &f;
    return best;
  }

  // Flaps that were taken off for one that went itself later on.
  void give_back(LaidFlat& out) {
    for (const Flap& f : flaps_)
      for (const Left more : {Left::all, Left::bend}) {
        const std::vector<Left> before = left_[f.loop];
        for (const std::size_t i : f.edges) left_[f.loop][i] = std::min(left_[f.loop][i], more);
        if (left_[f.loop] == before) continue;
        if (LaidFlat next = attempt(); next.ok) {
          out = std::move(next);
          break;
        }
        left_[f.loop] = before;
      }
  }

  // Takes something off where the pattern crosses itself, or, if it cannot be told where, of everything; false: nothing
  // is left to take off.
  bool less(const FlatPattern& p) {
    std::vector<const Flap*> chosen;
    const auto there = [&](const Flap* f) {
      return f != nullptr && std::find(chosen.begin(), chosen.end(), f) != chosen.end();
    };
    const std::vector<plane::SelfCrossing> crossings = plane::self_crossings(p.outline);
    // Where only one of both can give way, it does; that may be enough elsewhere too.
    for (const bool forced : {true, false})
      for (const plane::SelfCrossing& c : crossings) {
        const auto flap = [&](const plane::SelfCrossing::Segment& at) {
          const auto loop = static_cast<std::size_t>(at.loop);
          return flap_at(loop, p.drawn_by[loop][static_cast<std::size_t>(at.index)]);
        };
        const Flap *a = flap(c.first), *b = flap(c.second);
        if ((forced && a != nullptr && b != nullptr && a != b) || there(a) || there(b)) continue;
        const Flap* one = a == nullptr || (b != nullptr && before(b, a)) ? b : a;
        if (one != nullptr) chosen.push_back(one);
      }
    if (chosen.empty())
      for (const Flap& f : flaps_)
        if (can_lose(f)) chosen.push_back(&f);
    for (const Flap* f : chosen) lose(*f);
    return !chosen.empty();
  }

  // Neighbours that are taken off alike are one strip.
  void add_strips(const std::string& name, const std::vector<std::string>& sides, std::vector<WrapStrip>& out) const {
    for (std::size_t l = 0; l < piece_.loops.size(); ++l) {
      const WrapLoop& loop = piece_.loops[l];
      const std::size_t n = loop.size();
      const auto alike = [&](std::size_t i, std::size_t j) {
        return left_[l][i] == left_[l][j] && of_plan(loop[i]) == of_plan(loop[j]) &&
               (of_plan(loop[i]) || (loop[i].crease == loop[j].crease && loop[i].run == loop[j].run));
      };
      std::size_t begin = 0;
      while (begin < n && alike((begin + n - 1) % n, begin)) ++begin;
      if (begin == n) begin = 0;
      for (std::size_t k = 0; k < n;) {
        const std::size_t first = (begin + k) % n;
        std::size_t count = 1;
        while (k + count < n && alike(first, (first + count) % n)) ++count;
        k += count;
        if (left_[l][first] == Left::all || (l > 0 && of_plan(loop[first]))) continue;
        WrapStrip s;
        std::vector<std::string> names;
        for (std::size_t i = 0; i < count; ++i) {
          const std::size_t at = (first + i) % n;
          add_edge(loop[at], left_[l][at], s);
          if (loop[at].kind == WrapEdge::Kind::side && loop[at].side < static_cast<int>(sides.size()) &&
              (names.empty() || names.back() != sides[static_cast<std::size_t>(loop[at].side)]))
            names.push_back(sides[static_cast<std::size_t>(loop[at].side)]);
        }
        s.name = name + ", " +
                 (!of_plan(loop[first]) ? "crease " + std::to_string(loop[first].crease + 1)
                  : names.empty()       ? std::string("corner")
                                        : listed(names));
        if (std::min(s.length_mm, s.height_mm) > 0.5) out.push_back(std::move(s));
      }
    }
  }
  static void add_edge(const WrapEdge& e, Left left, WrapStrip& s) {
    s.length_mm += length_at(e.rim, e.section(0.5).n_end());
    for (const double t : {0.0, 0.5, 1.0}) {
      const WrapSection at = e.section(t);
      s.height_mm = std::max(s.height_mm, left == Left::bend ? at.length() - at.fold_end_s : at.reach());
    }
  }

  const WrapPiece& piece_;
  const PatternRequest& request_;
  std::vector<Flap> flaps_;
  std::vector<std::vector<Left>> left_;  // of each edge
};

}  // namespace

LaidFlat laid_flat(const WrapPiece& piece, const PatternRequest& request, const std::string& name,
                   const std::vector<std::string>& sides) {
  return Parter(piece, request).laid(name, sides);
}

}  // namespace kerfkiln::cushion
