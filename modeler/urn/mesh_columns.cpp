// Where the columns of a squared form's mesh stand, and how dense its rings must be.
#include "modeler/urn/mesh_columns.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::urn {
namespace {

constexpr double kMargin = 1.14;  // the bending varies within a step
constexpr int kSamples = 6;       // of the bending, a span

std::vector<SectionSize> sampled_sizes(const Profile& p) {
  std::vector<SectionSize> sizes;
  for (const ProfileSpan& s : p.spans())
    for (double f : {0.0, 1 / 3.0, 2 / 3.0}) sizes.push_back(p.at(p.span_of(s.begin), s.begin + f * s.length).size);
  sizes.push_back(p.at(p.end()).size);
  return sizes;
}

// The columns of the sector, from its beginning to its end.
std::vector<Place> choose_places(const Form& form, double deviation) {
  const std::vector<SectionSize> sizes = sampled_sizes(form.profile());
  const SectionType& type = form.section();
  std::vector<Place> places;
  for (int piece = 0; piece < form.sector_pieces(); ++piece) {
    const bool back = piece >= type.pieces;
    std::vector<double> v = type.places(type, sizes, back ? 2 * type.pieces - 1 - piece : piece, deviation);
    if (back) {
      std::reverse(v.begin(), v.end());
      for (double& x : v) x = 1 - x;
    }
    // Pieces join: the end of one is the beginning of the next.
    for (std::size_t i = piece == 0 ? 0 : 1; i < v.size(); ++i)
      places.push_back({piece, v[i], std::max(i > 0 ? v[i] - v[i - 1] : 0, i + 1 < v.size() ? v[i + 1] - v[i] : 0),
                        form.place(piece, v[i])});
  }
  return places;
}

Bend bend_of(const OffsetJet& o) {
  const double along = norm(o.at_t), across = norm(o.at_v);
  Bend b;
  if (!(along > 0)) return b;
  b.l = -dot(o.at_t, o.normal_t) / (along * along);
  if (across > kMerge) {
    b.m = -dot(o.at_t, o.normal_v) / (along * across);
    b.n = -dot(o.at_v, o.normal_v) / (across * across);
  }
  return b;
}

// Flats of a twisted form need no columns of their own, but the wider they are the more rings does the twist take: the
// largest width of a column, mm, that makes the fewest triangles in all.
double best_column(const Form& form, const std::vector<Place>& places, double deviation) {
  struct Look {
    Bend bend;
    double along = 0, width = 0;
  };
  // Of each piece the widest column.
  std::vector<std::size_t> widest(static_cast<std::size_t>(form.sector_pieces()), 0);
  const auto part = [&](std::size_t i) {
    return places[i].v - (places[i - 1].piece == places[i].piece ? places[i - 1].v : 0);
  };
  for (std::size_t i = 1; i < places.size(); ++i) {
    std::size_t& w = widest[static_cast<std::size_t>(places[i].piece)];
    if (w == 0 || part(i) > part(w)) w = i;
  }
  std::vector<std::vector<Look>> stations;
  std::vector<double> weights, width(widest.size(), 0.0);
  const auto& spans = form.profile().spans();
  for (int k = 0; k < static_cast<int>(spans.size()); ++k)
    for (int i = 0; i < kSamples; ++i) {
      const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
      std::vector<Look>& looks = stations.emplace_back(widest.size());
      weights.push_back(s.length / kSamples);
      for (std::size_t q = 0; q < widest.size(); ++q) {
        if (widest[q] == 0) continue;
        const Place& x = places[widest[q]];
        const double step = part(widest[q]);
        const auto o = outside_jet(form, k, s.begin + s.length * (i + 0.5) / kSamples, x.piece,
                                   std::clamp(x.v - 0.5 * step, 1e-3, 1 - 1e-3));
        if (!o) continue;
        looks[q] = {bend_of(*o), norm(o->at_t), step * norm(o->at_v)};
        width[q] = std::max(width[q], looks[q].width);
      }
    }
  const auto triangles = [&](double most) {
    double columns = 0, rings = 0;
    for (std::size_t i = 1; i < places.size(); ++i) {
      const auto q = static_cast<std::size_t>(places[i].piece);
      columns += std::max(1.0, std::ceil(width[q] * part(i) / part(widest[q]) / most));
    }
    for (std::size_t k = 0; k < stations.size(); ++k) {
      double density = 0;
      for (std::size_t q = 0; q < widest.size(); ++q) {
        const Look& x = stations[k][q];
        if (x.along > 0)
          density = std::max(
              density, x.along / ring_step(x.bend, x.width / std::max(1.0, std::ceil(width[q] / most)), deviation));
      }
      rings += weights[k] * density;
    }
    return columns * rings;
  };
  double best = *std::max_element(width.begin(), width.end()), least = triangles(best);
  for (double most = 0.7 * best; most > 4 * deviation; most *= 0.7)
    if (const double n = triangles(most); n < least) best = most, least = n;
  return best;
}

// The widest that each column gets over the height, mm.
double column_width(const Form& form, int piece, double from, double to) {
  double most = 0;
  for (const ProfileSpan& s : form.profile().spans())
    for (double f : {0.0, 0.5, 1.0}) {
      const ProfileJet j = form.profile().at(form.profile().span_of(s.begin), s.begin + f * s.length);
      most = std::max(most, norm(form.point_at(j, form.place(piece, to)) - form.point_at(j, form.place(piece, from))));
    }
  return most;
}

// The columns of a twisted form, none wider than `most`.
std::vector<Place> divided(const Form& form, const std::vector<Place>& places, double most) {
  std::vector<Place> out{places.front()};
  for (std::size_t i = 1; i < places.size(); ++i) {
    const Place& b = places[i];
    const double from = places[i - 1].piece == b.piece ? places[i - 1].v : 0;
    const int n = std::max(1, static_cast<int>(std::ceil(column_width(form, b.piece, from, b.v) / most - 1e-9)));
    for (int k = 1; k <= n; ++k) {
      const double v = k == n ? b.v : from + (b.v - from) * k / n;
      out.push_back({b.piece, v, 0, k == n ? b.at : form.place(b.piece, v)});
    }
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    const bool begins = i == 0 || out[i - 1].piece != out[i].piece;
    const double before = i == 0 ? 0 : out[i].v - (begins ? 0 : out[i - 1].v);
    const double after = i + 1 == out.size()                ? 0
                         : out[i + 1].piece == out[i].piece ? out[i + 1].v - out[i].v
                                                            : out[i + 1].v;
    // A step is measured in its own piece.
    out[i].step = out[i].v >= 1 ? before : std::max(before, after);
  }
  return out;
}

}  // namespace

std::vector<Place> some_of(const std::vector<Place>& places) {
  std::vector<Place> some;
  const std::size_t stride = std::max<std::size_t>(1, places.size() / 10);
  for (std::size_t i = 0; i < places.size(); i += stride) some.push_back(places[i]);
  some.push_back(places.back());
  // Jets on the axes themselves may be singular.
  for (Place& x : some) x.v = std::clamp(x.v, 1e-3, 1 - 1e-3);
  return some;
}

double bend_density(const OffsetJet& o, double place_step, double deviation) {
  const double along = norm(o.at_t);
  if (!(along > 0)) return 0;
  return kMargin * along / ring_step(bend_of(o), place_step * norm(o.at_v), deviation);
}

std::optional<OffsetJet> outside_jet(const Form& form, int span, double t, int piece, double v) {
  const SurfaceJet j = form.jet(form.profile().at(span, t), piece, v);
  const Vec3 big = cross(j.p_v, j.p_t);
  const double length = norm(big);
  if (!(length > 1e-9 * norm(j.p_t))) return std::nullopt;
  OffsetJet o;
  o.at_t = j.p_t, o.at_v = j.p_v;
  o.normal = big / length;
  const auto turn = [&](Vec3 d) { return (d - dot(d, o.normal) * o.normal) / length; };
  o.normal_t = turn(cross(j.p_tv, j.p_t) + cross(j.p_v, j.p_tt));
  o.normal_v = turn(cross(j.p_vv, j.p_t) + cross(j.p_v, j.p_tv));
  return o;
}

std::vector<Place> columns_of(const Form& form, double deviation) {
  std::vector<Place> places = choose_places(form, kColumnShare * deviation);
  return form.twisted() ? divided(form, places, best_column(form, places, deviation)) : places;
}

}  // namespace kerfkiln::urn
