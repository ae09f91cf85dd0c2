// The relief of one cushion with its regions, computed once a deviation however many of its shapes ask for it.
#pragma once
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

#include "modeler/cushion/cells.hpp"

namespace kerfkiln::cushion {

// As ReliefOnce; without regions the cells are the relief's own.
class CellsOnce {
 public:
  CellsOnce(Form form, std::vector<double> levels, std::vector<plane::Outline> regions, std::vector<Cut> cuts)
      : form_(std::move(form)), levels_(std::move(levels)), regions_(std::move(regions)), cuts_(std::move(cuts)) {}
  std::shared_ptr<const Result<Cells>> at(double deviation_mm);

 private:
  static constexpr std::size_t kKept = 2;  // a picture's deviation and an export's
  const Form form_;
  const std::vector<double> levels_;
  const std::vector<plane::Outline> regions_;
  const std::vector<Cut> cuts_;
  std::mutex mutex_;
  std::vector<std::pair<double, std::shared_ptr<const Result<Cells>>>> kept_;  // newest last
};

}  // namespace kerfkiln::cushion
