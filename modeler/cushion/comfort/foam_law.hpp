// Compressive stress against strain of flexible foam. Stresses in kPa (uniaxial: the whole face pressed), strains as a
// share of the thickness.
#pragma once
#include <optional>

#include "modeler/base/result.hpp"

namespace kerfkiln::cushion {

inline constexpr double kFootM2 = 0.032258;            // the foot of hardness tests: 50 in2 (ASTM D3574, ISO 2439)
inline constexpr double kUsualIndentationRatio = 1.3;  // 1.2 to 1.6 (from memory): the foam around the foot pulls too
inline constexpr double kStraightStrain = 0.05;        // below it the laws are straight lines
inline constexpr double kBottomedStrain = 0.75;        // beyond it laws differ by a quarter: nothing is promised there

// Stress of the same foam pressed all over, from a force on the foot.
double uniaxial_kpa(double foot_force_n, double indentation_ratio);

// The Rusch form sigma = A e^m + B e^n, 0 < m < 1 < n (J. Appl. Polym. Sci. 1969-70, from memory; m 0.3 and n 4 are our
// choice), a straight line to the origin below kStraightStrain. Rises everywhere.
class FoamLaw {
 public:
  static constexpr double kLowPower = 0.3, kHighPower = 4;
  // Through the stresses at 25 and 65 %. Findings, path empty: comfort.fit with the permitted support factor.
  static Result<FoamLaw> through(double at_25_kpa, double at_65_kpa);
  // And at 40 %: the high power follows by bisection. Findings: comfort.fit with the permitted stress at 40 %.
  static Result<FoamLaw> through(double at_25_kpa, double at_40_kpa, double at_65_kpa);

  double stress(double strain) const;
  double slope(double strain) const;
  double strain(double stress_kpa) const;  // 1 where even that much compression would not carry it
  FoamLaw scaled(double factor) const;     // all stresses times the factor
  double a_kpa() const { return a_; }
  double b_kpa() const { return b_; }
  double high_power() const { return n_; }

 private:
  FoamLaw(double a, double b, double n) : a_(a), b_(b), n_(n) {}
  double curve(double strain) const;
  double a_, b_, n_;
};

// Plateau and densification, one exponent (modified Gibson form of Avalle, Belingardi and Ibba 2007, from memory):
// sigma = s25 [(eD - 0.25) / (eD - e)]^m. A second opinion on the first law.
class PlateauLaw {
 public:
  // Precondition: support > 1, density such that densification_strain > 0.65.
  PlateauLaw(double at_25_kpa, double support, double density_kg_m3);
  double stress(double strain) const;
  double strain(double stress_kpa) const;
  double densification() const { return densification_; }
  double power() const { return power_; }

 private:
  double at_25_, densification_, power_;
};

// Open cells, Gibson and Ashby (from memory): E = Es r^2, collapse 0.05 Es r^2, densification 1 - 1.4 r, with
// r = density / solid density. Polyurethane: 1200 kg/m3, 45 MPa. An order of magnitude only.
struct OpenCell {
  double modulus_kpa, collapse_kpa, densification;
};
OpenCell open_cell(double density_kg_m3, double solid_kg_m3 = 1200, double solid_modulus_kpa = 45000);

// ASTM D3574 D: of a sample t0 thick, held at t_held, back to tf. ISO 2439 E: energies in and out.
struct CompressionSet {
  double of_thickness, of_deflection;  // shares
};
CompressionSet compression_set(double t0, double held, double back);
double hysteresis(double energy_in, double energy_out);  // share lost

}  // namespace kerfkiln::cushion
