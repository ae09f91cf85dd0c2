// The round that is thrown before it is pushed into the section: pushing keeps the wall's perimeter, or stretches it by
// a known factor.
#pragma once
#include <utility>
#include <vector>

#include "modeler/base/finding.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/urn/form.hpp"
#include "modeler/urn/shrinkage.hpp"

namespace kerfkiln::urn {

// The diameter of the circle whose perimeter, times the stretch, is that of the section.
double round_diameter(double perimeter_mm, double stretch);

// Radius of that round along the profile. Between 12 Chebyshev points of each span it is interpolated: 1e-6 mm on forms
// of urn size.
class RoundProfile {
 public:
  RoundProfile(const Form&, double stretch);
  double radius(int span, double t) const;
  double slope(int span, double t) const;
  double radius_at(double z) const;
  double widest() const;  // largest radius at the nodes
  // Open chain of arcs and lines from foot to lip in (radius, height), each scaled; broken where the profile is.
  plane::Loop chain(Scale, double tolerance_mm) const;
  // Length of its line from foot to lip, both scaled.
  double meridian(Scale) const;

 private:
  static constexpr std::size_t kNodes = 12;
  const Profile* profile_;                   // of a form that outlives this
  std::vector<std::vector<double>> values_;  // by span
};

// Mean length of the squared form's lines from foot to lip, places weighted by their share of the perimeter at the
// widest section.
double mean_meridian(const Form&, Scale);

struct ThrownStation {
  double height = 0;     // wet, above the foot
  double perimeter = 0;  // wet, of the section
  double diameter = 0;   // of the round
  double width = 0, depth = 0;
  double fired_height = 0;
  bool corner = false;
};
// Every so many mm of wet height from the foot, at the corners of the profile and at the lip. form: fired size.
std::vector<ThrownStation> thrown_stations(const Form&, Scale, double stretch, double every_mm);

// What the guide, its table and its figures share. Kept where it was made: `round` looks into `form`.
struct Throwing {
  Form form;    // of the prototype, at the fired size
  Scale scale;  // wet over fired
  double stretch = 1;
  RoundProfile round;
  std::vector<ThrownStation> stations;
  Throwing(Form prototype, Scale wet, double stretched, double every_mm)
      : form(std::move(prototype)),
        scale(wet),
        stretch(stretched),
        round(form, stretch),
        stations(thrown_stations(form, scale, stretch, every_mm)) {}
  Throwing(const Throwing&) = delete;
  Throwing& operator=(const Throwing&) = delete;
};

}  // namespace kerfkiln::urn
