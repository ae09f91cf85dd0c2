#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cmath>

#include "viewer/panel/ui.hpp"
#include "viewer/state/show.hpp"

namespace kerfkiln::viewer {
namespace {

struct Stepping {
  Ui* ui;
  const Field* field;
};

// Arrow up and down in a value box: one step of its slider.
int step_value(ImGuiInputTextCallbackData* data) {
  const Stepping& s = *static_cast<Stepping*>(data->UserData);
  const Units units = s.ui->workspace.editor().document()->design.units;
  const std::optional<double> value =
      typed_value(*s.field, std::string(data->Buf, static_cast<std::size_t>(data->BufTextLen)), units);
  if (!value) return 0;
  const std::optional<Slide> slide = slide_of(*s.field, units);
  double step = slide ? slide->step : 1;
  if (ImGui::GetIO().KeyShift) step *= 10;
  const double next = *value + (data->EventKey == ImGuiKey_UpArrow ? step : -step);
  const std::string json = json_for_value(*s.field, next, units);
  const std::string text = json.front() == '"' ? json.substr(1, json.size() - 2) : json;
  data->DeleteChars(0, data->BufTextLen);
  data->InsertChars(0, text.c_str());
  s.ui->workspace.set_json(s.field->path, json, s.ui->typing.gesture);
  return 0;
}

}  // namespace

const char* sign(Severity s) { return s == Severity::error ? "■" : s == Severity::warning ? "▲" : "●"; }

std::string fitted(const std::string& text, float width) {
  if (ImGui::CalcTextSize(text.c_str()).x <= width) return text;
  std::string t = text;
  while (!t.empty() && ImGui::CalcTextSize((t + "…").c_str()).x > width) {
    while (t.size() > 1 && (static_cast<unsigned char>(t.back()) & 0xC0U) == 0x80U) t.pop_back();
    t.pop_back();
  }
  return t + "…";
}

void tip(const Ui& ui, const std::string& text) {
  if (text.empty() || !ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled)) return;
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(ui.px(340));
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

bool button(Ui& ui, const std::string& mark, const std::string& label, const std::string& hint, bool on) {
  if (on) {
    ImGui::PushStyleColor(ImGuiCol_Button, ui.colour->accent_soft);
    ImGui::PushStyleColor(ImGuiCol_Border, ui.colour->accent);
  }
  const bool pressed = ImGui::Button((label + "##" + mark).c_str());
  if (on) ImGui::PopStyleColor(2);
  ui.marks.item(mark);
  tip(ui, hint);
  return pressed;
}

bool strong_button(Ui& ui, const std::string& mark, const std::string& label, const std::string& hint) {
  ImGui::PushStyleColor(ImGuiCol_Button, ui.colour->accent);
  ImGui::PushStyleColor(ImGuiCol_ButtonHovered, ui.colour->accent);
  ImGui::PushStyleColor(ImGuiCol_ButtonActive, ui.colour->accent);
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->on_accent);
  const bool pressed = ImGui::Button((label + "##" + mark).c_str());
  ImGui::PopStyleColor(4);
  ui.marks.item(mark);
  tip(ui, hint);
  return pressed;
}

int choice_strip(Ui& ui, const std::string& mark, const std::vector<std::string>& labels, int chosen,
                 const std::vector<std::string>& tips) {
  int pressed = -1;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(2), ui.px(4)});
  for (int i = 0; i < static_cast<int>(labels.size()); ++i) {
    if (i) ImGui::SameLine();
    const std::size_t k = static_cast<std::size_t>(i);
    if (button(ui, mark + ":" + labels[k], labels[k], k < tips.size() ? tips[k] : "", i == chosen)) pressed = i;
  }
  ImGui::PopStyleVar();
  return pressed;
}

namespace {

// The track with its filled part and a narrow upright handle.
void draw_rule(const Ui& ui, ImVec2 a, ImVec2 b, double t, bool hot) {
  ImDrawList& d = *ImGui::GetWindowDrawList();
  const float y = std::round((a.y + b.y) / 2), thick = ui.px(3);
  const float x = a.x + static_cast<float>(std::clamp(t, 0.0, 1.0)) * (b.x - a.x);
  d.AddRectFilled({a.x, y - thick / 2}, {b.x, y + thick / 2}, ui.colour->track, thick / 2);
  d.AddRectFilled({a.x, y - thick / 2}, {x, y + thick / 2}, ui.colour->accent, thick / 2);
  const float w = ui.px(hot ? 4.0F : 3.0F), h = ui.px(6.5F);
  d.AddRectFilled({x - w, y - h}, {x + w, y + h}, ui.colour->panel, ui.px(2));
  d.AddRectFilled({x - w + ui.px(1), y - h + ui.px(1)}, {x + w - ui.px(1), y + h - ui.px(1)}, ui.colour->accent,
                  ui.px(1.5F));
}

}  // namespace

std::optional<double> rule(Ui& ui, const std::string& mark, double t, float width) {
  const ImVec2 a = ImGui::GetCursorScreenPos();
  ImGui::InvisibleButton(("##" + mark).c_str(), {width, ImGui::GetFrameHeight()});
  ui.marks.item(mark);
  std::optional<double> out;
  if (ImGui::IsItemActive()) {
    out = std::clamp(static_cast<double>((ImGui::GetIO().MousePos.x - a.x) / width), 0.0, 1.0);
    ui.moving = true;
  }
  draw_rule(ui, a, ImGui::GetItemRectMax(), out.value_or(t), ImGui::IsItemHovered() || ImGui::IsItemActive());
  return out;
}

void field_rule(Ui& ui, const Field& f) {
  const Units units = ui.workspace.editor().document()->design.units;
  const std::optional<Slide> found = slide_of(f, units);
  if (!found) return;
  const bool ours = ui.dragging.path == f.path;
  // While dragged the ends stand still, or the value would run away under the pointer.
  const Slide slide = ours ? ui.dragging.slide : *found;
  const float width = ImGui::GetContentRegionAvail().x;
  const ImVec2 a = ImGui::GetCursorScreenPos();
  ImGui::InvisibleButton(("##rule " + f.path).c_str(), {width, ui.px(15)});
  ui.marks.item("slider:" + f.path);
  const double inset = ui.px(4), span = static_cast<double>(width) - 2 * inset;
  const double t = std::isfinite(f.value) ? (f.value - slide.low) / (slide.high - slide.low) : 0;
  const double pointer = static_cast<double>(ImGui::GetIO().MousePos.x - a.x) - inset;
  if (ImGui::IsItemActivated()) {
    const double off = pointer - t * span;
    ui.dragging = {f.path, slide, std::abs(off) <= ui.px(8) ? off : 0.0, f.value, ui.workspace.new_gesture()};
  }
  if (ImGui::IsItemActive() && ours) {
    ui.moving = true;
    const double at = std::clamp((pointer - ui.dragging.grip) / span, 0.0, 1.0);
    const double value = snapped(slide, slide.low + at * (slide.high - slide.low));
    if (!(std::abs(value - f.value) < slide.step / 2)) ui.workspace.set_value(f, value, ui.dragging.gesture);
  }
  if (ImGui::IsItemDeactivated()) ui.dragging = {};
  const float in = static_cast<float>(inset);
  ImVec2 b = ImGui::GetItemRectMax();
  draw_rule(ui, {a.x + in, a.y}, {b.x - in, b.y}, t, ImGui::IsItemHovered() || ImGui::IsItemActive());
}

void value_box(Ui& ui, const Field& f, float width, const std::string& mark) {
  const Units units = ui.workspace.editor().document()->design.units;
  const bool typing = ui.typing.path == f.path;
  std::string standing = f.kind == Field::Kind::text ? f.written : shown_text(f, units);
  std::string& text = typing ? ui.typing.text : standing;
  const bool from_default = !typing && f.kind != Field::Kind::integer && f.written.empty();
  const bool number = f.kind != Field::Kind::text;
  ImGui::SetNextItemWidth(width);
  if (from_default) ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->quiet);
  Stepping stepping{&ui, &f};
  const ImGuiInputTextFlags flags =
      ImGuiInputTextFlags_AutoSelectAll | (number ? ImGuiInputTextFlags_CallbackHistory : 0);
  ImGui::InputTextWithHint(("##" + mark).c_str(), from_default ? "not given" : "", &text, flags,
                           number ? step_value : nullptr, &stepping);
  if (from_default) ImGui::PopStyleColor();
  ui.marks.item(mark);
  if (ImGui::IsItemActivated()) ui.typing = {f.path, standing, ui.workspace.new_gesture()};
  if (ImGui::IsItemDeactivated() && typing) {
    const std::string typed = ui.typing.text;
    ui.typing = {};
    if (number)
      ui.workspace.set_typed(f, typed);
    else if (typed != f.written)
      ui.workspace.set_json(f.path, typed.empty() && !f.required ? "" : json_string(typed));
  }
}

void quiet_text(Ui& ui, const std::string& text) {
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->quiet);
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopStyleColor();
}

void finding_text(Ui& ui, const Finding& f, bool with_place) {
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->of(f.severity));
  ImGui::TextUnformatted(sign(f.severity));
  ImGui::PopStyleColor();
  ImGui::SameLine(0, ui.px(6));
  ImGui::BeginGroup();
  ImGui::PushTextWrapPos(0);
  if (with_place && !f.path.empty()) {
    ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->quiet);
    ImGui::TextUnformatted(spoken_path(*ui.workspace.fields(), f.path).c_str());
    ImGui::PopStyleColor();
  }
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->of(f.severity));
  ImGui::TextUnformatted(f.message.c_str());
  ImGui::PopStyleColor();
  if (!f.remedy.empty()) ImGui::TextUnformatted(f.remedy.c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndGroup();
}

}  // namespace kerfkiln::viewer
