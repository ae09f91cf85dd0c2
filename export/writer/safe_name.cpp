#include <array>
#include <cstdint>

#include "export/writer/safe_file.hpp"

namespace kerfkiln::output {
namespace {

constexpr std::size_t kLongestName = 80;  // bytes; leaves room for a suffix and a temporary name below the usual 255

struct Character {
  std::uint32_t code = 0;
  std::size_t bytes = 1;
  bool valid = false;
};

// One code point of UTF-8 as RFC 3629 permits it: no overlong form, no surrogate, nothing above U+10FFFF.
Character decode(std::string_view s) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(s[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t n = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 0;
  if (n == 0 || lead > 0xF4 || s.size() < n) return {};
  std::uint32_t code = lead & (0xFFu >> (n + 1));
  for (std::size_t i = 1; i < n; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return {};
    code = code << 6 | (byte(i) & 0x3Fu);
  }
  constexpr std::array<std::uint32_t, 5> kLeast = {0, 0, 0x80, 0x800, 0x10000};
  if (code < kLeast[n] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
  return {code, n, true};
}

bool is_kept(std::uint32_t c) {
  if (c < 0x80) {
    const char a = static_cast<char>(c);
    return (a >= '0' && a <= '9') || (a >= 'a' && a <= 'z') || (a >= 'A' && a <= 'Z') ||
           std::string_view("_.+()=,@").find(a) != std::string_view::npos;
  }
  if (c < 0xA1 || c == 0xAD) return false;                      // control characters, no-break space, soft hyphen
  if (c >= 0x2000 && c <= 0x200F) return false;                 // widths of space, joiners, direction marks
  if (c >= 0x2028 && c <= 0x202F) return false;                 // line ends, direction overrides
  if (c >= 0x205F && c <= 0x206F) return false;                 // invisible operators, direction isolates
  if (c == 0x3000 || c == 0xFEFF || c == 0x1680) return false;  // spaces, byte order mark
  if (c >= 0xE000 && c <= 0xF8FF) return false;                 // private use
  return (c & 0xFFFE) != 0xFFFE && c < 0xE0000;                 // non-characters, tags and variation selectors
}

// Names that one widely used system keeps for devices, with any extension.
bool is_device(std::string_view name) {
  std::string stem(name.substr(0, name.find('.')));
  for (char& c : stem)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  if (stem == "CON" || stem == "PRN" || stem == "AUX" || stem == "NUL") return true;
  return stem.size() == 4 && (stem.starts_with("COM") || stem.starts_with("LPT")) && stem[3] >= '0' && stem[3] <= '9';
}

void strip_end(std::string& s) {
  while (!s.empty() && (s.back() == '-' || s.back() == '.')) s.pop_back();
}

}  // namespace

std::string safe_name(std::string_view wanted, std::string_view fallback) {
  std::string name;
  while (!wanted.empty()) {
    const Character c = decode(wanted);
    const std::string_view bytes = wanted.substr(0, c.bytes);
    wanted.remove_prefix(c.bytes);
    if (c.valid && is_kept(c.code)) {
      if (name.empty() && bytes == ".") continue;
      if (name.size() + bytes.size() > kLongestName) break;
      name += bytes;
    } else if (!name.empty() && name.back() != '-' && name.size() < kLongestName) {
      name += '-';
    }
  }
  strip_end(name);
  if (name.empty()) return std::string(fallback);
  if (is_device(name)) return safe_name("_" + name, fallback);
  return name;
}

}  // namespace kerfkiln::output
