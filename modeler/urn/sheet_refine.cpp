#include "modeler/urn/sheet_refine.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <unordered_map>
#include <unordered_set>

namespace kerfkiln::urn {
namespace {

constexpr int kPasses = 12;
constexpr std::uint32_t kNone = 0xffffffff;

class Refiner {
 public:
  Refiner(const InnerSolver& solver, double unit, double deviation, ChartMesh& m, Sector& q,
          std::vector<InnerSheet>& rings)
      : solver_(solver), unit_(unit), deviation_(deviation), m_(m), q_(q), rings_(rings) {
    for (const auto& [a, b] : q.seams)
      if (a >= m.first && b >= m.first) image_[a] = b, image_[b] = a;
  }

  void run() {
    std::vector<char> fresh(m_.triangles.size(), 1);
    for (int pass = 0; pass < kPasses; ++pass) {
      split_.clear();
      for (std::size_t i = 0; i < m_.triangles.size(); ++i)
        if (fresh[i]) look(m_.triangles[i]);
      if (split_.empty()) return;
      fresh = divide();
      for (InnerSheet& r : rings_) insert(r.lip), insert(r.floor);
    }
  }

 private:
  using Edge = std::uint64_t;
  static Edge edge(std::uint32_t a, std::uint32_t b) {
    return a < b ? static_cast<Edge>(a) << 32 | b : static_cast<Edge>(b) << 32 | a;
  }
  const ChartPoint& chart(std::uint32_t id) const { return m_.chart[id - m_.first]; }
  Vec3 place(const ChartPoint& c) const {
    const Vec2 u = solver_.direction(c.turn, c.z);
    return {c.inner.reach * u.x, c.inner.reach * u.y, c.z};
  }
  Vec3 place(std::uint32_t id) const { return q_.points[id] / unit_; }

  // How far a point lies off the inside, along the normal where the ray through it meets the inside.
  double off(Vec3 x) const {
    const Vec2 level{x.x, x.y}, u = unit(level);
    const InnerPoint hit = solver_.solve(u, x.z);
    return std::abs(hit.reach - norm(level)) * std::abs(hit.normal.x * u.x + hit.normal.y * u.y);
  }

  // A curve leaves its chord by an eighth of chord times turn, a kink by up to a fourth: flatter needs no look.
  bool suspect(std::uint32_t a, std::uint32_t b) const {
    const ChartPoint &x = chart(a), &y = chart(b);
    return x.kink || y.kink || norm(place(a) - place(b)) * norm(x.inner.normal - y.inner.normal) > 2 * deviation_;
  }

  // The fraction of the way where an edge is to be split.
  std::optional<double> worst(std::uint32_t a, std::uint32_t b) const {
    const ChartPoint &x = chart(a), &y = chart(b);
    const auto beyond = [&](double f) { return off(place(a) + f * (place(b) - place(a))) > deviation_; };
    if (!x.kink && !y.kink)
      if (const auto k = solver_.kink({x.turn, x.z, x.inner}, {y.turn, y.z, y.inner}, 0.15 * deviation_)) {
        // Nearer to an end the middle is looked at instead: no needles.
        constexpr double kNearAnEnd = 0.1;
        if (k->fraction > kNearAnEnd && k->fraction < 1 - kNearAnEnd && beyond(k->fraction)) return k->fraction;
      }
    return beyond(0.5) ? std::optional(0.5) : std::nullopt;
  }

  void look(const solid::Triangle& t) {
    bool suspicious = false, splits = false;
    for (int i = 0; i < 3; ++i) {
      const std::uint32_t a = t[static_cast<std::size_t>(i)], b = t[static_cast<std::size_t>((i + 1) % 3)];
      if (!suspect(a, b)) continue;
      suspicious = true;
      const Edge e = edge(a, b);
      if (!split_.contains(e) && seen_.insert(e).second)
        if (const auto f = worst(std::min(a, b), std::max(a, b))) split(std::min(a, b), std::max(a, b), *f);
      splits = splits || split_.contains(e);
    }
    if (!suspicious || splits) return;
    if (off((place(t[0]) + place(t[1]) + place(t[2])) / 3) <= deviation_) return;
    std::size_t longest = 0;
    double most = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const double length = norm(place(t[i]) - place(t[(i + 1) % 3]));
      if (length > most) most = length, longest = i;
    }
    const std::uint32_t a = t[longest], b = t[(longest + 1) % 3];
    split(std::min(a, b), std::max(a, b), 0.5);
  }

  void split(std::uint32_t a, std::uint32_t b, double f) {
    const ChartPoint &x = chart(a), &y = chart(b);
    ChartPoint n;
    n.turn = x.turn == y.turn ? x.turn : x.turn + f * (y.turn - x.turn);
    n.z = x.z == y.z ? x.z : x.z + f * (y.z - x.z);
    n.inner = solver_.solve(solver_.direction(n.turn, n.z), n.z);
    n.kink = (x.kink && y.kink) || f != 0.5;
    const bool level = x.z == y.z, seam = x.turn == y.turn && image_.contains(a) && image_.contains(b);
    const std::uint32_t id = add(n, level ? q_.points[a].z : unit_ * n.z);
    split_[edge(a, b)] = id;
    if (!seam) return;
    const std::uint32_t c = image_.at(a), d = image_.at(b);
    const Vec3 p = q_.points[id];
    n.turn = chart(c).turn;
    const int round = solver_.form().pieces();
    n.inner.piece = (n.inner.piece + round / 2) % round;
    n.inner.normal = {-n.inner.normal.x, -n.inner.normal.y, n.inner.normal.z};
    const std::uint32_t other = add(n, p.z);
    q_.points[other] = {-p.x, -p.y, p.z};
    n.turn == 0 ? q_.seam(other, id) : q_.seam(id, other);
    image_[id] = other, image_[other] = id;
    split_[edge(c, d)] = other;
  }
  std::uint32_t add(const ChartPoint& n, double z_mm) {
    Vec3 p = unit_ * place(n);
    p.z = z_mm;
    m_.chart.push_back(n);
    return q_.add(p);
  }

  std::uint32_t middle(std::uint32_t a, std::uint32_t b) const {
    const auto found = split_.find(edge(a, b));
    return found == split_.end() ? kNone : found->second;
  }

  // All triangles with split edges into two, three or four; which ones are new.
  std::vector<char> divide() {
    std::vector<solid::Triangle> out;
    std::vector<char> fresh;
    const auto put = [&](std::uint32_t a, std::uint32_t b, std::uint32_t c, bool is_new) {
      out.push_back({a, b, c});
      fresh.push_back(is_new);
    };
    for (const solid::Triangle& t : m_.triangles) {
      std::array<std::uint32_t, 3> v{t[0], t[1], t[2]}, mid{};
      int count = 0;
      for (std::size_t i = 0; i < 3; ++i) mid[i] = middle(v[i], v[(i + 1) % 3]), count += mid[i] != kNone;
      if (count == 0) {
        put(v[0], v[1], v[2], false);
        continue;
      }
      // Turned so that the first edge is split, and of two the third is not.
      while (mid[0] == kNone || (count == 2 && mid[2] != kNone)) {
        std::rotate(v.begin(), v.begin() + 1, v.end());
        std::rotate(mid.begin(), mid.begin() + 1, mid.end());
      }
      if (count == 1) {
        put(v[0], mid[0], v[2], true);
        put(mid[0], v[1], v[2], true);
      } else if (count == 2) {
        put(mid[0], v[1], mid[1], true);
        // The shorter diagonal of the rest.
        if (norm(place(mid[0]) - place(v[2])) <= norm(place(v[0]) - place(mid[1]))) {
          put(v[0], mid[0], v[2], true);
          put(mid[0], mid[1], v[2], true);
        } else {
          put(v[0], mid[0], mid[1], true);
          put(v[0], mid[1], v[2], true);
        }
      } else {
        put(v[0], mid[0], mid[2], true);
        put(mid[0], v[1], mid[1], true);
        put(mid[2], mid[1], v[2], true);
        put(mid[0], mid[1], mid[2], true);
      }
    }
    m_.triangles = std::move(out);
    return fresh;
  }

  void insert(std::vector<std::uint32_t>& ring) const {
    std::vector<std::uint32_t> out;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      if (i > 0)
        if (const std::uint32_t m = middle(ring[i - 1], ring[i]); m != kNone) out.push_back(m);
      out.push_back(ring[i]);
    }
    ring = std::move(out);
  }

  const InnerSolver& solver_;
  double unit_, deviation_;
  ChartMesh& m_;
  Sector& q_;
  std::vector<InnerSheet>& rings_;
  std::unordered_map<std::uint32_t, std::uint32_t> image_;
  std::unordered_map<Edge, std::uint32_t> split_;
  std::unordered_set<Edge> seen_;
};

}  // namespace

void refine_sheets(const InnerSolver& solver, double unit, double deviation, ChartMesh& m, Sector& q,
                   std::vector<InnerSheet>& rings) {
  Refiner(solver, unit, deviation, m, q, rings).run();
}

}  // namespace kerfkiln::urn
