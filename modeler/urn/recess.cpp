#include "modeler/urn/recess.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/urn/inner_integral.hpp"

namespace kerfkiln::urn {

FootInset::FootInset(const Form& form, double inset) : type_(&form.section()), inset_(inset) {
  const Profile& p = form.profile();
  foot_ = p.at(0, p.begin()).size;
  twist_ = p.at(0, p.begin()).twist;
  round_ = type_->is_round(foot_);
  if (round_) return;
  // An inset in the plane is the wall of an upright prism, away from its ends.
  ProfileSpan s;
  s.length = 4 * inset_;
  s.height = {0, 1, 0, 0};
  s.half_width = {foot_.half_width, 0, 0, 0};
  s.half_depth = {foot_.half_depth, 0, 0, 0};
  s.shape = {foot_.shape, 0, 0, 0};
  upright_ = std::make_shared<InnerSolver>(Form(*type_, *Profile::of_spans({s})), inset_, inset_);
}

double FootInset::area() const {
  constexpr double kPi = std::numbers::pi;
  if (round_) return kPi * (foot_.half_width - inset_) * (foot_.half_width - inset_);
  // Steiner's formula for the inset of a smooth convex curve.
  if (upright_->regular()) return type_->area(foot_) - type_->perimeter(foot_) * inset_ + kPi * inset_ * inset_;
  double sum = 0;
  for (int i = 0; i < 16; ++i)
    sum += integrate(10, kPi / 32 * i, kPi / 32 * (i + 1), [&](double turn) {
      const double r = upright_->solve({std::cos(turn), std::sin(turn)}, 2 * inset_).reach;
      return 2 * r * r;
    });
  return sum;
}

double FootInset::reach(Vec2 u) const {
  if (round_) return foot_.half_width - inset_;
  if (twist_ != 0) {
    const double c = std::cos(twist_), s = std::sin(twist_);
    u = {c * u.x + s * u.y, c * u.y - s * u.x};
  }
  return upright_->solve({std::abs(u.x), std::abs(u.y)}, 2 * inset_).reach;
}

double cast_hollow(const Form& form, const WallSize& s) {
  // Over the recess's own outline grown by d (Steiner): its edge above is round, d falls with the height there.
  const double h = 1e-3 * s.foot_width, area = FootInset(form, s.foot_width).area();
  const double perimeter =
      (FootInset(form, s.foot_width - h).area() - FootInset(form, s.foot_width + h).area()) / (2 * h);
  WallSize whole{s.wall, s.wall, 0, 0, BaseMade::solid};
  const Result<Wall> wall = Wall::make(form, whole);
  if (!wall) return 0;
  const auto open = [&](double z, double d) {
    return std::max(0.0, inner_section_area(*wall, z) - area - perimeter * d - std::numbers::pi * d * d);
  };
  double sum = 0;
  if (s.recess > s.wall) sum += integrate(10, s.wall, s.recess, [&](double z) { return open(z, s.wall); });
  // By the angle about the edge, from where the hollow begins: d is smooth in it.
  const double begin = std::asin(std::clamp(1 - s.recess / s.wall, 0.0, 1.0));
  sum += integrate(20, begin, std::numbers::pi / 2, [&](double angle) {
    return s.wall * std::cos(angle) * open(s.recess + s.wall * std::sin(angle), s.wall * std::cos(angle));
  });
  return sum;
}

std::vector<Vec2> Wall::recess_loop(double deviation_mm) const {
  if (!(size_.recess > 0)) return {};
  const FootInset inset(*this);
  std::vector<Vec2> loop = form_.section_loop(form_.low(), deviation_mm);
  for (Vec2& p : loop) p = inset.reach(unit(p)) * unit(p);
  return loop;
}

}  // namespace kerfkiln::urn
