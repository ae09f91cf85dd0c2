// Student's t and the normal distribution, for intervals from a few test bars.
#pragma once

namespace kerfkiln {

// The t below which lies the share `p` of Student's distribution with `freedom` degrees of freedom (a fraction is
// allowed: effective degrees). 0 < p < 1, freedom > 0.
double student_quantile(double p, double freedom);
double normal_quantile(double p);  // 0 < p < 1
double normal_share(double z);     // of the standard normal distribution below z

}  // namespace kerfkiln
