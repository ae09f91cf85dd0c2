// Symmetric systems whose rows reach back a limited way, such as those of a grid numbered line by line: factored in
// place, row after row of contiguous numbers, with no ordering to be found first.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

namespace kerfkiln {

class Skyline {
 public:
  // first[i] <= i: the first column of row i that may hold anything.
  explicit Skyline(std::span<const std::size_t> first);

  std::size_t size() const { return rows_.size(); }
  // Of the lower triangle: first[row] <= column <= row. Only before factor().
  double& at(std::size_t row, std::size_t column) { return values_[rows_[row].start + (column - rows_[row].first)]; }

  // A = L D L'. Precondition: no leading minor is zero, as none of a positive definite matrix is. Time: the squares of
  // the rows' reaches, summed; memory: the reaches.
  void factor();
  // After factor(): replaces the right side by the solution.
  void solve(std::span<double> x) const;

 private:
  struct Row {
    std::size_t first, start;
  };
  std::vector<Row> rows_;
  std::vector<double> values_;  // row after row from its first column to the diagonal
};

}  // namespace kerfkiln
