#include "modeler/cushion/words.hpp"

#include <utility>

#include "modeler/base/nearest_key.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::cushion {

std::string number_text(double value, int decimals) { return trimmed_number(value, decimals); }
std::string mm_text(double mm) { return number_text(mm) + " mm"; }

namespace {
Finding finding(Severity severity, std::string& code, std::string& path, std::string& message, std::string& remedy) {
  return {severity, std::move(code), std::move(path), std::move(message), std::move(remedy)};
}
}  // namespace

Finding error(std::string code, std::string path, std::string message, std::string remedy) {
  return finding(Severity::error, code, path, message, remedy);
}
Finding warning(std::string code, std::string path, std::string message, std::string remedy) {
  return finding(Severity::warning, code, path, message, remedy);
}
Finding note(std::string code, std::string path, std::string message, std::string remedy) {
  return finding(Severity::note, code, path, message, remedy);
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " and " : ", ";
    text += words[i];
  }
  return text;
}

std::string offer(std::string_view typed, const std::vector<std::string>& known) {
  const std::vector<std::string_view> views(known.begin(), known.end());
  const std::string nearest = nearest_key(typed, views);
  if (!nearest.empty()) return "did you mean \"" + nearest + "\"?";
  return known.empty() ? "define it in materials" : "use one of " + listed(known);
}

}  // namespace kerfkiln::cushion
