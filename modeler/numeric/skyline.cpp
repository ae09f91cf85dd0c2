#include "modeler/numeric/skyline.hpp"

#include <Eigen/Core>
#include <algorithm>

namespace kerfkiln {
namespace {

double dot(const double* a, const double* b, std::size_t n) {
  using Numbers = Eigen::Map<const Eigen::VectorXd>;
  const auto size = static_cast<Eigen::Index>(n);
  return Numbers(a, size).dot(Numbers(b, size));
}

}  // namespace

Skyline::Skyline(std::span<const std::size_t> first) {
  rows_.reserve(first.size());
  std::size_t held = 0;
  for (std::size_t i = 0; i < first.size(); ++i) {
    rows_.push_back({first[i], held});
    held += i - first[i] + 1;
  }
  values_.assign(held, 0);
}

void Skyline::factor() {
  for (std::size_t i = 0; i < rows_.size(); ++i) {
    const std::size_t first = rows_[i].first;
    double* row = &values_[rows_[i].start];
    // L D first: what is taken off then needs no division.
    for (std::size_t j = first; j < i; ++j) {
      const Row other = rows_[j];
      const std::size_t from = std::max(first, other.first);
      row[j - first] -= dot(row + (from - first), &values_[other.start + (from - other.first)], j - from);
    }
    double diagonal = row[i - first];
    for (std::size_t j = first; j < i; ++j) {
      const double scaled = row[j - first] / values_[rows_[j].start + (j - rows_[j].first)];
      diagonal -= scaled * row[j - first];
      row[j - first] = scaled;
    }
    row[i - first] = diagonal;
  }
}

void Skyline::solve(std::span<double> x) const {
  for (std::size_t i = 0; i < rows_.size(); ++i) {
    const std::size_t first = rows_[i].first;
    x[i] -= dot(&values_[rows_[i].start], x.data() + first, i - first);
  }
  for (std::size_t i = 0; i < rows_.size(); ++i) x[i] /= values_[rows_[i].start + (i - rows_[i].first)];
  for (std::size_t i = rows_.size(); i-- > 0;) {
    const double* row = &values_[rows_[i].start];
    for (std::size_t j = rows_[i].first; j < i; ++j) x[j] -= row[j - rows_[i].first] * x[i];
  }
}

}  // namespace kerfkiln
