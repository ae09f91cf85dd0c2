// The distance of a point from an urn's side by brute force: samples of the whole surface, the best few closed in on by
// a pattern search. Knows nothing of how the inside is found.
#pragma once
#include <algorithm>
#include <cmath>
#include <vector>

#include "modeler/urn/form.hpp"

namespace kerfkiln::urn::test {

class NearestSide {
 public:
  NearestSide(const Form& f, int stations, int places) : form_(f), stations_(stations), places_(places) {
    const Profile& p = f.profile();
    for (int k = 0; k < static_cast<int>(p.spans().size()); ++k)
      for (int i = 0; i <= stations; ++i) {
        const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
        const double t = s.begin + s.length * i / stations;
        for (int copy = 0; copy < f.copies(); ++copy)
          for (int piece = 0; piece < f.sector_pieces(); ++piece)
            for (int q = 0; q <= places; ++q) {
              const Sample x{{}, k, copy, piece, t, static_cast<double>(q) / places};
              samples_.push_back({at(x), k, copy, piece, t, x.v});
            }
      }
  }
  double operator()(Vec3 q) const {
    std::vector<std::pair<double, std::size_t>> near;
    for (std::size_t i = 0; i < samples_.size(); ++i) near.push_back({norm(samples_[i].p - q), i});
    const std::size_t few = std::min<std::size_t>(12, near.size());
    std::partial_sort(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(few), near.end());
    double best = INFINITY;
    for (std::size_t i = 0; i < few; ++i) best = std::min(best, closer(samples_[near[i].second], q));
    return best;
  }

 private:
  struct Sample {
    Vec3 p;
    int span, copy, piece;
    double t, v;
  };
  Vec3 at(const Sample& x) const {
    const SurfaceJet j = form_.jet(form_.profile().at(x.span, x.t), x.piece, x.v);
    Vec3 p = j.p;
    const bool half = form_.copies() == 2;
    if (half ? x.copy == 1 : x.copy == 1 || x.copy == 2) p.x = -p.x;
    if (half ? x.copy == 1 : x.copy >= 2) p.y = -p.y;
    return p;
  }
  double closer(Sample x, Vec3 q) const {
    const ProfileSpan& s = form_.profile().spans()[static_cast<std::size_t>(x.span)];
    double dt = s.length / stations_, dv = 1.0 / places_, best = norm(at(x) - q);
    for (int i = 0; i < 400 && dv > 1e-12; ++i) {
      bool better = false;
      for (auto [a, b] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}}) {
        Sample y = x;
        y.t = std::clamp(x.t + a * dt, s.begin, s.begin + s.length);
        y.v = std::clamp(x.v + b * dv, 0.0, 1.0);
        const double d = norm(at(y) - q);
        if (d < best) best = d, x = y, better = true;
      }
      if (!better) dt *= 0.5, dv *= 0.5;
    }
    return best;
  }
  const Form& form_;
  int stations_, places_;
  std::vector<Sample> samples_;
};

}  // namespace kerfkiln::urn::test
