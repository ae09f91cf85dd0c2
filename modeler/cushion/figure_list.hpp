// How the files that tell figures put them on the list.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

using Figures = std::vector<product::Figure>;

// Without a band.
inline void add(Figures& f, std::string key, std::string label, double value, std::string unit,
                std::vector<std::string> from, std::string how) {
  f.push_back({std::move(key), std::move(label), value, std::move(unit), {}, {}, std::move(from), std::move(how)});
}

}  // namespace kerfkiln::cushion
