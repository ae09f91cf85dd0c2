// The relief of one cushion, computed once a deviation however many of its shapes ask for it.
#pragma once
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

#include "modeler/cushion/relief.hpp"

namespace kerfkiln::cushion {

// Pure to its callers: the same deviation gives the same relief. Any thread may ask; a second one that wants the same
// relief waits for the first instead of computing it again.
class ReliefOnce {
 public:
  ReliefOnce(Form form, std::vector<double> levels) : form_(std::move(form)), levels_(std::move(levels)) {}
  std::shared_ptr<const Result<Relief>> at(double deviation_mm);

 private:
  // A picture's deviation and an export's; older ones are let go.
  static constexpr std::size_t kKept = 2;
  const Form form_;
  const std::vector<double> levels_;
  std::mutex mutex_;
  std::vector<std::pair<double, std::shared_ptr<const Result<Relief>>>> kept_;  // newest last
};

}  // namespace kerfkiln::cushion
