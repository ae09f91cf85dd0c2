#include "modeler/cushion/relief_seeds.hpp"

#include <algorithm>

#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {
namespace {

// A chord of length c over a face that bends by k leaves it by k c^2 / 8; between neighbouring leaves of size s chords
// are up to the diagonal, c^2 = 2 s^2.
constexpr double kShare = 0.8;

class Seeder {
 public:
  Seeder(const Form& form, double deviation) : form_(form), deviation_(deviation) {}

  std::vector<Vec2> run() {
    const plane::Box box = plane::bounds(form_.outline());
    const double size = std::max(box.width(), box.depth());
    split(box.low, size, 0, false);
    return std::move(seeds_);
  }

 private:
  static constexpr int kDeepest = 10;

  // within: all of it is known to lie inside, clear of the boundary.
  void split(Vec2 low, double size, int depth, bool within) {
    const plane::Box box{low, {low.x + size, low.y + size}};
    const double bend = std::max(form_.rise(Sheet::top).bounds(box).bend, form_.rise(Sheet::bottom).bounds(box).bend);
    if (depth < kDeepest && bend * size * size / 4 > kShare * deviation_) {
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
  std::vector<Vec2> seeds_;
};

}  // namespace

std::vector<Vec2> rise_seeds(const Form& form, double deviation) { return Seeder(form, deviation).run(); }

}  // namespace kerfkiln::cushion
