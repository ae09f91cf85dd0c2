// How the prototype is thrown round and pushed square. Defaults and ranges live in urn/throwing_describe.cpp.
#pragma once
#include "modeler/base/quantity.hpp"

namespace kerfkiln::urn {

struct ThrowingSpec {
  Plain stretch = 1;  // perimeter after squaring over perimeter as thrown
  Length every = 20;  // distance of the stations of the throwing guide
};

}  // namespace kerfkiln::urn
