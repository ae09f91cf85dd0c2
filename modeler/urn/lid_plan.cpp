// What neck and mouth dictate to a lid.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/urn/lid_size.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kLoopMm = 0.05;      // sampling of sections; their points lie on the curve
constexpr double kRoom = 1.0;         // level clay left between a fold of the parallel curves and the lid's hollow
constexpr double kDrainedMore = 0.5;  // what a drained face is given more than a formed one
constexpr double kSteepest = 0.5;     // of a skirt: a slope of 27 degrees
constexpr double kPi = std::numbers::pi;

SectionSize lip_size(const Form& f) { return f.profile().at(f.profile().end()).size; }

Vec2 turned(Vec2 p, double by) {
  const double c = std::cos(by), s = std::sin(by);
  return {c * p.x - s * p.y, s * p.x + c * p.y};
}

// Distances of the neck's level sections from the outline, over depth below the lip.
struct Envelope {
  std::vector<double> depth, most, least;
};
Envelope outside_envelope(const Form& f, const LidOutline& k, double deep, int steps) {
  Envelope e;
  const double turn = lip_turn(f);
  for (int i = 0; i <= steps; ++i) {
    const double u = std::min(deep, f.height()) * i / steps, z = f.high() - u;
    double most = -INFINITY, least = INFINITY;
    if (f.round()) {
      most = least = f.size_at(z).half_width - k.half_width();
    } else {
      const auto take = [&](Vec2 q) {
        const double d = k.distance(q);
        most = std::max(most, d), least = std::min(least, d);
      };
      if (f.twisted()) {
        for (const Vec2 p : f.section_loop(z, kLoopMm)) take(turned(p, -turn));
      } else {
        const SectionSize size = f.size_at(z);
        constexpr int kPlaces = 10;  // a piece; both axes are among them
        for (int piece = 0; piece < f.section().pieces; ++piece)
          for (int j = 0; j <= kPlaces; ++j) take(f.section().point(size, piece, static_cast<double>(j) / kPlaces));
      }
    }
    e.depth.push_back(u), e.most.push_back(most), e.least.push_back(least);
  }
  return e;
}

// The inside of a skirt: distance start + slope * depth from the outline, at least `gap` (along the normal) away from
// the neck down to `flange`, as near as it can be on the whole.
struct Skirt {
  double start = 0, slope = 0;
  double widest_gap = 0;  // along its normal
  double at(double u) const { return start + slope * u; }
  double normal() const { return std::hypot(1.0, slope); }
};
Skirt skirt(const Envelope& e, double flange, double gap) {
  const auto start = [&](double slope) {
    double most = -INFINITY;
    for (std::size_t i = 0; i < e.depth.size() && e.depth[i] <= flange * (1 + 1e-9); ++i)
      most = std::max(most, e.most[i] - slope * e.depth[i]);
    return most + gap * std::hypot(1.0, slope);
  };
  // Convex in the slope: golden section.
  const auto cost = [&](double slope) { return start(slope) + slope * flange / 2; };
  double lo = 0, hi = 1;
  constexpr double kGolden = 0.6180339887498949;
  for (int i = 0; i < 60; ++i) {
    const double a = hi - kGolden * (hi - lo), b = lo + kGolden * (hi - lo);
    (cost(a) <= cost(b) ? hi : lo) = cost(a) <= cost(b) ? b : a;
  }
  Skirt s;
  s.slope = 0.5 * (lo + hi) < 1e-6 ? 0 : 0.5 * (lo + hi);
  s.start = start(s.slope);
  for (std::size_t i = 0; i < e.depth.size() && e.depth[i] <= flange * (1 + 1e-9); ++i)
    s.widest_gap = std::max(s.widest_gap, (s.at(e.depth[i]) - e.most[i]) / s.normal());
  return s;
}

// From the end of the skirt to the shoulder below.
double shoulder_room(const Envelope& e, const Skirt& s, double flange, double wall) {
  const double in = s.at(flange), out = in + wall * s.normal();
  double room = INFINITY;
  for (std::size_t i = 0; i < e.depth.size(); ++i) {
    if (e.depth[i] <= flange) continue;
    const double beside = std::max({0.0, in - e.most[i], e.most[i] - out});
    room = std::min(room, std::hypot(beside, e.depth[i] - flange));
  }
  return room;
}

Finding too_sharp(const LidOutline& k, double needed) {
  return {Severity::error, "lid.corner", "lid",
          "the corners of the lip have a radius of " + shortest(k.sharpest(), 1) +
              " mm seen from above; this lid needs at least " + shortest(std::ceil(needed * 2) / 2, 1) + " mm",
          "round the lip more (a smaller squareness or a larger corner radius at the last profile point), or make the "
          "lid's wall and seat smaller"};
}

// Where a dome of our own may end: clear of the fold, and wide enough for the knob.
void set_panel(LidPlan& p) {
  const LidOutline& k = p.outline;
  const double neck = p.size.knob() ? p.size.knob_neck / 2 : 0, less = k.half_width() - k.half_depth();
  p.seat.limit = k.round() ? 0 : k.half_width() - 0.98 * k.sharpest();
  p.seat.lowest_panel =
      k.round() ? neck : std::max(k.half_width() - 0.9 * k.sharpest(), neck > 0 ? neck + kRoom + less : 0);
}

void set_height(const Spec& spec, LidPlan& p) {
  LidSize& s = p.size;
  const double run = p.seat.shoulder_in - p.seat.lowest_panel;
  const bool room = run > kRoom;
  if (!(s.height == s.height)) s.height = s.wall + (room ? 0.35 * run : 0);
  if (!spec.lid.profile.empty()) {
    s.height = spec.lid.profile.back().height.value;
    return;
  }
  if (s.height < s.wall)
    p.findings.push_back({Severity::error, "lid.height", "lid/height",
                          "a lid " + mm(s.height) + " high over its seat is lower than its wall of " + mm(s.wall),
                          "give at least " + mm(s.wall)});
  else if (s.height > s.wall && !room)
    p.findings.push_back({Severity::warning, "lid.height", "lid/height",
                          "a lid " + mm(s.height) +
                              " high over its seat has no room for a dome between the shoulder and " +
                              (s.knob() ? "the knob" : "the middle") + ": it is flat, " + mm(s.wall) + " high",
                          "round the lip more, make the knob's neck narrower, or give the lid a profile of its own"});
  if (!room) s.height = std::min(s.height, s.wall);
}

void check_knob_room(const Spec& spec, LidPlan& p) {
  const LidSize& s = p.size;
  if (!s.knob()) return;
  const double least =
      2 * std::min(p.seat.shoulder_in, p.seat.shoulder_in - p.outline.half_width() + p.outline.half_depth());
  const std::string smaller = "the knob at most " + mm(std::floor(0.6 * least)) + " wide";
  if (s.knob_diameter > least)
    p.findings.push_back(
        {Severity::error, "lid.knob", "lid/knob/diameter",
         "a knob of " + mm(s.knob_diameter) + " is larger than the lid inside its shoulder (" + mm(least) + ")",
         "make " + smaller});
  else if (s.knob_neck > least - 2 * kRoom)
    p.findings.push_back({Severity::error, "lid.knob",
                          spec.lid.knob.neck.known() ? "lid/knob/neck" : "lid/knob/diameter",
                          "the knob's neck of " + mm(s.knob_neck) + " leaves no level clay inside the shoulder (" +
                              mm(least) + "); up to " + mm(std::max(0.0, least - 2 * kRoom)) + " would",
                          "make its neck narrower, or " + smaller});
}

double lip_thickness(const Wall& w) {
  const SectionSize lip = lip_size(w.form());
  return std::min(lip.half_width - w.inner_reach(lip_turn(w.form()), w.lip()),
                  lip.half_depth - w.inner_reach(lip_turn(w.form()) + kPi / 2, w.lip()));
}

// Is the neck long and straight enough for the skirt? Says so with the flange that would do.
void judge_skirt(LidPlan& p, const Envelope& e, const Skirt& inside) {
  const LidSize& s = p.size;
  const auto fits = [&](double flange) {
    const Skirt t = skirt(e, flange, s.clearance);
    return t.slope <= kSteepest && shoulder_room(e, t, flange, s.wall) >= s.clearance;
  };
  const double loose = 2 * s.clearance + 0.5;
  const auto follows = [&](double flange) { return skirt(e, flange, s.clearance).widest_gap <= loose; };
  const auto longest = [&](auto&& good) {
    double most = 0;
    for (std::size_t i = 1; i < e.depth.size() && e.depth[i] < s.flange && good(e.depth[i]); ++i) most = e.depth[i];
    return std::floor(most * 2) / 2;
  };
  if (!fits(s.flange)) {
    const double most = longest(fits);
    const std::string would = most > 0 ? "; up to " + mm(most) + " would do" : "; no overlap would do";
    const bool steep = inside.slope > kSteepest;
    p.findings.push_back({Severity::error, steep ? "lid.flange" : "lid.shoulder", "lid/flange",
                          "a flange of " + mm(s.flange) +
                              (steep ? " is longer than the neck is straight: the skirt would flare out"
                                     : " would touch the shoulder before the lid rests on the lip") +
                              would,
                          most > 0 ? "make the flange at most " + mm(most) + ", or the neck longer"
                                   : "make the neck straight below the lip, or make the lid inset"});
  } else if (inside.widest_gap > loose) {
    const double most = longest(follows);
    p.findings.push_back({Severity::warning, "lid.flange", "lid/flange",
                          "a flange of " + mm(s.flange) + " is longer than the neck is straight: the gap grows to " +
                              shortest(inside.widest_gap, 1) + " mm; up to " + mm(loose) + " guides the lid",
                          most > 0 ? "a flange of " + mm(most) + " follows the neck; or make the neck straighter"
                                   : "make the neck straighter below the lip"});
  }
}

void place_skirt(LidPlan& p, const Wall& w, const Envelope& e, const Skirt& inside) {
  const LidSize& s = p.size;
  const double a = p.outline.half_width(), thick = s.wall * inside.normal();
  p.seat.seat_z = w.lip();
  p.seat.rim_z = w.lip() - s.flange;
  p.seat.rim_in = a + inside.at(s.flange);
  p.seat.rim_out = p.seat.rim_in + thick;
  p.seat.shoulder_out = a + inside.at(-s.wall) + thick;
  p.seat.shoulder_in = a - s.seat;
  p.gap_least = s.clearance;
  for (std::size_t i = 0; i < e.depth.size() && e.depth[i] <= s.flange * (1 + 1e-9); ++i)
    p.gap_most = std::max(p.gap_most, (inside.at(e.depth[i]) - e.least[i]) / inside.normal());
  p.guide_urn = a + inside.start - s.clearance * inside.normal();
  p.guide_lid = p.guide_urn + s.clearance;
}

}  // namespace

Result<LidPlan> plan_cap(const Spec& spec, const Wall& w, LidSize s) {
  const Form& form = w.form();
  LidPlan p{s, LidOutline(form.section(), lip_size(form)), {}, 0, 0, 0, 0, 0, 0, 0, 0, {}};
  const LidOutline& k = p.outline;
  const double lip = lip_thickness(w), half = std::min(k.half_width(), k.half_depth());
  if (!(p.size.seat == p.size.seat)) p.size.seat = std::min(s.wall, lip);
  const double seat = p.size.seat, needed = (seat + kRoom) / 0.98;
  if (!k.round() && k.sharpest() < needed) return too_sharp(k, needed);
  if (!(seat < half - kRoom))
    return Finding{
        Severity::error, "lid.seat", "lid/seat",
        "a seat of " + mm(seat) + " is wider than the lip allows; less than " + mm(half - kRoom) + " is possible",
        "make the seat narrower"};
  if (!(s.flange < form.height()))
    return Finding{
        Severity::error, "lid.flange", "lid/flange",
        "a flange of " + mm(s.flange) + " is longer than the urn is high (" + mm(form.height()) + ")",
        "make the flange as long as the cap is to overlap the neck, " + mm(form.height()) + " at the very most"};
  // Samples stand at whole parts of the flange, so that its end is one of them, and reach well below it.
  const int over = form.round() ? 100 : 24;
  const double below = over * (s.wall + s.clearance + 12) / s.flange;
  const int steps = over + std::clamp(static_cast<int>(std::ceil(below)), 4, 3 * over);
  const Envelope e = outside_envelope(form, k, s.flange * steps / over, steps);
  const Skirt inside = skirt(e, s.flange, s.clearance);
  judge_skirt(p, e, inside);
  const double carried = std::min(seat, lip);
  if (s.clearance >= carried)
    p.findings.push_back(
        {Severity::error, "lid.seat", "lid/clearance",
         "with a clearance of " + mm(s.clearance) + " a side the cap can slide off its seat of " + mm(carried),
         "keep the clearance below " + mm(carried) + ", or make the seat wider"});
  if (has_errors(p.findings)) return p;
  place_skirt(p, w, e, inside);
  p.seat_from = -carried;
  p.mouth = 2 * std::min(w.inner_reach(lip_turn(form), w.lip()), w.inner_reach(lip_turn(form) + kPi / 2, w.lip()));
  set_panel(p);
  set_height(spec, p);
  check_knob_room(spec, p);
  return p;
}

namespace {

// The mouth between two heights as a section of the lip's family that fits into it, its corners at least `sharpest`
// round. `inside` is how far the mouth stays outside of it, all round and over the heights (not positive).
struct Mouth {
  LidOutline outline;
  double inside = 0, outside = 0;  // least and largest distance of the neck's inside from the outline
  double at_lip = 0;               // largest at the lip
};
Mouth mouth_between(const Wall& w, double low, double needed) {
  const Form& f = w.form();
  const double turn = lip_turn(f);
  const int levels = f.round() ? 48 : 8;
  SectionSize s = lip_size(f);
  s.half_width = s.half_depth = INFINITY;
  for (int i = 0; i <= levels; ++i) {
    const double z = low + (w.lip() - low) * i / levels;
    s.half_width = std::min(s.half_width, w.inner_reach(turn, z));
    s.half_depth = f.round() ? s.half_width : std::min(s.half_depth, w.inner_reach(turn + kPi / 2, z));
  }
  const SectionType& type = f.section();
  if (type.depth_factor != 0) {
    // Regular: one half size gives the other.
    const double corner = std::min(std::max(s.shape - w.size().wall, needed), std::min(s.half_width, s.half_depth));
    s.half_width = std::min(s.half_width, corner + (s.half_depth - corner) / type.depth_factor);
    s.half_depth = corner + type.depth_factor * (s.half_width - corner);
  }
  if (f.round()) {
    if (type.shape_is_length) s.shape = s.half_width;
    const double at = w.inner_reach(0, w.lip());
    double most = at;
    for (int i = 0; i <= levels; ++i) most = std::max(most, w.inner_reach(0, low + (w.lip() - low) * i / levels));
    return {LidOutline(type, s), 0, most - s.half_width, at - s.half_width};
  }
  if (type.shape_is_length) {
    const double room = std::min(s.half_width, s.half_depth);
    s.shape = std::min(std::max(s.shape - w.size().wall, needed), room);
  } else if (s.shape > 2 && LidOutline(type, s).sharpest() < needed) {
    double round = 2, square = s.shape;
    for (int i = 0; i < 24; ++i) {
      s.shape = 0.5 * (round + square);
      (LidOutline(type, s).sharpest() < needed ? square : round) = s.shape;
    }
    s.shape = round;
  } else if (s.shape < 2) {
    s.shape = 2;
  }
  Mouth m{LidOutline(type, s), INFINITY, -INFINITY, -INFINITY};
  const int turns = f.twisted() ? 48 : 24;
  for (int i = 0; i <= levels; ++i)
    for (int j = 0; j <= turns; ++j) {
      const double z = low + (w.lip() - low) * i / levels, phi = turn + (f.twisted() ? kPi : kPi / 2) * j / turns,
                   r = w.inner_reach(phi, z);
      const double d = m.outline.distance({r * std::cos(phi - turn), r * std::sin(phi - turn)});
      m.inside = std::min(m.inside, d), m.outside = std::max(m.outside, d);
      if (i == levels) m.at_lip = std::max(m.at_lip, d);
    }
  return m;
}

}  // namespace

Result<LidPlan> plan_inset(const Spec& spec, const Wall& w, LidSize s) {
  const double seat_z = w.lip() - s.gallery_depth;
  const double low = std::min(seat_z - s.flange, seat_z - s.gallery_height);
  if (!(low > w.floor()))
    return Finding{Severity::error, "lid.flange", "lid/flange",
                   "a flange of " + mm(s.flange) + " would stand on the floor of the urn; less than " +
                       mm(seat_z - w.floor()) + " is possible",
                   "make the flange shorter"};
  const double hang = s.gallery_width + s.clearance + s.wall;  // how far inside the mouth the lid's hollow begins
  const Mouth m = mouth_between(w, low, (hang + kRoom) / 0.9);
  LidPlan p{s, m.outline, {}, 0, 0, 0, 0, 0, 0, 0, 0, {}};
  const LidOutline& k = p.outline;
  const double a = k.half_width(), b = k.half_depth();
  if (!(hang - m.inside + kRoom < std::min(a, b)))
    return Finding{Severity::error, "lid.mouth", "lid",
                   "the mouth is " + mm(2 * std::min(a, b)) + " wide inside; flange, clearance and gallery take " +
                       mm(2 * (hang - m.inside)) + " of it, and at least " + mm(2 * kRoom) + " must be left",
                   "make the mouth wider, or wall, clearance and gallery of the lid smaller"};
  if (!k.round() && k.sharpest() < (hang - m.inside + kRoom) / 0.98)
    return too_sharp(k, (hang - m.inside + kRoom) / 0.98 + w.size().wall);
  const double lip_in = w.inner_reach(lip_turn(w.form()), w.lip()) - a, lip_out = lip_size(w.form()).half_width - a;
  const double flange = m.inside - s.gallery_width - s.clearance;  // of its outside, from the outline
  double edge = 0;
  if (s.gallery()) {
    p.rim_gap = s.clearance + kDrainedMore;
    edge = m.inside - p.rim_gap;
    p.size.seat = edge - (m.inside - s.gallery_width);
    p.seat_from = m.inside - s.gallery_width, p.seat_to = edge;
  } else {
    edge = p.size.seat == p.size.seat ? lip_in + p.size.seat : lip_out;
    p.seat_from = lip_in, p.seat_to = std::min(edge, lip_out);
    p.size.seat = p.seat_to - p.seat_from;
    if (p.size.seat < s.clearance + lip_in + kRoom)
      p.findings.push_back(
          {Severity::error, "lid.seat", spec.lid.seat.known() ? "lid/seat" : "lid/clearance",
           "a seat of " + mm(p.size.seat) + " lets the lid fall in when it slides by its clearance of " +
               mm(s.clearance + lip_in),
           "keep the seat above " + mm(s.clearance + lip_in + kRoom) + ": a thicker lip, a smaller clearance"});
    else if (edge > lip_out + 0.5)
      p.findings.push_back({Severity::note, "lid.overhang", "lid/seat",
                            "the rim stands " + mm(edge - lip_out) + " out over the lip",
                            "a seat of " + mm(lip_out - lip_in) + " ends flush with the lip"});
    else if (m.at_lip + kRoom > edge)
      p.findings.push_back(
          {Severity::warning, "lid.seat", "lid/seat",
           (edge < m.at_lip
                ? "the corners of the mouth reach " + shortest(m.at_lip - edge, 1) + " mm out beyond the rim"
                : "the rim ends " + shortest(edge - m.at_lip, 1) + " mm beyond the corners of the mouth") +
               "; " + mm(kRoom) + " beyond them closes it",
           "make the seat at least " + mm(std::ceil((m.at_lip + kRoom - lip_in) * 10) / 10) +
               " wide or the lip rounder"});
  }
  p.seat.seat_z = seat_z;
  p.seat.rim_z = seat_z - s.flange;
  p.seat.rim_out = a + flange;
  p.seat.rim_in = p.seat.rim_out - s.wall;
  p.seat.shoulder_out = a + edge;
  p.seat.shoulder_in = p.seat.rim_out;
  p.gap_least = s.clearance;
  p.gap_most = s.gallery() ? s.clearance : m.outside - flange;
  p.guide_urn = a + m.inside - s.gallery_width;
  p.guide_lid = a + flange;
  p.mouth = 2 * (std::min(a, b) + m.inside - s.gallery_width);
  set_panel(p);
  set_height(spec, p);
  check_knob_room(spec, p);
  return p;
}

}  // namespace kerfkiln::urn
