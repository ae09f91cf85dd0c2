#include "modeler/base/nearest_key.hpp"

#include <algorithm>
#include <vector>

namespace kerfkiln {
namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  const std::size_t n = b.size() + 1;
  std::vector<std::size_t> two_back(n), back(n), row(n);
  for (std::size_t j = 0; j < n; ++j) back[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j < n; ++j) {
      const bool same = lower(a[i - 1]) == lower(b[j - 1]);
      row[j] = std::min({back[j] + 1, row[j - 1] + 1, back[j - 1] + (same ? 0 : 1)});
      if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
        row[j] = std::min(row[j], two_back[j - 2] + 1);
    }
    std::swap(two_back, back);
    std::swap(back, row);
  }
  return back[n - 1];
}

std::string nearest_key(std::string_view typed, std::span<const std::string_view> known) {
  if (typed.size() > 64) return {};  // no key of ours is as long; keeps hostile input cheap
  std::string_view best;
  std::size_t best_distance = std::max<std::size_t>(2, typed.size() / 3) + 1;
  for (const std::string_view k : known) {
    const std::size_t d = edit_distance(typed, k);
    if (d < best_distance && d < std::max(typed.size(), k.size())) {
      best = k;
      best_distance = d;
    }
  }
  return std::string(best);
}

}  // namespace kerfkiln
