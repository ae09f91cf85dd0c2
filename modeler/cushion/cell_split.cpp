#include "modeler/cushion/cell_split.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace kerfkiln::cushion {
namespace {

using Index = std::uint32_t;
using Edge = std::pair<Index, Index>;
constexpr double kEnd = 0.01, kSame = 1e-3;

double to_float(double x) { return static_cast<double>(static_cast<float>(x)); }

// A height over the plan: one of the sheets, the limit of a cut or a constant.
struct Height {
  std::vector<double>* over = nullptr;  // null: the constant
  double constant = 0;
  double at(Index v) const { return over ? (*over)[v] : constant; }
};

class Splitter {
 public:
  Splitter(Cells& c, std::vector<char> active) : c_(c), active_(std::move(active)) {}

  void run() {
    for (double l : c_.relief.levels) levels_.push_back({nullptr, l});
    Height top{&c_.relief.top}, bottom{&c_.relief.bottom};
    std::vector<Height> limits;
    std::vector<Cut> kinds;
    for (std::size_t i = 0; i < c_.cuts.size(); ++i) {
      const Cut& cut = c_.cuts[i];
      const auto same = [&](const Cut& k) { return k.kind == cut.kind && k.mm == cut.mm; };
      if (std::any_of(kinds.begin(), kinds.end(), same)) continue;
      kinds.push_back(cut);
      const bool moving = cut.kind == Cut::Kind::below_top;
      limits.push_back(moving ? Height{&c_.limit[c_.surface[i]]} : Height{nullptr, c_.limit[c_.surface[i]][0]});
    }
    // Once cut, edges stay whole for later pairs; a place that had to keep its distance from an end may need another
    // look.
    for (int pass = 0; pass < 3; ++pass) {
      const std::size_t before = c_.relief.plan.size();
      for (const Height& l : levels_) {
        meet(top, l);
        meet(bottom, l);
      }
      for (std::size_t i = 0; i < limits.size(); ++i) {
        if (limits[i].over)
          for (const Height& l : levels_) meet(limits[i], l);
        if (kinds[i].kind != Cut::Kind::below_top) meet(top, limits[i]);
        meet(bottom, limits[i]);
        for (std::size_t j = 0; j < i; ++j) meet(limits[i], limits[j]);
      }
      if (c_.relief.plan.size() == before) break;
    }
  }

  void apply(const std::map<Edge, Index>& cut) {
    triangles_.clear();
    cell_.clear();
    on_.clear();
    for (std::size_t k = 0; k < c_.relief.triangles.size(); ++k) {
      const solid::Triangle t = c_.relief.triangles[k];
      Index mid[3];
      std::size_t n = 0;
      for (std::size_t i = 0; i < 3; ++i) {
        const auto it = cut.find(std::minmax(t[i], t[(i + 1) % 3]));
        mid[i] = it == cut.end() ? UINT32_MAX : it->second;
        n += it != cut.end();
      }
      if (n == 0) {
        put(t, k);
        continue;
      }
      std::size_t i = 0;
      if (n == 3) {
        for (; i < 3; ++i) put({t[i], mid[i], mid[(i + 2) % 3]}, k);
        put({mid[0], mid[1], mid[2]}, k);
      } else if (n == 1) {
        while (mid[i] == UINT32_MAX) ++i;
        put({t[i], mid[i], t[(i + 2) % 3]}, k);
        put({mid[i], t[(i + 1) % 3], t[(i + 2) % 3]}, k);
      } else {
        while (mid[i] != UINT32_MAX) ++i;  // edge i is whole
        const std::size_t j = (i + 1) % 3, l = (i + 2) % 3;
        put({t[l], mid[l], mid[j]}, k);
        put({t[i], t[j], mid[j]}, k);
        put({t[i], mid[j], mid[l]}, k);
      }
    }
    c_.relief.triangles.swap(triangles_);
    c_.cell.swap(cell_);
    active_.swap(on_);
  }

 private:
  // Where f and g cross on an active edge it is cut there; f is made equal to g.
  void meet(const Height& f, const Height& g) {
    if (!f.over && !g.over) return;
    const Height& moved = f.over ? f : g;
    const Height& kept = f.over ? g : f;
    const auto gap = [&](Index v) { return moved.at(v) - kept.at(v); };  // NaN where one does not reach
    for (std::size_t t = 0; t < active_.size(); ++t) {
      if (!active_[t]) continue;
      for (Index v : c_.relief.triangles[t])
        if (const double d = gap(v); d != 0 && std::abs(d) < kSame && !on_level(moved.at(v)))
          (*moved.over)[v] = to_float(clear_of(moved.at(v), kept.at(v)));
    }
    std::map<Edge, Index> cut;
    for (std::size_t t = 0; t < active_.size(); ++t) {
      if (!active_[t]) continue;
      const solid::Triangle x = c_.relief.triangles[t];
      for (std::size_t i = 0; i < 3; ++i) {
        const Edge e = std::minmax(x[i], x[(i + 1) % 3]);
        const double a = gap(e.first), b = gap(e.second);
        if (!(a * b < 0)) continue;
        const auto [it, fresh] = cut.try_emplace(e, 0);
        if (!fresh) continue;
        it->second = add_between(e.first, e.second, a / (a - b));
        (*moved.over)[it->second] = kept.at(it->second);
        keep_order(it->second);
      }
    }
    if (!cut.empty()) apply(cut);
  }
  bool on_level(double z) const {
    return std::any_of(levels_.begin(), levels_.end(), [z](const Height& l) { return l.constant == z; });
  }
  void keep_order(Index v) {
    double &top = c_.relief.top[v], &bottom = c_.relief.bottom[v];
    if (top - bottom >= kSame) return;
    (on_level(top) ? bottom : top) = on_level(top) ? top : bottom;
  }

  Index add_between(Index a, Index b, double share) {
    Relief& r = c_.relief;
    const double end = std::min(0.5, kEnd / norm(r.plan[b] - r.plan[a]));
    share = std::clamp(share, end, 1 - end);
    const auto mix = [&](double x, double y) { return to_float(x + share * (y - x)); };
    r.plan.push_back({mix(r.plan[a].x, r.plan[b].x), mix(r.plan[a].y, r.plan[b].y)});
    for (std::vector<double>* z : {&r.top, &r.bottom}) z->push_back(mix((*z)[a], (*z)[b]));
    for (std::vector<double>& z : c_.limit) z.push_back(mix(z[a], z[b]));
    return static_cast<Index>(r.plan.size() - 1);
  }

  void put(const solid::Triangle& t, std::size_t of) {
    triangles_.push_back(t);
    cell_.push_back(c_.cell[of]);
    on_.push_back(active_[of]);
  }
  Cells& c_;
  std::vector<char> active_, on_;
  std::vector<Height> levels_;
  std::vector<solid::Triangle> triangles_;
  std::vector<std::uint32_t> cell_;
};

}  // namespace

void split_crossings(Cells& cells, std::vector<char> active) { Splitter(cells, std::move(active)).run(); }

}  // namespace kerfkiln::cushion
