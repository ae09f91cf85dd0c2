#include <imgui.h>

#include <algorithm>

#include "viewer/panel/workbench_inside.hpp"

namespace kerfkiln::viewer {

void Workbench::Inside::keys_window() {
  if (!keys_shown) return;
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Appearing, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(760), screen.x * 0.95F), 0});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ui.colour->raised);
  if (ImGui::Begin("Keys and mouse", &keys_shown, ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoCollapse)) {
    if (ImGui::BeginTable("##keys", 2, ImGuiTableFlags_SizingStretchSame)) {
      const auto group = [&](const char* name) {
        ImGui::PushFont(ui.fonts.strong);
        ImGui::TextUnformatted(name);
        ImGui::PopFont();
        for (const CommandInfo& c : commands()) {
          if (c.group != name || c.label.empty()) continue;
          quiet_text(ui, c.keys);
          ImGui::SameLine(ui.px(120));
          ImGui::TextUnformatted(c.label.c_str());
        }
        ImGui::Dummy({0, ui.px(4)});
      };
      ImGui::TableNextColumn();
      group("File");
      group("Edit");
      group("Show");
      ImGui::TableNextColumn();
      group("Look");
      ImGui::PushFont(ui.fonts.strong);
      ImGui::TextUnformatted("Mouse");
      ImGui::PopFont();
      ImGui::TextUnformatted(
          "drag: turn\nright drag or Shift: move\nwheel: closer, farther\nsize on the form: drag or press\nfinding: "
          "press to go there");
      ImGui::EndTable();
    }
    if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false)) keys_shown = false;
  }
  ImGui::End();
  ImGui::PopStyleColor();
}

void Workbench::Inside::packet_window() {
  Packing* packing = ui.workspace.packing();
  if (!packing) return;
  const char* title = "Packet";
  if (!ImGui::IsPopupOpen(title)) ImGui::OpenPopup(title);
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(560), screen.x * 0.9F), 0});
  if (!ImGui::BeginPopupModal(title, nullptr, ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) return;
  const Packing::State state = packing->state();
  bool close = false;
  if (!state.finished) {
    ImGui::ProgressBar(static_cast<float>(state.done), {-1, ui.px(8)}, "");
    ImGui::TextUnformatted(state.what.empty() ? "Beginning…" : state.what.c_str());
    ImGui::BeginDisabled(packing->cancelled());
    if (button(ui, "packet:cancel", "Cancel", "Nothing is left behind")) packing->cancel();
    ImGui::EndDisabled();
  } else {
    ImGui::PushTextWrapPos(0);
    if (state.report) {
      ImGui::TextUnformatted(
          ("Written: " + std::to_string(state.report->files.size()) + " files in " + state.report->folder.string())
              .c_str());
      ImGui::PopTextWrapPos();
      ImGui::BeginChild("##written", {0, ui.px(200)}, true);
      for (const std::string& f : state.report->files) ImGui::TextUnformatted(f.c_str());
      ImGui::EndChild();
      ImGui::PushTextWrapPos(0);
    } else if (state.findings.empty()) {
      ImGui::TextUnformatted("Cancelled. Nothing was written.");
    }
    for (const Finding& f : state.findings) finding_text(ui, f, true);
    ImGui::PopTextWrapPos();
    close = strong_button(ui, "packet:close", "Close", "Esc") ||
            ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false);
    ui.marks.word("packet", state.report ? "written" : state.findings.empty() ? "cancelled" : "failed");
  }
  if (close) {
    ui.workspace.end_packing();
    ImGui::CloseCurrentPopup();
  }
  ImGui::EndPopup();
}

namespace {
bool begin_question(Ui& ui, const char* title, bool asked) {
  if (asked && !ImGui::IsPopupOpen(title)) ImGui::OpenPopup(title);
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(460), screen.x * 0.9F), 0});
  return ImGui::BeginPopupModal(title, nullptr, ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove);
}
}  // namespace

void Workbench::Inside::ask_unsaved() {
  if (!unsaved_asked || !begin_question(ui, "Unsaved changes", unsaved_asked)) return;
  ImGui::TextWrapped("The design was changed since it was last saved.");
  bool done = false;
  if (strong_button(ui, "unsaved:save", "Save", "")) {
    if (ui.workspace.editor().path().empty())
      files.show(FileDialog::For::save, "design.json"), after = After::nothing, done = true;
    else if (ui.workspace.save())
      done = true, continue_after();
    else
      after = After::nothing, done = true;
  }
  ImGui::SameLine();
  if (button(ui, "unsaved:drop", "Leave it unsaved", "")) done = true, continue_after();
  ImGui::SameLine();
  if (button(ui, "unsaved:back", "Go back", "Esc") || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false))
    done = true, after = After::nothing;
  if (done) unsaved_asked = false, ImGui::CloseCurrentPopup();
  ImGui::EndPopup();
}

void Workbench::Inside::ask_overwrite() {
  bool& asked = ui.workspace.overwrite_asked;
  if (!asked || !begin_question(ui, "The file was changed", asked)) return;
  ImGui::TextWrapped("%s was written by another program since it was opened here.",
                     ui.workspace.editor().path().filename().string().c_str());
  bool done = false;
  if (button(ui, "overwrite:mine", "Save over it", "")) done = true, ui.workspace.save(true);
  ImGui::SameLine();
  if (button(ui, "overwrite:name", "Another name…", ""))
    done = true, files.show(FileDialog::For::save, ui.workspace.editor().path());
  ImGui::SameLine();
  if (button(ui, "overwrite:theirs", "Read it again", "Drops what was changed here"))
    done = true, ui.workspace.open(std::filesystem::path(ui.workspace.editor().path()));
  ImGui::SameLine();
  if (button(ui, "overwrite:back", "Go back", "Esc") || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape), false))
    done = true;
  if (done) asked = false, ImGui::CloseCurrentPopup();
  ImGui::EndPopup();
}

void Workbench::Inside::dialogs() {
  keys_window();
  ask_unsaved();
  ask_overwrite();
  if (const std::optional<std::filesystem::path> path = files.draw(ui)) {
    switch (files.purpose()) {
      case FileDialog::For::open:
        ui.workspace.open(*path);
        break;
      case FileDialog::For::save:
        ui.workspace.save_as(*path);
        break;
      case FileDialog::For::folder:
        ui.workspace.start_packing(*path);
        break;
    }
  }
  packet_window();
}

}  // namespace kerfkiln::viewer
