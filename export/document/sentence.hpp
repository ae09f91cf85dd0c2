// Findings are written without a first capital or a full stop where another text goes on with them; alone they are
// sentences.
#pragma once
#include <string>
#include <string_view>

namespace kerfkiln::output {

inline std::string sentence(std::string_view words, bool capital) {
  std::string s(words);
  if (capital && !s.empty() && s.front() >= 'a' && s.front() <= 'z') s.front() += 'A' - 'a';
  while (s.ends_with(' ')) s.pop_back();
  if (!s.empty() && std::string_view(".!?").find(s.back()) == std::string_view::npos) s += '.';
  return s;
}

}  // namespace kerfkiln::output
