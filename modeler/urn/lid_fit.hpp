// Will the lid fit? The gap between two rings that shrink, each with its scatter, and not quite independently.
//
// Of one future pair: gap g = D_outer - D_inner on the diameter, standard uncertainty
//   u(g)^2 = u_o^2 + u_i^2 - 2 rho u_o u_i + (2 s_wall)^2,   u_x = D_x u,
// u the relative uncertainty of a future piece's size (s sqrt(1 + 1/n) / (1 - S) from n test bars). (g - mean) / u(g)
// follows Student's t with the bars' n - 1 degrees of freedom, the normal distribution where s is assumed; a wall's
// scatter joins as a normal quantity of its own with effective degrees of freedom (JCGM 100:2008 (GUM), G.4.1).
#pragma once
#include "modeler/urn/lid.hpp"

namespace kerfkiln::urn {

struct Scatter {
  double relative = 0;  // standard uncertainty of a future piece's size, over the size
  double freedom = 0;   // 0: normal
};
// u(g) of two rings of one clay, mm, without walls.
double pair_deviation(double outer_mm, double inner_mm, double relative, double correlation);

struct FitInput {
  double outer = 0, inner = 0;  // mean diameters of the two guiding faces, clay, fired
  Scatter scatter;
  double correlation = 0;
  double wall = 0;             // s of the thickness of a drained guiding wall; 0: both faces formed
  double coats = 0;            // glaze in the gap, both faces together, a side
  double ovality = 0;          // largest less smallest diameter of each ring
  double least = 0, most = 0;  // net gap a side that fits
};
struct LidFit {
  FitInput input;
  double mean = 0, deviation = 0, freedom = 0;  // of the gap on the diameter; freedom 0: normal
  double net = 0, net_low = 0, net_high = 0;    // a side, less glaze: mean, and the 95 % interval of one pair
  double worst = 0;                             // a side: the interval's low end with both rings oval and crossed
  double binds = 0, rattles = 0, fits = 0;      // probabilities; an oval ring counts against binding
  // Clearances a side, clay to clay, with which at least 95 % fit; low > high: there is none.
  double low = 0, high = 0;
};
LidFit fit_of(const FitInput&);
// Share of the distribution of the gap below g, mm on the diameter.
double gap_below(const LidFit&, double g);

}  // namespace kerfkiln::urn
