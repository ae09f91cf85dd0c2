#include <imgui.h>

#include <algorithm>
#include <optional>

#include "viewer/panel/panels.hpp"
#include "viewer/state/show.hpp"

namespace kerfkiln::viewer {
namespace {

// What a figure came from, in words: another figure, a field of this piece or of the job, a figure of any piece.
std::string source_words(Ui& ui, const product::Product& p, const std::string& from) {
  if (const product::Figure* f = p.figure(from)) return f->label;
  const std::shared_ptr<const Field> tree = ui.workspace.fields();
  const std::string here = ui.workspace.piece_path() + "/" + from;
  if (find_field(*tree, here)) return spoken_path(*tree, here);
  if (find_field(*tree, from)) return spoken_path(*tree, from);
  const std::vector<product::Product>& all = ui.workspace.snapshot()->job->products;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::string prefix = "pieces/" + std::to_string(i) + "/";
    if (!from.starts_with(prefix)) continue;
    if (const product::Figure* f = all[i].figure(from.substr(prefix.size()))) return all[i].name + ", " + f->label;
  }
  return from;
}

// Where a figure comes from, while the pointer rests on it; its fields light up on the other side.
void origin(Ui& ui, const product::Figure& f, const product::Product& p) {
  if (!ImGui::IsItemHovered()) return;
  ImGui::PushFont(ui.fonts.text);
  for (const std::string& from : f.from) ui.workspace.emphasised.insert(ui.workspace.piece_path() + "/" + from);
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(ui.px(360));
  ImGui::PushFont(ui.fonts.strong);
  ImGui::TextUnformatted(f.label.c_str());
  ImGui::PopFont();
  const ShownFigure s = shown(f, ui.workspace.display.units);
  ImGui::TextUnformatted((s.number + " " + s.unit + (s.band.empty() ? "" : "   (" + s.band + ")")).c_str());
  if (!f.how.empty()) ImGui::TextUnformatted(f.how.c_str());
  if (!f.from.empty()) {
    std::string from;
    for (const std::string& x : f.from) from += (from.empty() ? "from " : "; ") + source_words(ui, p, x);
    quiet_text(ui, from);
  }
  quiet_text(ui, f.key);
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
  ImGui::PopFont();
}

void tile(Ui& ui, const product::Figure& f, const product::Product& p, float width) {
  const ShownFigure s = shown(f, ui.workspace.display.units);
  const ImVec2 a = ImGui::GetCursorScreenPos();
  const float h = ui.px(70);
  ImGui::InvisibleButton(("##tile " + f.key).c_str(), {width, h});
  ImDrawList& d = *ImGui::GetWindowDrawList();
  d.AddRectFilled(a, {a.x + width, a.y + h}, ui.colour->raised, ui.px(4));
  d.AddRectFilled(a, {a.x + ui.px(3), a.y + h}, ui.colour->accent, ui.px(2));
  const float left = a.x + ui.px(12);
  ImGui::PushFont(ui.fonts.figure);
  const ImVec2 size = ImGui::CalcTextSize(s.number.c_str());
  d.AddText({left, a.y + ui.px(7)}, ui.colour->text, s.number.c_str());
  ImGui::PopFont();
  d.AddText({left + size.x + ui.px(5), a.y + ui.px(7) + size.y - ImGui::GetTextLineHeight() - ui.px(2)},
            ui.colour->quiet, s.unit.c_str());
  ImGui::PushFont(ui.fonts.small);
  d.AddText(ui.fonts.small, ui.fonts.small->FontSize, {left, a.y + ui.px(36)}, ui.colour->quiet, f.label.c_str(),
            nullptr, width - ui.px(18));
  ImGui::PopFont();
  origin(ui, f, p);
}

void all_figures(Ui& ui, const std::vector<product::Figure>& figures, const product::Product& p, const char* id) {
  if (!ImGui::BeginTable(id, 3, ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingFixedFit)) return;
  ImGui::TableSetupColumn("figure", ImGuiTableColumnFlags_WidthStretch);
  ImGui::TableSetupColumn("value", ImGuiTableColumnFlags_WidthFixed, ui.px(60));
  ImGui::TableSetupColumn("unit", ImGuiTableColumnFlags_WidthFixed, ui.px(30));
  ImGui::PushFont(ui.fonts.table);
  for (const product::Figure& f : figures) {
    const ShownFigure s = shown(f, ui.workspace.display.units);
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::PushID(f.key.c_str());
    const std::string label = fitted(f.label, ImGui::GetContentRegionAvail().x);
    ImGui::Selectable(label.c_str(), false, ImGuiSelectableFlags_SpanAllColumns);
    origin(ui, f, p);
    ImGui::PopID();
    ImGui::TableNextColumn();
    const float room = ImGui::GetContentRegionAvail().x, w = ImGui::CalcTextSize(s.number.c_str()).x;
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + std::max(0.0F, room - w));
    ImGui::TextUnformatted(s.number.c_str());
    ImGui::TableNextColumn();
    quiet_text(ui, s.unit);
    ui.marks.word("figure:" + f.key, s.number + " " + s.unit);
  }
  ImGui::PopFont();
  ImGui::EndTable();
}

}  // namespace

void figures_panel(Ui& ui) {
  const Snapshot* snap = ui.workspace.snapshot();
  const product::Product* p = ui.workspace.product();
  if (!p || p->figures.empty()) {
    quiet_text(ui,
               !snap || ui.workspace.busy() ? "Working out the figures…" : "No figures while the design has errors.");
    return;
  }
  const std::vector<const product::Figure*> leading = leading_figures(*p, 4);
  const float gap = ui.px(8), width = (ImGui::GetContentRegionAvail().x - gap) / 2;
  for (std::size_t i = 0; i < leading.size(); ++i) {
    if (i % 2) ImGui::SameLine(0, gap);
    tile(ui, *leading[i], *p, width);
  }
  ImGui::Dummy({0, ui.px(2)});
  // Only what belongs to the design as it stands may be taken over.
  ImGui::BeginDisabled(snap->revision != ui.workspace.editor().revision() || snap->outdated);
  std::optional<product::Offer> taken;
  for (const product::Offer& o : p->offers)
    if (button(ui, "offer:" + o.id, o.label, o.help)) taken = o;
  ImGui::EndDisabled();
  if (taken) ui.workspace.take(*taken);
  all_figures(ui, p->figures, *p, "figures");
  if (!snap->job->totals.empty()) {
    ImGui::Dummy({0, ui.px(4)});
    quiet_text(ui, "All pieces together");
    all_figures(ui, snap->job->totals, *p, "totals");
  }
}

void findings_panel(Ui& ui) {
  const Snapshot* snap = ui.workspace.snapshot();
  if (!snap) return;
  std::vector<Finding> sorted = snap->findings;
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
  if (sorted.empty()) {
    ImGui::PushStyleColor(ImGuiCol_Text, ui.colour->good);
    ImGui::TextUnformatted("Nothing to complain about.");
    ImGui::PopStyleColor();
  }
  int n = 0;
  for (const Finding& f : sorted) {
    ImGui::PushID(n++);
    ImGui::BeginGroup();
    finding_text(ui, f, true);
    ImGui::EndGroup();
    if (!f.path.empty() && ImGui::IsItemHovered()) {
      ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
      if (ImGui::IsMouseClicked(ImGuiMouseButton_Left)) {
        if (f.path.starts_with("pieces/"))
          for (std::size_t i = 0; i < ui.workspace.piece_count(); ++i)
            if ((f.path + "/").starts_with("pieces/" + std::to_string(i) + "/")) ui.workspace.select_piece(i);
        ui.goto_path = f.path;
        ui.goto_frames = 4;  // opening the groups takes a frame each
      }
    }
    ImGui::PopID();
    ImGui::Dummy({0, ui.px(3)});
  }
}

void pieces_panel(Ui& ui) {
  const std::shared_ptr<const Field> held = ui.workspace.fields();
  const Field& tree = *held;
  for (std::size_t i = 0; i < ui.workspace.piece_count(); ++i) {
    const std::string path = "pieces/" + std::to_string(i);
    const Field *name = find_field(tree, path + "/name"), *count = find_field(tree, path + "/count"),
                *kind = find_field(tree, path);
    const bool chosen = i == ui.workspace.piece();
    const ImVec2 a = ImGui::GetCursorScreenPos();
    const float w = ImGui::GetContentRegionAvail().x, h = ui.px(30);
    ImGui::PushID(static_cast<int>(i));
    if (ImGui::InvisibleButton("##piece", {w, h})) ui.workspace.select_piece(i);
    ImGui::PopID();
    ui.marks.item("piece:" + std::to_string(i));
    ImDrawList& d = *ImGui::GetWindowDrawList();
    if (chosen || ImGui::IsItemHovered())
      d.AddRectFilled(a, {a.x + w, a.y + h}, chosen ? ui.colour->accent_soft : ui.colour->raised, ui.px(3));
    const float y = a.y + (h - ImGui::GetTextLineHeight()) / 2;
    float right = a.x + w - ui.px(10);
    if (const auto worst = ui.workspace.worst_below(path); worst && *worst != Severity::note) {
      right -= ImGui::CalcTextSize(sign(*worst)).x;
      d.AddText({right, y}, ui.colour->of(*worst), sign(*worst));
      right -= ui.px(10);
    }
    std::string side = kind ? kind->written : "";
    if (count && count->value > 1) side += " × " + count->written;
    right -= ImGui::CalcTextSize(side.c_str()).x;
    d.AddText({right, y}, ui.colour->quiet, side.c_str());
    ImGui::PushFont(chosen ? ui.fonts.strong : ui.fonts.text);
    const std::string title =
        fitted(name && !name->written.empty() ? name->written : "unnamed", right - a.x - ui.px(20));
    d.AddText({a.x + ui.px(10), y}, ui.colour->text, title.c_str());
    ImGui::PopFont();
  }
}

}  // namespace kerfkiln::viewer
