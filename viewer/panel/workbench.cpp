#include "viewer/panel/workbench_inside.hpp"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/base/number_text.hpp"
#include "viewer/panel/panels.hpp"

namespace kerfkiln::viewer {
void Workbench::Inside::leave_or(After what) {
  after = what;
  if (ui.workspace.editor().dirty())
    unsaved_asked = true;
  else
    continue_after();
}

void Workbench::Inside::continue_after() {
  const After what = after;
  after = After::nothing;
  if (what == After::quit) closed = true;
  if (what == After::open) files.show(FileDialog::For::open, ui.workspace.editor().path().parent_path());
}

void Workbench::Inside::run(Command c) {
  Workspace& s = ui.workspace;
  Display& d = s.display;
  const auto look = [&](Aim a) { scene_panel.camera.aim(a), scene_panel.fit(); };
  switch (c) {
    case Command::open:
      leave_or(After::open);
      break;
    case Command::save:
      if (s.editor().path().empty())
        files.show(FileDialog::For::save, "design.json");
      else
        s.save();
      break;
    case Command::save_as:
      files.show(FileDialog::For::save, s.editor().path().empty() ? "design.json" : s.editor().path());
      break;
    case Command::undo:
      s.undo();
      break;
    case Command::redo:
      s.redo();
      break;
    case Command::packet:
      if (s.can_pack()) files.show(FileDialog::For::folder, s.proposed_packet_folder());
      break;
    case Command::quit:
      leave_or(After::quit);
      break;
    case Command::corner:
      look(Aim::corner);
      break;
    case Command::front:
      look(Aim::front);
      break;
    case Command::back:
      look(Aim::back);
      break;
    case Command::left:
      look(Aim::left);
      break;
    case Command::right:
      look(Aim::right);
      break;
    case Command::top:
      look(Aim::top);
      break;
    case Command::under:
      look(Aim::under);
      break;
    case Command::fit:
      scene_panel.fit();
      break;
    case Command::parallel:
      scene_panel.camera.parallel = !scene_panel.camera.parallel;
      break;
    case Command::form:
      sheets_shown = false;
      break;
    case Command::sheets:
      sheets_shown = true;
      break;
    case Command::layers:
      d.components = !d.components && s.has_components();
      if (d.components && d.explode == 0) d.explode = 0.6;
      scene_panel.fit();
      break;
    case Command::cut:
      d.cut = d.cut == CutAxis::none    ? CutAxis::depth
              : d.cut == CutAxis::depth ? CutAxis::width
              : d.cut == CutAxis::width ? CutAxis::height
                                        : CutAxis::none;
      break;
    case Command::edges:
      d.edges = !d.edges;
      break;
    case Command::floor:
      d.floor = !d.floor;
      break;
    case Command::sizes:
      d.sizes = !d.sizes;
      break;
    case Command::next_piece:
      s.select_piece(s.piece() + 1);
      break;
    case Command::previous_piece:
      if (s.piece() > 0) s.select_piece(s.piece() - 1);
      break;
    case Command::theme:
      d.dark = !d.dark;
      break;
    case Command::units:
      d.units = d.units == Units::mm ? Units::inch : Units::mm;
      break;
    case Command::keys:
      keys_shown = !keys_shown;
      break;
    case Command::turn_left:
      scene_panel.camera.orbit(24, 0);
      break;
    case Command::turn_right:
      scene_panel.camera.orbit(-24, 0);
      break;
    case Command::turn_up:
      scene_panel.camera.orbit(0, 24);
      break;
    case Command::turn_down:
      scene_panel.camera.orbit(0, -24);
      break;
    case Command::closer:
      scene_panel.camera.zoom(1, 0, 0, 1);
      break;
    case Command::farther:
      scene_panel.camera.zoom(-1, 0, 0, 1);
      break;
  }
}

void Workbench::Inside::bar(float height) {
  Workspace& s = ui.workspace;
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(14), ui.px(9)});
  ImGui::BeginChild("##bar", {0, height}, false,
                    ImGuiWindowFlags_AlwaysUseWindowPadding | ImGuiWindowFlags_NoScrollbar);
  ImGui::PopStyleVar();
  const ImGuiStyle& style = ImGui::GetStyle();
  struct Item {
    const char* mark;
    std::string label;
    Command command;
    bool enabled, on, strong;
  };
  const Item items[] = {
      {"form", "Form", Command::form, true, !sheets_shown, false},
      {"sheets", "Sheets", Command::sheets, true, sheets_shown, false},
      {"", "", Command::keys, false, false, false},
      {"undo", "Undo", Command::undo, s.editor().can_undo(), false, false},
      {"redo", "Redo", Command::redo, s.editor().can_redo(), false, false},
      {"", "", Command::keys, false, false, false},
      {"open", "Open", Command::open, true, false, false},
      {"save", "Save", Command::save, s.editor().dirty(), false, false},
      {"packet", "Write packet", Command::packet, s.can_pack(), false, true},
      {"", "", Command::keys, false, false, false},
      {"units", s.display.units == Units::mm ? "mm" : "in", Command::units, true, false, false},
      {"theme", s.display.dark ? "Light" : "Dark", Command::theme, true, false, false},
      {"keys", "Keys", Command::keys, true, keys_shown, false},
  };
  float width = 0;
  for (const Item& i : items)
    width += i.label.empty() ? ui.px(14) : ImGui::CalcTextSize(i.label.c_str()).x + 2 * style.FramePadding.x + ui.px(5);
  const float start = ImGui::GetWindowWidth() - ui.px(14) - width;

  const std::string& title = s.editor().document()->design.title;
  ImGui::PushFont(ui.fonts.title);
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(fitted(title.empty() ? "Untitled" : title, start - ui.px(40)).c_str());
  const ImVec2 end = ImGui::GetItemRectMax();
  ImGui::PopFont();
  if (s.editor().dirty())
    ImGui::GetWindowDrawList()->AddCircleFilled({end.x + ui.px(12), (ImGui::GetItemRectMin().y + end.y) / 2 + ui.px(2)},
                                                ui.px(4), ui.colour->warning);
  float x = start;
  std::optional<Command> pressed;
  for (const Item& i : items) {
    if (i.label.empty()) {
      x += ui.px(14);
      continue;
    }
    ImGui::SameLine(x);
    ImGui::SetCursorPosX(x);
    ImGui::BeginDisabled(!i.enabled);
    const bool hit = i.strong ? strong_button(ui, i.mark, i.label, with_keys(i.command))
                              : button(ui, i.mark, i.label, with_keys(i.command), i.on);
    ImGui::EndDisabled();
    if (hit) pressed = i.command;
    x += ImGui::CalcTextSize(i.label.c_str()).x + 2 * style.FramePadding.x + ui.px(5);
  }
  ImGui::EndChild();
  if (pressed) run(*pressed);
}

void Workbench::Inside::body(float height) {
  const float all = ImGui::GetContentRegionAvail().x, gap = ui.px(1);
  const float left = std::clamp(all * 0.24F, ui.px(300), ui.px(400)),
              right = std::clamp(all * 0.26F, ui.px(300), ui.px(420));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {gap, gap});
  // Left: what is made, and what it is made like.
  ImGui::BeginChild("##left", {left, height}, false, ImGuiWindowFlags_NoScrollbar);
  ImGui::PopStyleVar();
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(8), ui.px(8)});
  const float row = ui.px(30) + ImGui::GetStyle().ItemSpacing.y;
  const float list =
      std::min(static_cast<float>(std::max<std::size_t>(ui.workspace.piece_count(), 1)), 6.0F) * row + ui.px(12);
  ImGui::BeginChild("##pieces", {0, list}, false, ImGuiWindowFlags_AlwaysUseWindowPadding);
  ImGui::PopStyleVar();
  pieces_panel(ui);
  ImGui::EndChild();
  ImGui::BeginChild("##fields", {0, 0}, false,
                    ImGuiWindowFlags_AlwaysUseWindowPadding | ImGuiWindowFlags_AlwaysVerticalScrollbar);
  const ImVec2 at = ImGui::GetWindowPos();
  ui.marks.area("fields", at.x, at.y, at.x + ImGui::GetWindowWidth(), at.y + ImGui::GetWindowHeight());
  fields_panel(ui);
  ImGui::EndChild();
  ImGui::EndChild();

  ImGui::SameLine(0, gap);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  ImGui::BeginChild("##middle", {all - left - right - 2 * gap, height}, false,
                    ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
  ImGui::PopStyleVar();
  if (sheets_shown)
    sheets_panel.draw(ui);
  else
    scene_panel.draw(ui);
  ImGui::EndChild();

  // Right: what comes out, and what there is to say about it.
  ImGui::SameLine(0, gap);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {gap, gap});
  ImGui::BeginChild("##right", {right, height}, false, ImGuiWindowFlags_NoScrollbar);
  ImGui::PopStyleVar();
  const float findings = std::clamp(findings_height, ui.px(44), height * 0.45F);
  ui.workspace.emphasised.clear();
  ImGui::BeginChild("##figures", {0, height - findings - gap}, false, ImGuiWindowFlags_AlwaysUseWindowPadding);
  figures_panel(ui);
  ImGui::EndChild();
  ImGui::BeginChild("##findings", {0, 0}, false, ImGuiWindowFlags_AlwaysUseWindowPadding);
  findings_panel(ui);
  const float wanted = ImGui::GetCursorPosY() + ImGui::GetScrollY() + ui.px(6);
  if (std::abs(wanted - findings_height) > 1)
    findings_height = wanted, frames_after_motion = std::max(frames_after_motion, 2);
  ImGui::EndChild();
  ImGui::EndChild();
}

void Workbench::Inside::foot(float height) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(14), ui.px(5)});
  ImGui::BeginChild("##foot", {0, height}, false,
                    ImGuiWindowFlags_AlwaysUseWindowPadding | ImGuiWindowFlags_NoScrollbar);
  ImGui::PopStyleVar();
  Workspace& s = ui.workspace;
  std::string text;
  if (const Snapshot* snap = s.snapshot()) {
    text = s.busy() ? "Working…" : "Up to date";
    text += "   ·   figures in " + format_number(snap->evaluate_ms, 1) + " ms   ·   picture of " +
            std::to_string(snap->triangles) + " triangles, true to " + format_number(snap->deviation_mm, 2) + " mm";
  } else {
    text = "Working…";
  }
  const std::string file = s.editor().path().empty() ? "not saved yet" : s.editor().path().string();
  const float file_width = ImGui::CalcTextSize(file.c_str()).x;
  const float room = ImGui::GetContentRegionAvail().x;
  if (s.notice.text.empty()) {
    quiet_text(ui, text);
  } else {
    ImGui::PushStyleColor(ImGuiCol_Text, s.notice.trouble ? ui.colour->error : ui.colour->good);
    const std::string words = fitted(s.notice.text, room - std::min(file_width, room * 0.4F) - ui.px(20));
    ImGui::TextUnformatted(words.c_str());
    ImGui::PopStyleColor();
    tip(ui, s.notice.text);
  }
  const std::string shown_file = fitted(file, room * 0.4F);
  ImGui::SameLine(ImGui::GetWindowWidth() - ui.px(14) - ImGui::CalcTextSize(shown_file.c_str()).x);
  quiet_text(ui, shown_file);
  tip(ui, file);
  ui.marks.word("status", s.busy() ? "busy" : "ready");
  ui.marks.word("notice", s.notice.text);
  ui.marks.word("dirty", s.editor().dirty() ? "yes" : "no");
  ui.marks.word("undo", s.editor().undo_label());
  ImGui::EndChild();
}

Workbench::Workbench(Workspace& s, std::unique_ptr<Scene> scene, Fonts fonts, float scale, std::function<void()> wake)
    : in_(std::make_unique<Inside>(s, std::move(scene), fonts, scale, std::move(wake))) {}
Workbench::~Workbench() = default;
Ui& Workbench::ui() { return in_->ui; }
bool Workbench::closed() const { return in_->closed; }
void Workbench::ask_to_close() { in_->leave_or(After::quit); }
bool Workbench::wants_another() const { return in_->frames_after_motion > 0 || in_->ui.goto_frames > 0; }
std::string Workbench::title() const {
  const Editor& e = in_->ui.workspace.editor();
  const std::string file = e.path().empty() ? "new design" : e.path().filename().string();
  return (e.dirty() ? "* " : "") + file + " - kerfkiln";
}

void Workbench::frame() {
  Inside& in = *in_;
  Ui& ui = in.ui;
  ui.workspace.poll();
  if (!in.styled || in.styled_dark != ui.workspace.display.dark) {
    ui.colour = &palette(ui.workspace.display.dark);
    apply(*ui.colour, ui.scale);
    in.styled = true, in.styled_dark = ui.workspace.display.dark;
  }
  ui.marks.begin();
  ui.moving = false;
  // A dialog keeps the keys to itself.
  if (!ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopupId | ImGuiPopupFlags_AnyPopupLevel))
    for (const Command c : pressed_commands()) in.run(c);

  const ImVec2 size = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({0, 0});
  ImGui::SetNextWindowSize(size);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  ImGui::Begin("##kerfkiln", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoBringToFrontOnFocus);
  ImGui::PopStyleVar();
  const float bar = ui.px(46), foot = ui.px(27), gap = ui.px(1);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {gap, gap});
  const ImVec2 roomy = {ui.px(8), ui.px(6)};
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, roomy);
  in.bar(bar);
  ImGui::PopStyleVar();
  ImGui::SetCursorPosY(bar + gap);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, roomy);
  in.body(size.y - bar - foot - 2 * gap);
  ImGui::PopStyleVar();
  ImGui::SetCursorPosY(size.y - foot);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, roomy);
  in.foot(foot);
  ImGui::PopStyleVar(2);
  ImGui::End();
  in.dialogs();
  // A few frames more after the last motion: the fine picture, and layouts that settle.
  in.frames_after_motion = ui.moving ? 6 : std::max(0, in.frames_after_motion - 1);
}

}  // namespace kerfkiln::viewer
