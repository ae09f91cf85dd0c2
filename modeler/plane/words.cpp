#include "modeler/plane/words.hpp"

#include <cmath>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::plane {
namespace {

std::string number(double value) { return shortest_number(std::round(value * 1000) / 1000 + 0.); }

}  // namespace

std::string mm_text(double mm) { return number(mm) + " mm"; }
std::string place_text(Vec2 at) { return "(" + number(at.x) + ", " + number(at.y) + ") mm"; }

}  // namespace kerfkiln::plane
