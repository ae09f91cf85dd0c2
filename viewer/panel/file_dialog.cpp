#include "viewer/panel/file_dialog.hpp"

#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <system_error>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::viewer {
namespace fs = std::filesystem;
namespace {
constexpr const char* kTitle[] = {"Open a design", "Save the design as", "Write the packet into"};
constexpr const char* kDo[] = {"Open", "Save", "Write here"};
}  // namespace

void FileDialog::show(For purpose, const fs::path& at) {
  for_ = purpose;
  open_ = appearing_ = true;
  std::error_code ignored;
  const fs::path whole = fs::absolute(at.empty() ? fs::path(".") : at, ignored).lexically_normal();
  const bool inside = fs::is_directory(whole, ignored) && purpose != For::folder;
  name_ = inside ? "" : whole.filename().string();
  enter(inside ? whole : whole.parent_path());
}

void FileDialog::enter(const fs::path& folder) {
  std::error_code failed;
  std::vector<Entry> found;
  for (fs::directory_iterator it(folder, fs::directory_options::skip_permission_denied, failed), end;
       !failed && it != end; it.increment(failed)) {
    std::error_code one;
    Entry e{it->path().filename().string(), "", it->is_directory(one)};
    if (e.name.empty() || e.name.front() == '.') continue;
    if (!e.folder && (for_ == For::folder || it->path().extension() != ".json")) continue;
    if (!e.folder) e.size = format_number(static_cast<double>(it->file_size(one)) / 1024, 1) + " KiB";
    found.push_back(std::move(e));
  }
  if (failed) {
    trouble_ = folder.string() + " cannot be read: " + failed.message() + ".";
    return;
  }
  trouble_.clear();
  std::sort(found.begin(), found.end(),
            [](const Entry& a, const Entry& b) { return a.folder != b.folder ? a.folder : a.name < b.name; });
  entries_ = std::move(found);
  folder_ = folder;
  where_ = folder.string();
}

std::optional<fs::path> FileDialog::chosen() const {
  if (name_.empty()) return std::nullopt;
  fs::path p = folder_ / name_;
  if (for_ == For::save && p.extension().empty()) p += ".json";
  std::error_code ignored;
  if (for_ == For::open && !fs::is_regular_file(p, ignored)) return std::nullopt;
  return p;
}

std::optional<fs::path> FileDialog::draw(Ui& ui) {
  if (!open_) return std::nullopt;
  const char* title = kTitle[static_cast<int>(for_)];
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  if (appearing_) ImGui::OpenPopup(title);
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(640), screen.x * 0.9F), std::min(ui.px(460), screen.y * 0.85F)});
  std::optional<fs::path> out;
  if (!ImGui::BeginPopupModal(title, &open_, ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) return out;
  bool done = false;
  if (button(ui, "dialog:up", "↑", "The folder above")) enter(folder_.parent_path());
  ImGui::SameLine();
  ImGui::SetNextItemWidth(-1);
  if (ImGui::InputText("##where", &where_, ImGuiInputTextFlags_EnterReturnsTrue))
    enter(fs::path(where_).lexically_normal());
  ui.marks.item("dialog:where");
  const float foot =
      ImGui::GetFrameHeightWithSpacing() * 2 + (trouble_.empty() ? 0 : ImGui::GetTextLineHeightWithSpacing());
  ImGui::BeginChild("##entries", {0, -foot}, true);
  std::optional<fs::path> into;
  for (const Entry& e : entries_) {
    const std::string label = (e.folder ? "▸ " : "   ") + e.name;
    if (ImGui::Selectable(label.c_str(), !e.folder && e.name == name_,
                          ImGuiSelectableFlags_AllowDoubleClick | ImGuiSelectableFlags_DontClosePopups)) {
      if (e.folder && (ImGui::IsMouseDoubleClicked(0) || for_ != For::folder ||
                       ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Enter))))
        into = folder_ / e.name;
      else
        name_ = e.name;
      if (!e.folder && ImGui::IsMouseDoubleClicked(0)) done = true;
    }
    if (!e.size.empty()) {
      ImGui::SameLine(ImGui::GetContentRegionAvail().x - ui.px(80));
      quiet_text(ui, e.size);
    }
  }
  if (entries_.empty()) quiet_text(ui, for_ == For::folder ? "no folders here" : "no designs (.json) here");
  ImGui::EndChild();
  if (into) enter(*into);
  if (!trouble_.empty()) ImGui::TextUnformatted(trouble_.c_str());
  ImGui::SetNextItemWidth(-1);
  if (appearing_) ImGui::SetKeyboardFocusHere();
  if (ImGui::InputTextWithHint("##name", "name", &name_,
                               ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll))
    done = true;
  ui.marks.item("dialog:name");
  ImGui::BeginDisabled(!chosen());
  if (strong_button(ui, "dialog:do", kDo[static_cast<int>(for_)], "")) done = true;
  ImGui::EndDisabled();
  ImGui::SameLine();
  if (button(ui, "dialog:cancel", "Cancel", "Esc")) open_ = false;
  if (for_ == For::folder) {
    ImGui::SameLine();
    quiet_text(ui, "A packet of ours that is there already is replaced.");
  }
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false) && !appearing_) open_ = false;
  if (done && (out = chosen())) open_ = false;
  if (!open_) ImGui::CloseCurrentPopup();
  appearing_ = false;
  ImGui::EndPopup();
  return out;
}

}  // namespace kerfkiln::viewer
