// When a squared inside needs no trimming, and the bands that it then consists of.
#include <algorithm>
#include <cmath>

#include "modeler/urn/inner_solver.hpp"

namespace kerfkiln::urn {
namespace {

constexpr int kChecks = 10;      // stations a span, and places a piece, where things are looked at
constexpr int kFineChecks = 32;  // places a piece for the curvature: a square section turns within a few degrees

double place(int i, int n) { return std::clamp(static_cast<double>(i) / n, 1e-3, 1 - 1e-3); }

// `n` + 1 of every piece of the sector.
std::vector<FormPlace> places_to_check(const Form& form, int n) {
  std::vector<FormPlace> out;
  for (int piece = 0; piece < form.sector_pieces(); ++piece)
    for (int q = 0; q <= n; ++q) out.push_back(form.place(piece, place(q, n)));
  return out;
}

}  // namespace

// Both principal curvatures below 1/wall, and no upright edge: the offset then is a local one-to-one map of a strip
// that is closed all round, hence one-to-one.
bool InnerSolver::curvature_fits() const {
  const auto& spans = form_->profile().spans();
  const bool twisted = form_->twisted();
  const std::vector<FormPlace> places = places_to_check(*form_, kFineChecks);
  for (int k = 0; k < static_cast<int>(spans.size()); ++k)
    for (int i = 0; i <= kChecks; ++i) {
      const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
      const ProfileJet p = form_->profile().at(k, s.begin + s.length * i / kChecks);
      Vec3 before{}, begin{};
      for (std::size_t q = 0; q < places.size(); ++q) {
        const SurfaceJet j = form_->jet_at(p, places[q]);
        const Vec3 n = cross(j.p_v, j.p_t);
        const double square = dot(n, n);
        if (square < 1e-18 * dot(j.p_t, j.p_t) * wall_ * wall_) continue;  // an empty piece
        const Vec3 unit_n = n / std::sqrt(square);
        const double e = dot(j.p_t, j.p_t), f = dot(j.p_t, j.p_v), g = dot(j.p_v, j.p_v);
        const double l = -dot(j.p_tt, unit_n), m = -dot(j.p_tv, unit_n), o = -dot(j.p_vv, unit_n);
        const double mean = 0.5 * (e * o + g * l - 2 * f * m) / square, gauss = (l * o - m * m) / square;
        if (!(1 - wall_ * mean > 0.02 && 1 - 2 * wall_ * mean + wall_ * wall_ * gauss > 0.02)) return false;
        // Neighbouring normals far apart without curvature to explain it: an edge.
        const bool first = dot(before, before) == 0, piece_begins = q % (kFineChecks + 1) == 0;
        if (first) begin = unit_n;
        // An edge on the x axis of a form that is symmetric there.
        if (first ? !twisted && std::abs(unit_n.y) > 0.05 : piece_begins && norm(unit_n - before) > 0.05) return false;
        before = unit_n;
      }
      // The end of the sector meets its mirror image, or the half turn of its beginning.
      if (twisted ? norm(Vec3{-before.x, -before.y, before.z} - begin) > 0.05 : std::abs(before.x) > 0.05) return false;
    }
  return true;
}

// Floor and lip cut each line of places once: the offset never falls along it.
bool InnerSolver::heights_rise() const {
  const auto& spans = form_->profile().spans();
  for (int k = 0; k < static_cast<int>(spans.size()); ++k)
    for (int i = 0; i <= kChecks; ++i) {
      const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
      for (int piece = 0; piece < form_->sector_pieces(); ++piece)
        for (int q = 0; q <= kChecks; ++q) {
          if (empty(piece)) continue;
          const OffsetJet o = offset(k, s.begin + s.length * i / kChecks, piece, place(q, kChecks));
          if (!(o.at_t.z > -1e-9 * norm(o.at_t))) return false;
        }
    }
  return true;
}

bool InnerSolver::empty(int piece) const {
  for (int k = 0; k < static_cast<int>(form_->profile().spans().size()); ++k) {
    const ProfileSpan& s = form_->profile().spans()[static_cast<std::size_t>(k)];
    if (norm(form_->jet(form_->profile().at(k, s.begin + 0.5 * s.length), piece, 0.5).p_v) > 2e-7 * wall_) return false;
  }
  return true;
}

bool InnerSolver::corners_open() const {
  const auto& spans = form_->profile().spans();
  for (int k = 1; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    if (!s.corner_before) continue;
    for (int piece = 0; piece < form_->sector_pieces(); ++piece)
      for (int q = 0; q <= kChecks; ++q) {
        const double v = place(q, kChecks);
        if (empty(piece)) continue;
        const double below = offset(k - 1, s.begin, piece, v).normal.z, above = offset(k, s.begin, piece, v).normal.z;
        if (!(above < below - 1e-6)) return false;
      }
  }
  return true;
}

double InnerSolver::band_begin(const Band& b) const {
  if (b.arc) return 0;
  const Profile& p = form_->profile();
  return p.spans()[static_cast<std::size_t>(p.segments()[static_cast<std::size_t>(b.segment)])].begin;
}

double InnerSolver::band_end(const Band& b) const {
  if (b.arc) return 1;
  const Profile& p = form_->profile();
  const ProfileSpan& s = p.spans()[static_cast<std::size_t>(p.segments()[static_cast<std::size_t>(b.segment) + 1] - 1)];
  return s.begin + s.length;
}

OffsetJet InnerSolver::band_point(const Band& b, const FormPlace& x, double s) const {
  const Profile& p = form_->profile();
  const auto& segments = p.segments();
  if (!b.arc) {
    const int first = segments[static_cast<std::size_t>(b.segment)];
    const int last = segments[static_cast<std::size_t>(b.segment) + 1] - 1;
    return offset(std::clamp(p.span_of(s), first, last), s, x);
  }
  // Turns from the normal below to the normal above about the corner's tangent; at the foot from straight inward, at
  // the lip to straight inward.
  const int count = static_cast<int>(segments.size()) - 1;
  const bool foot = b.segment == 0, lip = b.segment == count;
  const int above = lip ? segments.back() - 1 : segments[static_cast<std::size_t>(b.segment)];
  const ProfileSpan& span = p.spans()[static_cast<std::size_t>(above)];
  const double t = lip ? span.begin + span.length : span.begin;
  const SurfaceJet j = jet_near(above, t, x);
  const double along = norm(j.p_v);
  const Vec3 tangent = j.p_v / along;
  // The tangent lies level, so that out (level) and up span the plane across it.
  const Vec3 out{tangent.y, -tangent.x, 0}, up{0, 0, 1};
  const Vec3 tangent_v = (j.p_vv - dot(j.p_vv, tangent) * tangent) / along;
  const Vec3 out_v{tangent_v.y, -tangent_v.x, 0};
  const auto lean = [&](const OffsetJet& o) { return std::atan2(o.normal.z, dot(o.normal, out)); };
  const auto lean_v = [&](const OffsetJet& o) {
    const double c = dot(o.normal, out), c_v = dot(o.normal_v, out) + dot(o.normal, out_v);
    return (o.normal_v.z * c - o.normal.z * c_v) / (c * c + o.normal.z * o.normal.z);
  };
  double low = 0, high = 0, low_v = 0, high_v = 0;
  if (!foot) {
    const OffsetJet o = offset(lip ? above : above - 1, t, x);
    low = lean(o), low_v = lean_v(o);
  }
  if (!lip) {
    const OffsetJet o = offset(above, t, x);
    high = lean(o), high_v = lean_v(o);
  }
  const double angle = low + s * (high - low), c = std::cos(angle), z = std::sin(angle);
  const double angle_v = low_v + s * (high_v - low_v);
  OffsetJet o;
  o.normal = c * out + z * up;
  const Vec3 turned = -z * out + c * up;
  o.normal_t = (high - low) * turned;
  o.normal_v = angle_v * turned + c * out_v;
  o.at = j.p - wall_ * o.normal;
  o.at_t = -wall_ * o.normal_t;
  o.at_v = j.p_v - wall_ * o.normal_v;
  return o;
}

double InnerSolver::band_at(const Band& b, const FormPlace& x, double z) const {
  double lo = band_begin(b), hi = band_end(b);
  const double size = hi - lo;
  double zlo = band_point(b, x, lo).at.z, zhi = band_point(b, x, hi).at.z;
  if (z <= zlo) return lo;
  if (z >= zhi) return hi;
  double s = lo + size * (z - zlo) / (zhi - zlo);
  for (int i = 0; i < 100; ++i) {
    const OffsetJet o = band_point(b, x, s);
    const double off = o.at.z - z;
    if (off == 0) break;
    (off < 0 ? lo : hi) = s;
    double next = s - off / o.at_t.z;
    if (!(next >= lo && next <= hi)) next = 0.5 * (lo + hi);
    const bool done = std::abs(next - s) <= 1e-15 * size;
    s = next;
    if (done) break;
  }
  return s;
}

// Which band floor and lip cut, the same one for every place.
bool InnerSolver::find_bands() {
  const int count = static_cast<int>(form_->profile().segments().size()) - 1;
  std::vector<Band> all;
  for (int k = 0; k <= count; ++k) {
    all.push_back({true, k});
    if (k < count) all.push_back({false, k});
  }
  const double level = 2e-10 * wall_;  // a segment that is level all along
  int bottom = -1, top = -1;
  for (int piece = 0; piece < form_->sector_pieces(); ++piece)
    for (int q = 0; q <= kChecks; ++q) {
      const double v = place(q, kChecks);
      // A piece that is empty all the way up has no offset to speak of; it has no place in the mesh either.
      if (empty(piece)) continue;
      // Ends of the bands by rising height: the offset of segment k ends where the arc above it begins.
      int low = static_cast<int>(all.size()) - 1, high = low;
      for (int k = count - 1; k >= 0; --k) {
        const Band& seg = all[static_cast<std::size_t>(2 * k + 1)];
        const double end = band_point(seg, piece, v, band_end(seg)).at.z;
        const double begin = band_point(seg, piece, v, band_begin(seg)).at.z;
        if (!(end > begin - level)) return false;
        const auto where = [&](double z, int now) { return z < begin ? 2 * k : z < end ? 2 * k + 1 : now; };
        low = where(floor_, low);
        high = where(form_->high(), high);
      }
      if ((bottom >= 0 && low != bottom) || (top >= 0 && high != top)) return false;
      bottom = low, top = high;
    }
  if (bottom < 0 || top < bottom) return false;
  bands_.assign(all.begin() + bottom, all.begin() + top + 1);
  return arcs_fit();
}

// A round about a corner or the lip leans less than the surface and may be too tight where the surface is not: its
// sections must run the way the ring runs.
bool InnerSolver::arcs_fit() const {
  for (const Band& band : bands_) {
    if (!band.arc) continue;
    const auto& segments = form_->profile().segments();
    const int count = static_cast<int>(segments.size()) - 1;
    const double t = band.segment == count ? form_->profile().end() : band_begin({false, band.segment});
    const ProfileJet ring = form_->profile().at(t);
    for (int piece = 0; piece < form_->sector_pieces(); ++piece)
      for (int q = 0; q <= kFineChecks && !empty(piece); ++q)
        for (double s : {0.0, 0.5, 1.0}) {
          const double v = place(q, kFineChecks);
          const Vec3 along = form_->jet(ring, piece, v).p_v;
          const double square = dot(along, along);
          if (square > 1e-20 * wall_ * wall_ && !(dot(band_point(band, piece, v, s).at_v, along) > 0.02 * square))
            return false;
        }
  }
  return true;
}

void InnerSolver::judge() { regular_ = curvature_fits() && heights_rise() && corners_open() && find_bands(); }

}  // namespace kerfkiln::urn
