#include "modeler/base/number_text.hpp"

#include <array>
#include <charconv>
#include <cmath>

namespace kerfkiln {

std::string format_number(double value, int decimals) {
  // The largest double has 309 digits before the point.
  std::array<char, 352> text{};
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals);
  std::string out(text.data(), error == std::errc{} ? end : text.data());
  if (out.starts_with('-') && out.find_first_of("123456789") == std::string::npos && std::isfinite(value))
    out.erase(0, 1);
  return out;
}

std::string trimmed_number(double value, int decimals) {
  std::string text = format_number(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string shortest_number(double value) {
  std::array<char, 32> text{};
  const auto [end, error] = std::to_chars(text.data(), text.data() + text.size(), value);
  return {text.data(), error == std::errc{} ? end : text.data()};
}

std::optional<double> parse_number(std::string_view text) {
  // from_chars also takes "inf", "nan" and forms without a digit before the exponent; a maker means none of them.
  if (text.empty() || text.find_first_not_of("0123456789.+-eE") != std::string_view::npos) return std::nullopt;
  const bool plus = text.front() == '+';
  if (plus) text.remove_prefix(1);
  if (text.empty() || (plus && (text.front() == '+' || text.front() == '-'))) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::uint64_t fnv1a(std::string_view text) {
  std::uint64_t h = 14695981039346656037ULL;
  for (const char c : text) h = (h ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return h;
}

}  // namespace kerfkiln
