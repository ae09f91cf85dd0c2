#include "modeler/urn/bow.hpp"

#include <cmath>

#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {

Findings check_bow(const Spec& spec, const Form& form) {
  if (!(spec.bow.flats.value > 0)) return {};
  const Form::FlatPlace flat = form.flattest();
  if (!(flat.flatness > 0))
    return {{Severity::error, "bow.no_flats", "bow/flats",
             "a bow of " + mm(spec.bow.flats.value) +
                 " on a form that is round or elliptic at every height; only 0 mm "
                 "is possible",
             "leave the bow out, or make the section squarer"}};
  const double most = kLargestBow * flat.width;
  if (spec.bow.flats.value <= most) return {};
  return {{Severity::error, "bow.flats", "bow/flats",
           "a bow of " + mm(spec.bow.flats.value) + " is more than the flat of " + mm(flat.width) + " at height " +
               mm(flat.z) + " allows: 0 mm ... " + mm(std::floor(most * 10) / 10),
           "crown the flats less; one to three hundredths of their width are usual"}};
}

}  // namespace kerfkiln::urn
