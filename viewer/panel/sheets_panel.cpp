#include "viewer/panel/sheets_panel.hpp"

#include <epoxy/gl.h>
#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace kerfkiln::viewer {

SheetsPanel::~SheetsPanel() {
  if (texture_) glDeleteTextures(1, &texture_);
}

void SheetsPanel::upload(const SheetPicture& p) {
  if (!texture_) glGenTextures(1, &texture_);
  glBindTexture(GL_TEXTURE_2D, texture_);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, p.wide, p.high, 0, GL_RGBA, GL_UNSIGNED_BYTE, p.rgba.data());
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
}

void SheetsPanel::draw(Ui& ui) {
  const Snapshot* snap = ui.workspace.snapshot();
  const product::Product* piece = ui.workspace.product();
  if (!snap || !piece) return quiet_text(ui, "No sheets yet.");
  ImGui::SetCursorPos({ui.px(12), ui.px(10)});
  bool any = false;
  for (const output::DocumentType& t : output::document_types()) {
    if (!t.applies(*snap->job, t.scope == output::Scope::job ? nullptr : piece)) continue;
    if (document_.empty()) document_ = t.id;
    if (any) ImGui::SameLine();
    if (button(ui, "sheet:" + t.id, t.title, t.scope == output::Scope::job ? "Of the whole job" : "Of this piece",
               document_ == t.id)) {
      document_ = t.id;
      page_ = 0;
    }
    any = true;
  }
  if (!any) {
    ImGui::SetCursorPosX(ui.px(12));
    return quiet_text(ui, "There are no sheets while the design has errors.");
  }
  const std::size_t pages = shown_ ? shown_->pages : 0;
  ImGui::SameLine(0, ui.px(20));
  ImGui::BeginDisabled(page_ == 0);
  if (button(ui, "page:back", "‹", "Page before")) --page_;
  ImGui::EndDisabled();
  ImGui::SameLine();
  ImGui::Text("page %zu of %zu", page_ + 1, std::max<std::size_t>(pages, 1));
  ImGui::SameLine();
  ImGui::BeginDisabled(page_ + 1 >= pages);
  if (button(ui, "page:next", "›", "Next page")) ++page_;
  ImGui::EndDisabled();
  ImGui::SameLine(0, ui.px(20));
  if (button(ui, "page:smaller", "−", "Smaller")) zoom_ = std::max(0.4F, zoom_ / 1.25F);
  ImGui::SameLine();
  if (button(ui, "page:larger", "+", "Larger")) zoom_ = std::min(4.0F, zoom_ * 1.25F);

  ImGui::SetCursorPosX(0);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ui.colour->ground);
  ImGui::BeginChild("##paper", {0, 0}, false, ImGuiWindowFlags_HorizontalScrollbar);
  const ImVec2 room = ImGui::GetContentRegionAvail();
  // The page as high as the region at zoom 1; whole steps of resolution keep resizing from drawing anew each frame.
  const float target = room.y * zoom_ / 297.0F;
  const double px_per_mm = std::clamp(std::ceil(static_cast<double>(target) * 4) / 4, 0.5, 12.0);
  sheets_.ask({snap->revision, snap->job, document_, ui.workspace.piece(), page_, px_per_mm});
  if (const std::shared_ptr<const SheetPicture> latest = sheets_.latest(); latest && latest != shown_) {
    shown_ = latest;
    if (!shown_->rgba.empty()) upload(*shown_);
    if (shown_->pages) page_ = std::min(page_, shown_->pages - 1);
  }
  if (shown_ && !shown_->rgba.empty()) {
    const float k = target / static_cast<float>(shown_->request.pixels_per_mm);
    const float w = static_cast<float>(shown_->wide) * k, h = static_cast<float>(shown_->high) * k;
    ImGui::SetCursorPosX(std::max(ui.px(12), (room.x - w) / 2));
    const ImVec2 a = ImGui::GetCursorScreenPos();
    ImGui::Image(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(texture_)), {w, h});
    ui.marks.item("paper");
    ImGui::GetWindowDrawList()->AddRect(a, {a.x + w, a.y + h}, ui.colour->line);
  } else if (shown_) {
    for (const Finding& f : shown_->findings) finding_text(ui, f, false);
  }
  ImGui::EndChild();
  ImGui::PopStyleColor();
}

}  // namespace kerfkiln::viewer
