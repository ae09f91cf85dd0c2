#include "modeler/cushion/cells_once.hpp"

namespace kerfkiln::cushion {

std::shared_ptr<const Result<Cells>> CellsOnce::at(double deviation_mm) {
  const std::lock_guard lock(mutex_);
  for (const auto& [deviation, made] : kept_)
    if (deviation == deviation_mm) return made;
  auto made = std::make_shared<const Result<Cells>>(cells(form_, levels_, regions_, cuts_, deviation_mm));
  if (kept_.size() == kKept) kept_.erase(kept_.begin());
  kept_.emplace_back(deviation_mm, made);
  return made;
}

}  // namespace kerfkiln::cushion
