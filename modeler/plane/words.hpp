// How the plane layer names numbers and places in its messages: independent of locale, to the micrometre.
#pragma once
#include <string>

#include "modeler/base/vec.hpp"

namespace kerfkiln::plane {

std::string mm_text(double mm);   // "12.5 mm", at most three decimals
std::string place_text(Vec2 at);  // "(12.5, 300) mm"

}  // namespace kerfkiln::plane
