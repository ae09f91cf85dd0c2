// Figures as they are put together. Internal to the urn.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "modeler/product/product.hpp"

namespace kerfkiln::urn {

inline constexpr double kLitres = 1e-6;          // from mm3
inline constexpr double kSquareMetres = 1e-6;    // from mm2
inline constexpr double kCubicInch = 16387.064;  // mm3, exact by the definition of the inch

class FigureList {
 public:
  void add(std::string key, std::string label, double value, std::string unit, std::vector<std::string> from,
           std::string how) {
    list.push_back({std::move(key), std::move(label), value, std::move(unit), {}, {}, std::move(from), std::move(how)});
  }
  // A band from the quadrature's own error estimate, where it is wider than the digits printed.
  void within(double relative) {
    if (relative >= 1e-9) band(1 - relative, 1 + relative);
  }
  // A band as shares of the value.
  void band(double low, double high) {
    product::Figure& f = list.back();
    f.low = f.value * low;
    f.high = f.value * high;
  }
  std::vector<product::Figure> list;
};

}  // namespace kerfkiln::urn
