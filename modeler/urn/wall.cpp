#include "modeler/urn/wall.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/tolerance.hpp"
#include "modeler/urn/inner_solver.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/recess.hpp"
#include "modeler/urn/wall_round.hpp"

namespace kerfkiln::urn {
namespace {

// The mouth and every passage must let a finger's width of rounding error through.
constexpr double kSmallestOpening = kSmallestSizeMm;

struct Narrow {
  double reach = 0, z = 0;
};

Narrow narrowest(const Form& form, double wall, double floor) {
  if (form.round()) {
    const RoundInside in = round_inside(form, wall, floor);
    return {in.narrowest, in.narrowest_z};
  }
  const NarrowPlace n = InnerSolver(form, wall, floor).narrowest();
  return {n.reach, n.z};
}

Finding closed(const Form& form, const WallSize& s, double floor, Narrow n, bool explain) {
  double good = 0, bad = s.wall;
  for (int i = 0; explain && i < 24; ++i) {
    const double w = 0.5 * (good + bad);
    (narrowest(form, w, floor).reach > kSmallestOpening ? good : bad) = w;
  }
  // Above the widest place it is a neck.
  double widest = 0, widest_z = 0;
  for (const ProfileSpan& p : form.profile().spans()) {
    const Extreme e = extremes(p.half_width, p.length);
    if (e.high > widest) widest = e.high, widest_z = value(p.height, e.high_at);
  }
  const bool neck = n.z > widest_z;
  const double largest = std::floor(good * 10) / 10;
  const std::string would = largest > 0 ? "; up to " + mm(largest) + " would do" : "; no wall would do";
  return {Severity::error, neck ? "wall.closes_neck" : "wall.closes_inside", "wall",
          "a wall of " + mm(s.wall) + " leaves no opening at height " + mm(n.z) + (neck ? " (the neck)" : "") +
              (explain ? would : ""),
          largest > 0 || !explain ? "make the wall thinner or the form wider there" : "make the form wider there"};
}

void check_sizes(const Form& form, const WallSize& s, Findings& f) {
  const double inner = std::min(form.max_width(), form.max_depth()) / 2;
  if (!(s.wall >= kSmallestSizeMm && s.wall < inner))
    f.push_back({Severity::error, "wall.range", "wall",
                 "wall " + mm(s.wall) + " is outside " + mm(kSmallestSizeMm) + " ... " + mm(inner),
                 "give the fired wall along the normal"});
  if (!(s.base_thickness >= kSmallestSizeMm && s.recess >= 0 && s.recess + s.base_thickness < form.height()))
    f.push_back({Severity::error, "base.thickness", "base/thickness",
                 "base " + mm(s.base_thickness) + " above a recess of " + mm(s.recess) +
                     " does not fit in a height of " + mm(form.height()) + "; from " + mm(kSmallestSizeMm) +
                     " to less than " + mm(form.height() - std::max(0.0, s.recess)) + " is possible",
                 "make the base thinner"});
  if (s.made == BaseMade::drain_cast && s.base_thickness != s.wall)
    f.push_back({Severity::warning, "base.drain_cast", "base/thickness",
                 "a drain-cast base is as thick as the wall (" + mm(s.wall) + "), not " + mm(s.base_thickness),
                 "leave the base thickness out, or make the base solid or added"});
}

void check_foot(const Form& form, const WallSize& s, Findings& f) {
  const SectionSize foot = form.profile().at(0, form.profile().begin()).size;
  const double half = std::min(foot.half_width, foot.half_depth);
  if (s.recess > 0 && !(s.foot_width >= kSmallestSizeMm && s.foot_width < half - kSmallestSizeMm))
    f.push_back({Severity::error, "base.foot", "base/foot/width",
                 "foot ring " + mm(s.foot_width) + " is outside " + mm(kSmallestSizeMm) + " ... " +
                     mm(half - kSmallestSizeMm) + ", which a recess needs",
                 "give the width of the ring that the urn stands on, or no recess"});
  if (s.foot_width > 0 && s.recess == 0)
    f.push_back({Severity::note, "base.flat", "base/foot/recess",
                 "a foot ring " + mm(s.foot_width) + " wide without a recess is a flat foot",
                 "give the recess a depth or leave the foot ring out"});
}

// Clay that drains out of a wide foot ring, of which volumes and masses know nothing.
void note_hollow(const Form& form, const WallSize& s, Findings& f) {
  if (s.made != BaseMade::drain_cast || !(s.recess > 0) || !(s.foot_width > 2 * s.wall)) return;
  const double hollow = cast_hollow(form, s);
  if (!(hollow > 0)) return;
  f.push_back({Severity::warning, "base.casts_hollow", "base/foot/width",
               "a foot ring of " + mm(s.foot_width) + " is wider than two walls (" + mm(2 * s.wall) +
                   "): drain-cast, it comes out hollow by " + shortest(hollow * 1e-3, 1) +
                   " mL, which the figures count as clay",
               "make the ring at most two walls wide, or the base solid"});
}

// A deep recess must leave clay between itself and the side.
void check_recess(const Form& form, const WallSize& s, Findings& f) {
  if (s.recess <= 0) return;
  const Profile& p = form.profile();
  const SectionSize foot = p.at(0, p.begin()).size;
  const double top = p.at_height(form.low() + s.recess);
  double tuck = 0, at = 0;
  for (int i = 0; i <= 64; ++i) {
    const ProfileJet j = p.at(p.begin() + (top - p.begin()) * i / 64);
    const double d = std::max(foot.half_width - j.size.half_width, foot.half_depth - j.size.half_depth);
    if (d > tuck) tuck = d, at = j.z;
  }
  const double most = s.foot_width - 0.5 * std::min(s.wall, s.foot_width);
  if (tuck <= most) return;
  f.push_back({Severity::error, "base.recess", "base/foot/recess",
               "a recess of " + mm(s.recess) + " would cut through the side, which tucks in by " + mm(tuck) +
                   " at height " + mm(at) + "; behind a foot ring of " + mm(s.foot_width) + " up to " + mm(most) +
                   " is possible",
               "make the recess shallower, the foot ring wider or the foot flare less"});
}

// Thicker clay dries later and fires slower than what is beside it.
constexpr double kWorthAWarning = 1.5;  // walls; common practice

void note_trims(const std::vector<Trim>& trims, double wall, Findings& f) {
  for (const Trim& t : trims) {
    const Severity severity = t.thickness > kWorthAWarning * wall ? Severity::warning : Severity::note;
    const std::string place = "at height " + mm(t.at.y) + ", " + mm(t.at.x) + " from the axis";
    const std::string thick =
        "up to " + shortest(t.thickness, 1) + " mm thick " + place +
        (severity == Severity::warning ? ", more than the " + shortest(kWorthAWarning * wall, 1) + " mm that dry evenly"
                                       : "");
    if (t.corner)
      f.push_back(
          {severity, "wall.mitred", "wall",
           "behind a corner of the profile the inside is mitred: the clay is " + thick + " (wall " + mm(wall) + ")",
           severity == Severity::note ? "no change needed; clay gathers a little in the mitre"
                                      : "let the profile turn less sharply there, or dry and fire it slowly"});
    else if (t.upright)
      f.push_back({severity, "wall.pools", "wall",
                   "the corners of the section turn more tightly than the wall of " + mm(wall) +
                       " allows: clay pools along them, " + thick,
                   "make the section less square there, or the wall thinner"});
    else
      f.push_back({severity, "wall.pools", "wall",
                   "the outside turns more tightly than the wall of " + mm(wall) + " allows: clay pools, " + thick,
                   "round the outside more there, or make the wall thinner"});
  }
}

}  // namespace

WallSize WallSize::of(const Spec& spec) {
  WallSize s;
  s.wall = spec.wall.value;
  s.base_thickness = spec.base.thickness.known() ? spec.base.thickness.value : s.wall;
  s.foot_width = spec.base.foot_width.known() ? spec.base.foot_width.value : 0;
  s.recess = spec.base.recess.known() ? spec.base.recess.value : 0;
  s.made = spec.base.made == "drain-cast" ? BaseMade::drain_cast
           : spec.base.made == "added"    ? BaseMade::added
                                          : BaseMade::solid;
  return s;
}

Result<Wall> Wall::make(const Form& form, const WallSize& size, bool explain) {
  Wall w(form, size);
  check_sizes(form, size, w.findings_);
  check_foot(form, size, w.findings_);
  if (has_errors(w.findings_)) return w.findings_;
  check_recess(form, size, w.findings_);
  Narrow narrow;
  std::vector<Trim> trims;
  if (form.round()) {
    RoundInside in = round_inside(form, size.wall, w.floor());
    narrow = {in.narrowest, in.narrowest_z};
    trims = std::move(in.trims);
    w.pieces_ = std::move(in.pieces);
    w.trimmed_ = !trims.empty();
  } else {
    w.unit_ = size.wall;
    auto solver = std::make_shared<InnerSolver>(form.in_units(w.unit_), 1, Profile::on_grid(w.floor() / w.unit_));
    const NarrowPlace n = solver->narrowest();
    narrow = {w.unit_ * n.reach, w.unit_ * n.z};
    if (narrow.reach > kSmallestOpening) solver->find_trims();
    trims = solver->trims();
    for (Trim& t : trims) t.at = w.unit_ * t.at, t.thickness *= w.unit_;
    w.trimmed_ = !solver->regular();
    if (!w.trimmed_) {
      *solver = solver->at_size(form, size.wall, w.floor());
      w.unit_ = 1;
    }
    w.solver_ = std::move(solver);
  }
  if (!(narrow.reach > kSmallestOpening)) w.findings_.push_back(closed(form, size, w.floor(), narrow, explain));
  if (has_errors(w.findings_)) return w.findings_;
  note_trims(trims, size.wall, w.findings_);
  note_hollow(form, size, w.findings_);
  return w;
}

double Wall::inner_reach(double turn, double z) const {
  if (!solver_) return piece_at(form_.profile(), piece_of(pieces_, z), size_.wall, z).r;
  return unit_ * solver_->reach(turn, in_units(z)).reach;
}

double Wall::in_units(double mm) const {
  return solver_ && trimmed_ ? std::min(Profile::on_grid(mm / unit_), solver_->form().high()) : mm;
}

Vec3 Wall::inner_normal(double turn, double z) const {
  if (solver_) return solver_->reach(turn, in_units(z)).normal;
  const Vec2 n = piece_at(form_.profile(), piece_of(pieces_, z), size_.wall, z).normal;
  return {n.x * std::cos(turn), n.x * std::sin(turn), n.y};
}

}  // namespace kerfkiln::urn
