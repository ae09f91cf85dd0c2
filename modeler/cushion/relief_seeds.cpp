#include "modeler/cushion/relief_seeds.hpp"

#include <algorithm>

#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kShare = 0.9;  // of the deviation: what joins leaves of different sizes is longer than either
constexpr int kDeepest = 20;    // cuts
// A leaf is cut in one direction only where that one's bending weighs so many times the other's ...
constexpr double kOneWay = 1.5;
// ... and it stays no slimmer than the fill, which knows of no direction, joins along.
constexpr double kSlimmest = 4;
// Leaves halve, so a leaf may be up to half as large as it could be: of trees whose roots differ by less than that, the
// one with the fewest leaves is taken.
constexpr double kRoots[] = {1.0, 1.189, 1.414, 1.682};

class Seeder {
 public:
  Seeder(const Form& form, double deviation)
      : form_(form), deviation_(deviation), box_(plane::bounds(form.outline())) {}

  std::vector<Vec2> run() {
    plane::Box best;
    std::size_t fewest = SIZE_MAX;
    for (const double share : kRoots) {
      const plane::Box box = root(share);
      if (const std::size_t n = leaves(box, 0, fewest); n < fewest) {
        fewest = n;
        best = box;
      }
    }
    split(best, 0, false);
    return std::move(seeds_);
  }

 private:
  plane::Box root(double share) const {
    const double half = share * std::max(box_.width(), box_.depth()) / 2;
    const Vec2 middle = 0.5 * (box_.low + box_.high);
    return {middle - Vec2{half, half}, middle + Vec2{half, half}};
  }

  struct Cutting {
    bool x = false, y = false;
    explicit operator bool() const { return x || y; }
  };
  Cutting cutting(const plane::Box& box) const {
    const double dx = box.width(), dy = box.depth();
    Cutting c;
    for (const Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const Rise& rise = form_.rise(sheet);
      if (rise.flat()) continue;
      const Rise::Bounds b = rise.bounds(box);
      if (b.off(dx, dy) <= kShare * deviation_) continue;
      const double in_x = b.xx * dx * dx, in_y = b.yy * dy * dy;
      c.x = c.x || !(in_y > kOneWay * in_x && 2 * dx <= kSlimmest * dy);
      c.y = c.y || !(in_x > kOneWay * in_y && 2 * dy <= kSlimmest * dx);
    }
    return c;
  }
  // Calls visit(part) for each of two or four.
  template <class Visit>
  static void parts(const plane::Box& box, Cutting cut, const Visit& visit) {
    const Vec2 step{box.width() / (cut.x ? 2 : 1), box.depth() / (cut.y ? 2 : 1)};
    for (int j = 0; j <= (cut.y ? 1 : 0); ++j)
      for (int i = 0; i <= (cut.x ? 1 : 0); ++i) {
        const Vec2 low = box.low + Vec2{i * step.x, j * step.y};
        visit(plane::Box{low, low + step});
      }
  }
  static Vec2 middle_of(const plane::Box& box) { return 0.5 * (box.low + box.high); }

  // How many have their middles in the outline's box; no more than `most` are counted.
  std::size_t leaves(const plane::Box& box, int depth, std::size_t most) const {
    if (box.high.x < box_.low.x || box.high.y < box_.low.y || box.low.x > box_.high.x || box.low.y > box_.high.y)
      return 0;
    const Cutting cut = depth < kDeepest ? cutting(box) : Cutting{};
    if (!cut) {
      const Vec2 p = middle_of(box);
      return p.x > box_.low.x && p.x < box_.high.x && p.y > box_.low.y && p.y < box_.high.y ? 1 : 0;
    }
    std::size_t sum = 0;
    parts(box, cut, [&](const plane::Box& part) {
      if (sum < most) sum += leaves(part, depth + 1, most - sum);
    });
    return sum;
  }

  // within: all of it is known to lie inside, clear of the boundary.
  void split(const plane::Box& box, int depth, bool within) {
    const Vec2 middle = middle_of(box);
    const auto clear = [&] { return form_.field(Sheet::top).boundary().nearest(middle).distance; };
    if (const Cutting cut = depth < kDeepest ? cutting(box) : Cutting{}) {
      if (!within && clear() > 0.5001 * norm(box.high - box.low)) {
        if (!plane::contains(form_.outline(), middle)) return;
        within = true;
      }
      parts(box, cut, [&](const plane::Box& part) { split(part, depth + 1, within); });
      return;
    }
    if (depth == 0) return;
    if (within || (plane::contains(form_.outline(), middle) && clear() > std::min(box.width(), box.depth()) / 3))
      seeds_.push_back(middle);
  }

  const Form& form_;
  double deviation_;
  plane::Box box_;
  std::vector<Vec2> seeds_;
};

}  // namespace

std::vector<Vec2> rise_seeds(const Form& form, double deviation) { return Seeder(form, deviation).run(); }

}  // namespace kerfkiln::cushion
