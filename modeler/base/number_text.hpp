// Numbers as text, the same in every locale.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace kerfkiln {

// Fixed decimals, rounded half to even on the binary value, "-0" written "0": format_number(2.5, 1) == "2.5".
// decimals 0 ... 17.
std::string format_number(double value, int decimals);
// At most that many decimals, no trailing zeros: trimmed_number(25.0, 2) == "25", (9.4, 2) == "9.4".
std::string trimmed_number(double value, int decimals);
// The shortest text that reads back to the same double.
std::string shortest_number(double value);
// The whole text must be one finite decimal number ("12", "-0.5", "1e3"); no white space, no hexadecimal, no inf.
std::optional<double> parse_number(std::string_view text);

// FNV-1a, 64 bit (Fowler, Noll, Vo; offset basis 14695981039346656037, prime 1099511628211).
std::uint64_t fnv1a(std::string_view text);

}  // namespace kerfkiln
