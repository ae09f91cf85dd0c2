// What the program has to say about a design: never one complaint at a time, never without a remedy.
#pragma once
#include <string>
#include <vector>

namespace kerfkiln {

enum class Severity { note, warning, error };

// A stable code ("length.range", "outline.crossing"), the path of the field it concerns ("pieces/0/wall"; "" for the
// whole file), what is wrong with which value and what is permitted, and what to do about it.
struct Finding {
  Severity severity = Severity::error;
  std::string code;
  std::string path;
  std::string message;
  std::string remedy;
  friend bool operator==(const Finding&, const Finding&) = default;
};
using Findings = std::vector<Finding>;

inline bool has_errors(const Findings& f) {
  for (const Finding& x : f)
    if (x.severity == Severity::error) return true;
  return false;
}
// Prefixes the paths of findings that are passed up from a part of a record.
inline Findings under(const std::string& prefix, Findings f) {
  for (Finding& x : f) x.path = x.path.empty() ? prefix : prefix + "/" + x.path;
  return f;
}
inline void append(Findings& to, Findings more) {
  for (Finding& x : more) to.push_back(std::move(x));
}

}  // namespace kerfkiln
