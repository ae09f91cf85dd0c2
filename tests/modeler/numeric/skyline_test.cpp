// Against Eigen's factorization of the same system as a full matrix.
#include "modeler/numeric/skyline.hpp"

#include <gtest/gtest.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <random>

namespace {

using namespace kerfkiln;

TEST(Skyline, SolvesAsTheFullMatrixDoes) {
  std::mt19937 random(11);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int n : {1, 2, 3, 17, 60, 150})
    for (int reach : {0, 1, 5, 40, 200}) {
      std::vector<std::size_t> first;
      for (int i = 0; i < n; ++i)
        first.push_back(static_cast<std::size_t>(std::max(0, i - static_cast<int>(between(0, reach + 1)))));
      Skyline s(first);
      Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n, n);
      for (int i = 0; i < n; ++i)
        for (int j = static_cast<int>(first[static_cast<std::size_t>(i)]); j <= i; ++j) {
          // Each row's diagonal outweighs the rest of it: positive definite.
          const double v = i == j ? n + between(1, 2) : between(-1, 1);
          a(i, j) = a(j, i) = s.at(static_cast<std::size_t>(i), static_cast<std::size_t>(j)) = v;
        }
      Eigen::VectorXd f(n);
      std::vector<double> x(static_cast<std::size_t>(n));
      for (int i = 0; i < n; ++i) f[i] = x[static_cast<std::size_t>(i)] = between(-5, 5);
      s.factor();
      s.solve(x);
      const Eigen::VectorXd expected = a.ldlt().solve(f);
      for (int i = 0; i < n; ++i) EXPECT_NEAR(x[static_cast<std::size_t>(i)], expected[i], 1e-12) << n << " " << reach;
    }
}

}  // namespace
