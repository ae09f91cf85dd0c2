#include "viewer/panel/marks.hpp"

#include <imgui.h>

#include "modeler/base/number_text.hpp"
#include "viewer/state/field.hpp"

namespace kerfkiln::viewer {

void Marks::item(const std::string& name) {
  if (!wanted || !ImGui::IsItemVisible()) return;
  const ImVec2 a = ImGui::GetItemRectMin(), b = ImGui::GetItemRectMax();
  area(name, a.x, a.y, b.x, b.y);
}
void Marks::area(const std::string& name, float x0, float y0, float x1, float y1) {
  if (wanted) now_[name] = {x0, y0, x1, y1};
}
void Marks::word(const std::string& name, const std::string& text) {
  if (wanted) words_[name] = text;
}

std::string Marks::json() const {
  std::string widgets, words;
  for (const auto& [name, r] : now_) {
    widgets += (widgets.empty() ? "\n  " : ",\n  ") + json_string(name) + ": [";
    for (std::size_t i = 0; i < 4; ++i) widgets += (i ? ", " : "") + format_number(static_cast<double>(r[i]), 1);
    widgets += "]";
  }
  for (const auto& [name, text] : words_)
    words += (words.empty() ? "\n  " : ",\n  ") + json_string(name) + ": " + json_string(text);
  return "{\"widgets\": {" + widgets + "},\n \"words\": {" + words + "}}\n";
}

}  // namespace kerfkiln::viewer
