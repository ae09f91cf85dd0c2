// The bow: a crown on the flats of model and cavity, so that they dry and fire flat.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/urn/form.hpp"

namespace kerfkiln::urn {

// More of a flat's width than a crown may be: beyond it the flat is another form. Common practice; drying takes a
// flat in by a few hundredths.
inline constexpr double kLargestBow = 0.1;

// Errors at "bow/flats": "bow.no_flats" (nothing to crown), "bow.flats" (more than the flattest flat allows, with the
// largest and the place). The form is the one to be fired, at its solved size.
Findings check_bow(const Spec&, const Form&);

}  // namespace kerfkiln::urn
