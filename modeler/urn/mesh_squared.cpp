// Squared forms: one sector (a quadrant, or half of a twisted form) as a grid of profile station x section place, and
// its images.
#include <algorithm>
#include <numbers>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/mesh_columns.hpp"
#include "modeler/urn/recess.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kSamples = 6;  // of the bending, a span

using Ring = std::vector<std::uint32_t>;

class SquaredMesh {
 public:
  SquaredMesh(const Form& form, double deviation)
      : form_(form), deviation_(deviation), places_(columns_of(form, deviation)), some_(some_of(places_)) {
    for (std::size_t i = 0; i + 1 < places_.size(); ++i) halfway_.push_back(halfway(i));
    sector_.half = form.twisted();
  }

  Sector& sector() { return sector_; }
  const std::vector<Place>& places() const { return places_; }

  // The ends of a ring lie on the planes of symmetry, or are each other's half turn, to the bit.
  void close_ring(std::vector<Vec3>& points) const {
    Vec3 &first = points.front(), &last = points.back();
    if (sector_.half)
      last = {-first.x, -first.y, first.z};
    else
      first.y = 0, last.x = 0;
  }

  // `below`: the ring before it, where the two may touch at some places.
  Ring add_ring(const std::vector<Vec3>& points, const Ring* below = nullptr) {
    Ring ring;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto near = [&](std::uint32_t id) { return norm(points[i] - sector_.points[id]) < kMerge; };
      // Both ends of a seam touch the ring below, or none.
      const bool seam_end = sector_.half && i + 1 == points.size();
      const bool touches = below && (seam_end ? ring.front() == below->front() : near((*below)[i]));
      if (!ring.empty() && !(seam_end && touches) && near(ring.back()))
        ring.push_back(ring.back());
      else if (touches)
        ring.push_back((*below)[i]);
      else
        ring.push_back(sector_.add(points[i]));
    }
    // The last point owns the sector's end: what merged into it moves there.
    if (!(sector_.half && below && ring.back() == below->back())) sector_.points[ring.back()] = points.back();
    if (!below || ring.front() != below->front()) sector_.seam(ring.front(), ring.back());
    return ring;
  }

  // Two rings of the chain, the second further along it.
  void band(const Ring& a, const Ring& b) {
    for (std::size_t i = 0; i + 1 < a.size(); ++i) {
      const auto& p = sector_.points;
      // The shorter diagonal hugs a twisted patch and keeps flat ones tidy.
      if (norm(p[a[i]] - p[b[i + 1]]) <= norm(p[a[i + 1]] - p[b[i]])) {
        sector_.face(a[i], a[i + 1], b[i + 1]);
        sector_.face(a[i], b[i + 1], b[i]);
      } else {
        sector_.face(a[i], a[i + 1], b[i]);
        sector_.face(a[i + 1], b[i + 1], b[i]);
      }
    }
  }

  void fan(const Ring& ring, double z, bool opening) {
    const std::uint32_t middle = sector_.add({0, 0, z});
    for (std::size_t i = 0; i + 1 < ring.size(); ++i)
      if (opening)
        sector_.face(middle, ring[i + 1], ring[i]);
      else
        sector_.face(ring[i], ring[i + 1], middle);
  }

  // From foot to lip; returns the lip's ring. `below`: the ring that the foot's ring continues, or null for a fan.
  Ring outside(const Ring* recess) {
    const Profile& p = form_.profile();
    Ring last;
    for (std::size_t k = 0; k + 1 < p.segments().size(); ++k) {
      Lane lane;
      const int first_span = p.segments()[k], end_span = p.segments()[k + 1];
      for (int span = first_span; span < end_span; ++span) {
        const ProfileSpan& s = p.spans()[static_cast<std::size_t>(span)];
        for (int i = 0; i <= kSamples; ++i) {
          const double t = s.begin + s.length * i / kSamples;
          double most = 0;
          for (const Place& x : some_) most = std::max(most, outside_density(span, t, x));
          lane.add(t, most);
        }
      }
      bool skip = k > 0;
      const auto at = [&](std::size_t i, double t) { return outside_point(t, places_[i].at); };
      const auto middle = [&](std::size_t i, double t) { return outside_point(t, halfway_[i].at); };
      for (double t : checked_stations(lane, at, middle)) {
        if (!skip) {
          Ring ring = add_ring(outside_points(t));
          if (!last.empty())
            band(last, ring);
          else if (recess)
            band(*recess, ring);
          else
            fan(ring, form_.low(), true);
          last = std::move(ring);
        }
        skip = false;
      }
    }
    return last;
  }

  // Untrimmed: from lip to floor, starting at the outside's lip ring.
  void regular_inside(const InnerSolver& solver, const Ring& lip) {
    std::vector<std::vector<Vec3>> rings;  // floor to lip
    for (const Band& band : solver.bands()) inner_rings(solver, band, rings);
    for (std::size_t i = 0; i < places_.size(); ++i) {
      rings.front()[i].z = solver.floor();
      rings.back()[i].z = form_.high();
    }
    Ring before = lip;
    for (std::size_t j = rings.size(); j-- > 0;) {
      Ring ring = add_ring(rings[j], &before);
      band(before, ring);
      before = std::move(ring);
    }
    fan(before, solver.floor(), false);
  }

  // Trimmed: the sheet has columns of its own; lip and floor are closed by angle.
  void trimmed_inside(const Wall& wall, const Ring& lip) {
    const std::vector<InnerSheet> sheets = add_trimmed_inside(wall, deviation_, sector_);
    zip(lip, sheets.back().lip);
    for (std::size_t i = sheets.size() - 1; i > 0; --i) {
      const Ring &above = sheets[i].floor, &below = sheets[i - 1].lip;
      // A ceiling looks down, a floor (the ring above is the wider one) up.
      if (reach_of(above) < reach_of(below))
        zip(below, above, true);
      else
        zip(above, below);
    }
    fan(sheets.front().floor, wall.floor(), false);
  }

 private:
  // The stations of a lane, halved where the surface's points lie too far from the chords at any of the places: the
  // bending at the samples does not tell how it runs between them.
  // at(i, t) is the point at place i, middle(i, t) the one halfway between the places i and i + 1.
  template <class At, class Middle>
  std::vector<double> checked_stations(const Lane& lane, At&& at, Middle&& middle) const {
    std::vector<double> planned, out;
    lane.place(lane.intervals(), [&](double t) { planned.push_back(t); });
    std::vector<double> open(planned.rbegin(), planned.rend());
    out.push_back(open.back());
    open.pop_back();
    std::vector<Vec3> from, to;
    looks_at(out.back(), at, from);
    while (!open.empty()) {
      const double a = out.back(), b = open.back();
      looks_at(b, at, to);
      const bool near = b - a < 1e-4 * (planned.back() - planned.front()) || fits(a, from, b, to, at, middle);
      if (near) {
        out.push_back(b);
        open.pop_back();
        from.swap(to);
      } else {
        open.push_back(0.5 * (a + b));
      }
    }
    return out;
  }

  // Calls look(i) for the axes, where a section may be sharp, and a few places between.
  template <class Look>
  void each_look(Look&& look) const {
    // A twisted half has twice a quadrant's corners, and leans differently on their two sides.
    const std::size_t last = places_.size() - 2, stride = std::max<std::size_t>(1, last / (sector_.half ? 11 : 5));
    for (std::size_t i = 0; i <= last; i = i == last ? last + 1 : std::min(last, i + stride)) look(i);
  }
  // The surface at a station: each looked-at place and its neighbour.
  template <class At>
  void looks_at(double t, At&& at, std::vector<Vec3>& points) const {
    points.clear();
    each_look([&](std::size_t i) {
      points.push_back(at(i, t));
      points.push_back(at(i + 1, t));
    });
  }

  template <class At, class Middle>
  bool fits(double a, const std::vector<Vec3>& from, double b, const std::vector<Vec3>& to, At&& at,
            Middle&& middle) const {
    bool all = true;
    std::size_t k = 0;
    each_look([&](std::size_t i) {
      const Vec3 p = from[k], r = from[k + 1], q = to[k], s = to[k + 1], chord = q - p;
      k += 2;
      if (!all) return;
      // Off the middle, where an S-shape would cross its chord.
      if (norm(cross(chord, at(i, a + 0.4 * (b - a)) - p)) > (1 - kColumnShare) * deviation_ * norm(chord)) {
        all = false;
        return;
      }
      // The middle of the diagonal that band() takes.
      const Vec3 on = norm(p - s) <= norm(r - q) ? 0.5 * (p + s) : 0.5 * (r + q);
      const Vec3 n = cross(s - p, q - r);
      all = !(dot(n, n) > 0 && std::abs(dot(middle(i, 0.5 * (a + b)) - on, n)) > 0.9 * deviation_ * norm(n));
    });
    return all;
  }

  // Halfway between two places, on the piece of the second.
  Place halfway(std::size_t i) const {
    Place m = places_[i + 1];
    m.v = 0.5 * ((places_[i].piece == m.piece ? places_[i].v : 0) + m.v);
    m.at = form_.place(m.piece, m.v);
    return m;
  }

  Vec3 outside_point(double t, const FormPlace& x) const { return form_.point_at(form_.profile().at(t), x); }

  double outside_density(int span, double t, const Place& x) const {
    const auto o = outside_jet(form_, span, t, x.piece, x.v);
    return o ? bend_density(*o, x.step, deviation_) : 0;
  }

  std::vector<Vec3> outside_points(double t) const {
    const ProfileJet j = form_.profile().at(t);
    const double end = form_.profile().end();
    const bool last = std::abs(t - end) <= 1e-12 * end;  // a station of a lane may miss it by rounding
    std::vector<Vec3> points(places_.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
      points[i] = form_.point_at(j, places_[i].at);
      if (last) points[i].z = form_.high();
    }
    close_ring(points);
    return points;
  }

  void inner_rings(const InnerSolver& solver, const Band& band, std::vector<std::vector<Vec3>>& rings) const {
    const double whole0 = solver.band_begin(band), whole1 = solver.band_end(band);
    const bool first = rings.empty(), last = &band == &solver.bands().back();
    std::vector<double> s0(places_.size(), whole0), s1(places_.size(), whole1);
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (first) s0[i] = solver.band_at(band, places_[i].piece, places_[i].v, solver.floor());
      if (last) s1[i] = solver.band_at(band, places_[i].piece, places_[i].v, form_.high());
    }
    Lane lane;
    const Profile& p = form_.profile();
    const auto& segments = p.segments();
    const int spans = band.arc ? 2
                               : segments[static_cast<std::size_t>(band.segment) + 1] -
                                     segments[static_cast<std::size_t>(band.segment)];
    const int samples = 8 * spans;
    for (int k = 0; k <= samples; ++k) {
      const double f = static_cast<double>(k) / samples;
      double most = 0;
      const std::size_t stride = std::max<std::size_t>(1, places_.size() / 10);
      for (std::size_t i = 0; i < places_.size(); i += stride) {
        const Place& x = places_[i];
        const double range = s1[i] - s0[i];
        const OffsetJet o = solver.band_point(band, x.piece, std::clamp(x.v, 1e-3, 1 - 1e-3), s0[i] + f * range);
        most = std::max(most, bend_density(o, x.step, deviation_) * range);
      }
      lane.add(f, most);
    }
    bool skip = !first;
    const auto at = [&](std::size_t i, double f) {
      return inner_point(solver, band, places_[i], s0[i] + f * (s1[i] - s0[i]));
    };
    const auto middle = [&](std::size_t i, double f) {
      const double low = 0.5 * (s0[i] + s0[i + 1]), high = 0.5 * (s1[i] + s1[i + 1]);
      return inner_point(solver, band, halfway_[i], low + f * (high - low));
    };
    for (double f : checked_stations(lane, at, middle)) {
      if (!skip) {
        std::vector<Vec3>& ring = rings.emplace_back(places_.size());
        for (std::size_t i = 0; i < ring.size(); ++i)
          ring[i] = inner_point(solver, band, places_[i], s0[i] + f * (s1[i] - s0[i]));
        close_ring(ring);
      }
      skip = false;
    }
  }

  // The position alone: an offset needs no second derivatives for that.
  Vec3 inner_point(const InnerSolver& solver, const Band& band, const Place& x, double s) const {
    if (band.arc) return solver.band_point(band, x.piece, x.v, s).at;
    const Profile& p = form_.profile();
    const auto& segments = p.segments();
    const int low = segments[static_cast<std::size_t>(band.segment)];
    const int high = segments[static_cast<std::size_t>(band.segment) + 1] - 1;
    const int span = std::clamp(p.span_of(s), low, high);
    const SurfaceJet j = form_.slopes_at(p.at(span, s), x.at);
    const Vec3 n = cross(j.p_v, j.p_t);
    // An empty piece has its normal from the neighbourhood.
    if (!(dot(j.p_v, j.p_v) > 1e-12)) return solver.inner_point(span, s, x.piece, x.v);
    return j.p - solver.wall() / std::sqrt(dot(n, n)) * n;
  }

  double reach_of(const Ring& ring) const {
    double sum = 0;
    for (std::uint32_t id : ring) sum += std::hypot(sector_.points[id].x, sector_.points[id].y);
    return sum / static_cast<double>(ring.size());
  }

  // The flat between two nested rings that share the axes: of all ways to join them the one whose thinnest triangle is
  // fattest. All areas positive means no overlap, since their sum is that of the flat.
  void zip(const Ring& a, const Ring& b, bool down = false) {
    const auto face = [&](std::uint32_t i, std::uint32_t j, std::uint32_t k) {
      down ? sector_.face(i, k, j) : sector_.face(i, j, k);
    };
    const std::size_t n = a.size(), m = b.size();
    const auto area = [&](std::uint32_t i, std::uint32_t j, std::uint32_t k) {
      const auto& p = sector_.points;
      return 0.5 * ((p[j].x - p[i].x) * (p[k].y - p[i].y) - (p[k].x - p[i].x) * (p[j].y - p[i].y));
    };
    // A merged place is no triangle and costs nothing.
    const auto one = [](std::uint32_t i, std::uint32_t j, std::uint32_t k) { return i == j || j == k || k == i; };
    std::vector<double> best(n * m, -INFINITY);
    std::vector<char> from_a(n * m, 0);
    best[0] = INFINITY;
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t k = 0; k < m; ++k) {
        double& here = best[i * m + k];
        if (i > 0) {
          const double step = one(a[i - 1], a[i], b[k]) ? INFINITY : area(a[i - 1], a[i], b[k]);
          const double least = std::min(best[(i - 1) * m + k], step);
          if (least > here) here = least, from_a[i * m + k] = 1;
        }
        if (k > 0) {
          const double step = one(a[i], b[k], b[k - 1]) ? INFINITY : area(a[i], b[k], b[k - 1]);
          const double least = std::min(best[i * m + k - 1], step);
          if (least > here) here = least, from_a[i * m + k] = 0;
        }
      }
    for (std::size_t i = n - 1, k = m - 1; i > 0 || k > 0;) {
      if (from_a[i * m + k])
        face(a[i - 1], a[i], b[k]), --i;
      else
        face(a[i], b[k], b[k - 1]), --k;
    }
  }

  const Form& form_;
  double deviation_;
  std::vector<Place> places_, some_, halfway_;
  Sector sector_;
};

}  // namespace

void mesh_squared_ware(const Wall& w, double deviation, solid::Mesh& out) {
  const Form& form = w.form();
  SquaredMesh mesh(form, deviation);
  Ring recess;
  if (w.size().recess > 0) {
    const FootInset inset(w);
    const ProfileJet foot = form.profile().at(0, form.profile().begin());
    const std::size_t count = mesh.places().size();
    std::vector<Vec3> up, down;
    for (std::size_t i = 0; i < count; ++i) {
      const Vec3 p = form.point_at(foot, mesh.places()[i].at);
      Vec2 u = unit(Vec2{p.x, p.y});
      if (!form.twisted() && i == 0) u = {1, 0};
      if (!form.twisted() && i + 1 == count) u = {0, 1};
      const Vec2 q = inset.reach(u) * u;
      up.push_back({q.x, q.y, form.low() + w.size().recess});
      down.push_back({q.x, q.y, form.low()});
    }
    mesh.close_ring(up);
    mesh.close_ring(down);
    const Ring top = mesh.add_ring(up);
    recess = mesh.add_ring(down);
    mesh.fan(top, form.low() + w.size().recess, true);
    mesh.band(top, recess);
  }
  const Ring lip = mesh.outside(w.size().recess > 0 ? &recess : nullptr);
  if (w.solver()->regular())
    mesh.regular_inside(*w.solver(), lip);
  else
    mesh.trimmed_inside(w, lip);
  mesh.sector().whole(out);
}

void mesh_squared_form(const Form& form, double deviation, solid::Mesh& out) {
  SquaredMesh mesh(form, deviation);
  mesh.fan(mesh.outside(nullptr), form.high(), false);
  mesh.sector().whole(out);
}

}  // namespace kerfkiln::urn
