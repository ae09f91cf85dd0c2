#include <imgui.h>

#include <algorithm>

#include "viewer/panel/panels.hpp"

namespace kerfkiln::viewer {
namespace {

constexpr float kBoxWidth = 104;

std::string help_of(const Field& f, Units units) {
  std::string out = f.help;
  const auto line = [&](const std::string& s) { out += (out.empty() ? "" : "\n") + s; };
  if (f.kind == Field::Kind::quantity && f.range.limited())
    line("Permitted: " + format_range(f.range, f.dimension, units));
  if (!f.default_text.empty())
    line("If nothing is said: " + f.default_text + (f.source.empty() ? "" : " (" + f.source + ")"));
  if (f.kind == Field::Kind::quantity)
    line("Type a value with its unit, such as 4 cm or 1 1/2 in. Arrow up and down step it.");
  return out;
}

void findings_here(Ui& ui, const Field& f) {
  for (const Finding& x : ui.workspace.findings_at(f.path)) finding_text(ui, x, false);
}

// A field the pointer's figure comes from, or one that was asked for, is marked along its left side.
void mark_row(Ui& ui, const Field& f, float top) {
  const bool asked = ui.goto_path == f.path;
  if (asked && ui.goto_frames > 0) ImGui::SetScrollHereY(0.3F);
  if (!asked && !ui.workspace.emphasised.contains(f.path)) return;
  const float x = ImGui::GetWindowPos().x;
  ImGui::GetWindowDrawList()->AddRectFilled({x, top}, {x + ui.px(4), ImGui::GetItemRectMax().y}, ui.colour->accent);
}

void label_of(Ui& ui, const Field& f, float room) {
  ImGui::AlignTextToFramePadding();
  const std::string text = fitted(f.label, room);
  ImGui::TextUnformatted(text.c_str());
  tip(ui, help_of(f, ui.workspace.display.units));
}

void combo(Ui& ui, const Field& f, const std::vector<std::pair<std::string, std::string>>& choices, float width,
           const std::function<void(std::size_t)>& chosen) {
  std::string standing = f.written.empty() ? f.default_text : f.written;
  for (const auto& [value, label] : choices)
    if (value == standing && !label.empty()) standing = label;
  ImGui::SetNextItemWidth(width);
  // The arrow takes a square of the box.
  const std::string preview = fitted(standing.empty() ? "not given" : standing,
                                     width - ImGui::GetFrameHeight() - 2 * ImGui::GetStyle().FramePadding.x);
  if (ImGui::BeginCombo(("##" + f.path).c_str(), preview.c_str())) {
    for (std::size_t i = 0; i < choices.size(); ++i) {
      const std::string& label = choices[i].second.empty() ? choices[i].first : choices[i].second;
      if (ImGui::Selectable((label + "##" + choices[i].first).c_str(), choices[i].first == f.written)) chosen(i);
    }
    ImGui::EndCombo();
  }
  ui.marks.item("box:" + f.path);
}

void leaf(Ui& ui, const Field& f) {
  ImGui::PushID(f.path.c_str());
  const float top = ImGui::GetCursorScreenPos().y, room = ImGui::GetContentRegionAvail().x;
  const float left = ImGui::GetCursorPosX();
  const bool wide = f.kind == Field::Kind::text || f.kind == Field::Kind::choice;
  const float box = wide ? std::max(ui.px(kBoxWidth), room * 0.54F) : ui.px(kBoxWidth);
  ImGui::BeginGroup();
  label_of(ui, f, room - box - ui.px(8));
  ImGui::SameLine();
  ImGui::SetCursorPosX(left + room - box);
  switch (f.kind) {
    case Field::Kind::quantity:
    case Field::Kind::integer:
      value_box(ui, f, box, "box:" + f.path);
      field_rule(ui, f);
      break;
    case Field::Kind::flag: {
      bool on = f.value != 0;
      if (ImGui::Checkbox("##on", &on)) ui.workspace.set_json(f.path, on ? "true" : "false");
      ui.marks.item("box:" + f.path);
      break;
    }
    case Field::Kind::choice:
      combo(ui, f, f.choices, box,
            [&](std::size_t i) { ui.workspace.set_json(f.path, json_string(f.choices[i].first)); });
      break;
    case Field::Kind::text:
      if (f.refers_to.empty()) {
        value_box(ui, f, box, "box:" + f.path);
      } else {
        std::vector<std::pair<std::string, std::string>> names;
        if (!f.required) names.emplace_back("", "not given");
        for (std::string& n : ui.workspace.names(f.refers_to)) names.emplace_back(std::move(n), "");
        combo(ui, f, names, box, [&](std::size_t i) {
          ui.workspace.set_json(f.path, names[i].first.empty() ? "" : json_string(names[i].first));
        });
      }
      break;
    default:
      break;
  }
  findings_here(ui, f);
  ImGui::EndGroup();
  mark_row(ui, f, top);
  ImGui::PopID();
}

bool holds(const Field& f, const std::string& path) { return path == f.path || path.starts_with(f.path + "/"); }

// "120 mm · 98 mm · 78 mm": an element at a glance while it is closed.
std::string summary(const Field& f, Units units) {
  std::string out;
  for (const Field& c : f.children) {
    std::string part;
    if (c.kind == Field::Kind::quantity && !c.written.empty()) part = shown_text(c, units);
    if ((c.kind == Field::Kind::text || c.kind == Field::Kind::choice) && !c.written.empty()) part = c.written;
    if (!part.empty()) out += (out.empty() ? "" : " · ") + part;
  }
  return out;
}

std::string summary_words(const Field& f) {
  std::string out;
  for (const Field& c : f.children)
    if (!c.written.empty() && c.kind != Field::Kind::alternatives) out += (out.empty() ? "" : " · ") + c.label;
  return out;
}

void group(Ui&, const Field&, bool top);

void members(Ui& ui, const Field& f) {
  for (const Field& c : f.children) {
    if (c.kind == Field::Kind::kept) continue;
    if (c.is_group())
      group(ui, c, false);
    else
      leaf(ui, c);
  }
}

// A heading that opens and closes; the worst finding inside shows on it.
bool heading(Ui& ui, const Field& f, const std::string& label, const std::string& right, bool top, bool open_at_first) {
  if (ui.goto_frames > 0 && holds(f, ui.goto_path))
    ImGui::SetNextItemOpen(true);
  else
    ImGui::SetNextItemOpen(open_at_first, ImGuiCond_FirstUseEver);
  if (top) ImGui::PushFont(ui.fonts.strong);
  const ImGuiTreeNodeFlags flags =
      ImGuiTreeNodeFlags_SpanAvailWidth | ImGuiTreeNodeFlags_FramePadding | ImGuiTreeNodeFlags_NoTreePushOnOpen;
  const bool open = ImGui::TreeNodeEx((label + "###" + f.path).c_str(), flags);
  if (top) ImGui::PopFont();
  ui.marks.item("group:" + f.path);
  tip(ui, f.help);
  const ImVec2 a = ImGui::GetItemRectMin(), b = ImGui::GetItemRectMax();
  float x = b.x;
  ImDrawList& d = *ImGui::GetWindowDrawList();
  const float y = a.y + ImGui::GetStyle().FramePadding.y;
  if (const auto worst = ui.workspace.worst_below(f.path)) {
    x -= ImGui::CalcTextSize(sign(*worst)).x;
    d.AddText({x, y}, ui.colour->of(*worst), sign(*worst));
    x -= ui.px(8);
  }
  if (!open && !right.empty()) {
    const float left = a.x + ImGui::GetTreeNodeToLabelSpacing() + ImGui::CalcTextSize(label.c_str()).x + ui.px(14);
    const std::string text = fitted(right, x - left);
    d.AddText({x - ImGui::CalcTextSize(text.c_str()).x, y}, ui.colour->quiet, text.c_str());
  }
  return open;
}

void form_choice(Ui& ui, const Field& f, const std::string& label) {
  const float room = ImGui::GetContentRegionAvail().x, box = room * 0.54F, left = ImGui::GetCursorPosX();
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(fitted(label, room - box - ui.px(8)).c_str());
  tip(ui, f.help);
  ImGui::SameLine();
  ImGui::SetCursorPosX(left + room - box);
  combo(ui, f, f.choices, box, [&](std::size_t i) {
    if (f.choices[i].first != f.written) ui.workspace.set_json(f.path, f.fresh[i]);
  });
}

void list_elements(Ui& ui, const Field& f) {
  const Units units = ui.workspace.editor().document()->design.units;
  if (!f.children.empty() && f.children.front().is_group()) {  // what the numbers of the closed rows are
    const std::string words = fitted(summary_words(f.children.front()), ImGui::GetContentRegionAvail().x - ui.px(44));
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x -
                         ImGui::CalcTextSize(words.c_str()).x);
    quiet_text(ui, words);
  }
  for (std::size_t i = 0; i < f.children.size(); ++i) {
    const Field& c = f.children[i];
    ImGui::PushID(static_cast<int>(i));
    if (!c.is_group()) {
      leaf(ui, c);
    } else if (heading(ui, c, std::to_string(i + 1), summary(c, units), false, false)) {
      ImGui::Indent();
      members(ui, c);
      findings_here(ui, c);
      if (button(ui, "copy:" + c.path, "Repeat", "Adds another like it after this one"))
        ui.workspace.duplicate_element(f.path, i);
      ImGui::SameLine();
      ImGui::BeginDisabled(static_cast<double>(f.children.size()) <= f.range.low);
      if (button(ui, "remove:" + c.path, "Remove", "Takes this one out (Ctrl+Z brings it back)"))
        ui.workspace.remove_element(f.path, i);
      ImGui::EndDisabled();
      ImGui::Unindent();
    }
    ImGui::PopID();
  }
  if (f.children.empty() && !f.fresh.empty() && button(ui, "add:" + f.path, "Add the first", ""))
    ui.workspace.set_json(f.path + "/0", f.fresh.front());
}

void map_entries(Ui& ui, const Field& f) {
  for (const Field& c : f.children) {
    const std::string name = c.path.substr(f.path.size() + 1);
    ImGui::PushID(c.path.c_str());
    if (c.kind == Field::Kind::alternatives) {
      form_choice(ui, c, name);
      members(ui, c);
      findings_here(ui, c);
    } else if (heading(ui, c, name, "", false, false)) {
      ImGui::Indent();
      members(ui, c);
      findings_here(ui, c);
      ImGui::Unindent();
    }
    ImGui::PopID();
  }
  if (f.children.empty()) quiet_text(ui, "none given");
}

void group(Ui& ui, const Field& f, bool top) {
  const bool has_something =
      std::any_of(f.children.begin(), f.children.end(), [](const Field& c) { return c.kind != Field::Kind::kept; });
  if (f.kind == Field::Kind::record && !has_something) return;
  // A record inside a chosen form that says no more than the form itself does.
  if (f.kind == Field::Kind::record && !top && f.label.empty()) return members(ui, f);
  std::string right;
  if (f.kind == Field::Kind::list || f.kind == Field::Kind::map) right = std::to_string(f.children.size());
  if (f.kind == Field::Kind::alternatives)
    for (const auto& [id, label] : f.choices)
      if (id == f.written) right = label;
  const bool first = f.label == "Outline" || f.kind == Field::Kind::list;
  const float y = ImGui::GetCursorScreenPos().y;
  if (!heading(ui, f, f.label, right, top, top && first)) return;
  ImGui::Indent(ui.px(top ? 6 : 12));
  findings_here(ui, f);
  if (f.kind == Field::Kind::alternatives) {
    form_choice(ui, f, "Form");
    for (const Field& c : f.children) {
      if (c.kind == Field::Kind::record)
        members(ui, c);
      else if (c.is_group())
        group(ui, c, false);
      else if (c.kind != Field::Kind::kept)
        leaf(ui, c);
    }
  } else if (f.kind == Field::Kind::list) {
    list_elements(ui, f);
  } else if (f.kind == Field::Kind::map) {
    map_entries(ui, f);
  } else {
    members(ui, f);
  }
  ImGui::Unindent(ui.px(top ? 6 : 12));
  if (ui.goto_path == f.path) mark_row(ui, f, y);
}

}  // namespace

void fields_panel(Ui& ui) {
  const std::shared_ptr<const Field> held = ui.workspace.fields();  // edits while drawing replace the workspace's own
  const Field& tree = *held;
  if (const Field* piece = find_field(tree, ui.workspace.piece_path())) {
    findings_here(ui, *piece);
    for (const Field& c : piece->children)
      if (!c.is_group() && c.kind != Field::Kind::kept) leaf(ui, c);
    for (const Field& c : piece->children)
      if (c.is_group()) group(ui, c, true);
  }
  ImGui::Dummy({0, ui.px(6)});
  ImGui::Separator();
  quiet_text(ui, "The whole job");
  for (const Field& c : tree.children) {
    const bool inner = c.path == "kerfkiln" || c.path == "$schema" || c.path == "pieces";
    if (inner || c.kind == Field::Kind::kept) continue;
    if (c.is_group())
      group(ui, c, true);
    else
      leaf(ui, c);
  }
  if (ui.goto_frames > 0) --ui.goto_frames;
}

}  // namespace kerfkiln::viewer
