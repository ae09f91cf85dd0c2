// What an urn holds against what it must hold.
//
// The rule of the trade: one cubic inch for each pound of living mass. How far persons differ from it: among 91 adults
// the remains weighed 876 ... 3784 g (Warren and Maples, J Forensic Sci 42(3) 1997, abstract), which as the range of 91
// normal values is a standard deviation of 588 g (mean range 4.947 deviations, Tippett 1925, recomputed); body mass
// explains a part of it, r = 0.56 (May, J Forensic Sci 56(1) 2011, abstract), which leaves 487 g about the rule.
#pragma once
#include "modeler/base/finding.hpp"
#include "modeler/urn/spec.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

inline constexpr double kRuleMm3PerKg = 16387.064 / 0.45359237;  // 1 in3/lb
inline constexpr double kLeastMm3PerKg = 20e3;                   // below it a figure is a slip of the pen
inline constexpr double kRemainsShare = 0.035;                   // of the living mass (Warren and Maples 1997)
inline constexpr double kRemainsDeviationKg = 0.487;

struct PersonRule {
  double mean = 0;                        // mm3, by the rule
  double deviation = 0;                   // mm3, of one person about it
  double needed = 0;                      // mm3, with the margin
  double low = 0, high = 0;               // mm3, 95 % of persons of that mass
  double share_within(double mm3) const;  // of persons of that mass whose remains fit into this volume
};
PersonRule person_rule(double person_kg, double margin, double filling_kg_m3);

// What is left to fill: to the fill line, or to the lip less what the lid takes, whichever is less; less the glaze.
struct Usable {
  double displaced = 0, glaze = 0;  // mm3
  double volume = 0;                // mm3
};
Usable usable_capacity(double capacity_fill, double capacity_brim, double lid_displaced, double inside_area,
                       double coat_mm);

// "capacity.absurd" (error: less than 20 cm3 a kilogram), "capacity.person_short" (warning: less than the rule with its
// margin), "capacity.remains" (warning: what is filled in does not fit), "capacity.mouth" (note: the mouth is narrower
// than a funnel and a bag need, 50 mm by common practice).
Findings check_capacity(const Spec&, const Usable&, const Wall&);

}  // namespace kerfkiln::urn
