// A number with a dimension, in the one unit the program computes in, with the words the maker wrote.
//
// Canonical units: length mm, area mm2, volume mm3, mass kg, density kg/m3, mass_per_area kg/m2, force N, pressure
// kPa, time s, temperature degC, heating_rate degC/h, angle rad, ratio 1 (6 % is 0.06), plain 1, money 1.
#pragma once
#include <cmath>
#include <limits>
#include <string>

namespace kerfkiln {

enum class Dimension {
  plain,
  ratio,
  length,
  area,
  volume,
  mass,
  density,
  mass_per_area,
  force,
  pressure,
  time,
  temperature,
  heating_rate,
  angle,
  money
};

// value is NaN where the design says nothing and the field has no default.
struct Quantity {
  double value = std::numeric_limits<double>::quiet_NaN();
  std::string written;  // as in the design file; empty for a default
  bool known() const { return !std::isnan(value); }
};

// The dimension is part of the type, so that a wall cannot be given a density.
template <Dimension D>
struct Measure : Quantity {
  static constexpr Dimension dimension = D;
  constexpr Measure() = default;
  Measure(double canonical) { value = canonical; }  // NOLINT: implicit on purpose, the unit is fixed by the type
};
using Plain = Measure<Dimension::plain>;
using Ratio = Measure<Dimension::ratio>;
using Length = Measure<Dimension::length>;
using Area = Measure<Dimension::area>;
using Volume = Measure<Dimension::volume>;
using Mass = Measure<Dimension::mass>;
using Density = Measure<Dimension::density>;
using MassPerArea = Measure<Dimension::mass_per_area>;
using Force = Measure<Dimension::force>;
using Pressure = Measure<Dimension::pressure>;
using Time = Measure<Dimension::time>;
using Temperature = Measure<Dimension::temperature>;
using HeatingRate = Measure<Dimension::heating_rate>;
using Angle = Measure<Dimension::angle>;
using Money = Measure<Dimension::money>;

}  // namespace kerfkiln
