#include "modeler/cushion/relief_seeds.hpp"

#include <algorithm>

#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kShare = 0.8;  // of the deviation: what joins leaves of different sizes is longer than either
constexpr int kDeepest = 10;
// Leaves halve, so a leaf may be up to half as large as it could be: of trees whose roots differ by less than that, the
// one with the fewest leaves is taken.
constexpr double kRoots[] = {1.0, 1.189, 1.414, 1.682};

class Seeder {
 public:
  Seeder(const Form& form, double deviation)
      : form_(form), deviation_(deviation), box_(plane::bounds(form.outline())) {}

  std::vector<Vec2> run() {
    const Vec2 middle = 0.5 * (box_.low + box_.high);
    const auto root = [&](double share) { return share * std::max(box_.width(), box_.depth()); };
    const auto low = [&](double size) { return middle - 0.5 * Vec2{size, size}; };
    double best = 0;
    std::size_t fewest = SIZE_MAX;
    for (const double share : kRoots) {
      const double size = root(share);
      if (const std::size_t n = leaves(low(size), size, 0, fewest); n < fewest) {
        fewest = n;
        best = size;
      }
    }
    split(low(best), best, 0, false);
    return std::move(seeds_);
  }

 private:
  bool too_large(const plane::Box& box, double size) const {
    for (const Sheet sheet : {Sheet::top, Sheet::bottom})
      if (const Rise& rise = form_.rise(sheet); !rise.flat() && rise.bounds(box).off(size, size) > kShare * deviation_)
        return true;
    return false;
  }

  // How many have their middles in the outline's box; no more than `most` are counted.
  std::size_t leaves(Vec2 low, double size, int depth, std::size_t most) const {
    const Vec2 high = low + Vec2{size, size};
    if (high.x < box_.low.x || high.y < box_.low.y || low.x > box_.high.x || low.y > box_.high.y) return 0;
    const double half = size / 2;
    if (depth == kDeepest || !too_large({low, high}, size)) {
      const Vec2 p = low + Vec2{half, half};
      return p.x > box_.low.x && p.x < box_.high.x && p.y > box_.low.y && p.y < box_.high.y ? 1 : 0;
    }
    std::size_t sum = 0;
    for (const Vec2 corner : {Vec2{0, 0}, Vec2{half, 0}, Vec2{0, half}, Vec2{half, half}})
      if (sum < most) sum += leaves(low + corner, half, depth + 1, most - sum);
    return sum;
  }

  // within: all of it is known to lie inside, clear of the boundary.
  void split(Vec2 low, double size, int depth, bool within) {
    const plane::Box box{low, {low.x + size, low.y + size}};
    if (depth < kDeepest && too_large(box, size)) {
      const double half = size / 2;
      if (!within) {
        const Vec2 middle = low + Vec2{half, half};
        if (form_.field(Sheet::top).boundary().nearest(middle).distance > 0.7072 * size) {
          if (!plane::contains(form_.outline(), middle)) return;
          within = true;
        }
      }
      for (const Vec2 corner : {Vec2{0, 0}, Vec2{half, 0}, Vec2{0, half}, Vec2{half, half}})
        split(low + corner, half, depth + 1, within);
      return;
    }
    const Vec2 middle{low.x + size / 2, low.y + size / 2};
    if (depth == 0) return;
    if (within) {
      seeds_.push_back(middle);
      return;
    }
    if (!plane::contains(form_.outline(), middle)) return;
    if (form_.field(Sheet::top).boundary().nearest(middle).distance > size / 3) seeds_.push_back(middle);
  }

  const Form& form_;
  double deviation_;
  plane::Box box_;
  std::vector<Vec2> seeds_;
};

}  // namespace

std::vector<Vec2> rise_seeds(const Form& form, double deviation) { return Seeder(form, deviation).run(); }

}  // namespace kerfkiln::cushion
