// The one tolerance policy. Sizes are limited to 0.1 mm ... 10 m, which makes absolute millimetres honest.
#pragma once
#include <cmath>

namespace kerfkiln {

inline constexpr double kPlanGridMm = 1.0 / 1048576.0;  // plan coordinates of typed outlines are snapped to 2^-20 mm
inline constexpr double kSmallestFeatureMm = 0.01;      // anything smaller is a finding
inline constexpr double kSmallestSizeMm = 0.1;
inline constexpr double kLargestSizeMm = 10000.0;
inline constexpr double kExportDeviationMm = 0.05;  // chord deviation of exported solids
inline constexpr double kLiveDeviationMm = 0.25;    // of the viewer's pictures

inline double snap_to_plan_grid(double mm) { return std::round(mm / kPlanGridMm) * kPlanGridMm; }

}  // namespace kerfkiln
