#include "viewer/panel/scene_panel.hpp"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>

#include "modeler/base/number_text.hpp"
#include "viewer/panel/commands.hpp"
#include "viewer/state/show.hpp"

namespace kerfkiln::viewer {

void ScenePanel::take_items(Ui& ui) {
  const Snapshot* snap = ui.workspace.snapshot();
  const double explode = ui.workspace.display.components ? ui.workspace.display.explode : 0;
  if (!snap || (snap == seen_ && snap->revision == seen_revision_ && explode == seen_explode_)) return;
  seen_ = snap, seen_revision_ = snap->revision, seen_explode_ = explode;
  constexpr double inf = std::numeric_limits<double>::infinity();
  low_ = {inf, inf, inf}, high_ = {-inf, -inf, -inf};
  std::vector<SceneItem> items;
  const auto add = [&](const ShapePicture& s, Vec3 move) {
    items.push_back({s.picture, s.colour, move});
    const Vec3 a = s.picture->low + move, b = s.picture->high + move;
    low_ = {std::min(low_.x, a.x), std::min(low_.y, a.y), std::min(low_.z, a.z)};
    high_ = {std::max(high_.x, b.x), std::max(high_.y, b.y), std::max(high_.z, b.z)};
  };
  const auto beside = [&](const ShapePicture& s) { return ui.workspace.shows_also(s.id); };
  for (const ShapePicture& s : snap->pictures)
    if (!beside(s)) add(s, explode * s.explode);
  // What is shown besides stands to the right of the piece, on the same floor, or the one would hide the other.
  for (const ShapePicture& s : snap->pictures)
    if (beside(s)) {
      const double gap = items.empty() ? 0 : high_.x + 0.2 * (s.picture->high.x - s.picture->low.x) - s.picture->low.x;
      add(s, {gap, 0, items.empty() ? 0 : low_.z - s.picture->low.z});
    }
  if (items.empty()) low_ = {-100, -100, 0}, high_ = {100, 100, 100};
  scene_->set_items(items);
  // A new piece, or the first picture of this one, fills the view; edits leave the maker's view alone.
  const std::string now = ui.workspace.editor().path().string() + "#" + std::to_string(ui.workspace.piece()) +
                          (items.size() > 1 && beside(snap->pictures.back()) ? "+" : "");
  if (!items.empty() && fitted_for_ != now) fitted_for_ = now, fit_wanted_ = true;
}

Cut ScenePanel::cut_of(const Display& d) const {
  Cut c;
  c.on = d.cut != CutAxis::none;
  const auto at = [&](double low, double high) { return low + d.cut_at * (high - low); };
  // The nearer part goes away: front, right and top.
  if (d.cut == CutAxis::depth) c.normal = {0, -1, 0}, c.at = -at(low_.y, high_.y);
  if (d.cut == CutAxis::width) c.normal = {1, 0, 0}, c.at = at(low_.x, high_.x);
  if (d.cut == CutAxis::height) c.normal = {0, 0, 1}, c.at = at(low_.z, high_.z);
  return c;
}

void ScenePanel::steer(Ui& ui, const View& v) {
  const ImGuiIO& io = ImGui::GetIO();
  // Not in the frame of the press: the way the pointer came is no drag.
  if (ImGui::IsItemActive() && !ImGui::IsItemActivated()) {
    const double dx = static_cast<double>(io.MouseDelta.x / ui.scale),
                 dy = static_cast<double>(io.MouseDelta.y / ui.scale);
    const bool pan =
        ImGui::IsMouseDown(ImGuiMouseButton_Middle) || ImGui::IsMouseDown(ImGuiMouseButton_Right) || io.KeyShift;
    if (dx != 0 || dy != 0) {
      if (pan)
        camera.pan(dx, dy, static_cast<double>(v.h / ui.scale));
      else
        camera.orbit(dx, dy);
    }
    ui.moving = true;
  }
  if (ImGui::IsItemHovered() && io.MouseWheel != 0) {
    const double x = 2 * static_cast<double>((io.MousePos.x - v.x) / v.w) - 1,
                 y = 1 - 2 * static_cast<double>((io.MousePos.y - v.y) / v.h);
    camera.zoom(static_cast<double>(io.MouseWheel), x, y, v.aspect());
    ui.moving = true;
  }
}

// A size on the form: drag its number to change it, press it to type.
void ScenePanel::size_label(Ui& ui, const product::Handle& h, const Field& f, float x, float y) {
  const Units units = ui.workspace.editor().document()->design.units;
  std::string text = shown_text(f, units);
  if (h.factor != 1 && std::isfinite(f.value)) {
    // The program scaled the form: the picture's size first, what the field says beside it.
    Field solved = f;
    solved.written.clear();
    solved.default_text.clear();
    solved.value = std::round(f.value * h.factor * 10) / 10;
    text = shown_text(solved, units) + " (typed " + text + ")";
  }
  const ImVec2 pad{ui.px(7), ui.px(3)}, size = ImGui::CalcTextSize(text.c_str());
  const ImVec2 a{std::round(x - size.x / 2 - pad.x), std::round(y - size.y / 2 - pad.y)},
      b{a.x + size.x + 2 * pad.x, a.y + size.y + 2 * pad.y};
  ImGui::PushID(h.id.c_str());
  bool* open = ImGui::GetStateStorage()->GetBoolRef(ImGui::GetID("typing"));
  ImDrawList& d = *ImGui::GetWindowDrawList();
  if (*open) {
    const float w = std::max(ui.px(104), b.x - a.x);
    ImGui::SetCursorScreenPos({x - w / 2, a.y});
    if (ui.typing.path != f.path) ImGui::SetKeyboardFocusHere();
    const bool was_ours = ui.typing.path == f.path;
    value_box(ui, f, w, "size-box:" + f.path);
    if (was_ours && ui.typing.path != f.path) *open = false;
    ImGui::PopID();
    return;
  }
  ImGui::SetCursorScreenPos(a);
  ImGui::InvisibleButton("##size", {b.x - a.x, b.y - a.y});
  ui.marks.item("size:" + f.path);
  const bool hot = ImGui::IsItemHovered() || ImGui::IsItemActive();
  if (hot) ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
  if (ImGui::IsItemActivated()) {
    handle_dragged_ = false;
    const auto slide = slide_of(f, units);
    ui.dragging = {f.path, slide.value_or(Slide{f.value, f.value, 1}), 0, f.value, ui.workspace.new_gesture()};
  }
  if (ImGui::IsItemActive() && ui.dragging.path == f.path) {
    const float dx = ImGui::GetMouseDragDelta(ImGuiMouseButton_Left, ui.px(4)).x;
    if (dx != 0) handle_dragged_ = true;
    if (handle_dragged_ && std::isfinite(ui.dragging.start)) {
      ui.moving = true;
      const Slide& s = ui.dragging.slide;
      const double mm_per_px = camera.height_mm() / static_cast<double>(ImGui::GetWindowHeight());
      const double free = ui.dragging.start + 0.5 * mm_per_px * static_cast<double>(dx);
      const double value =
          std::clamp(std::round(free / s.step) * s.step, std::max(f.range.low, s.step), std::min(f.range.high, 1e4));
      if (std::abs(value - f.value) >= s.step / 2) ui.workspace.set_value(f, value, ui.dragging.gesture);
    }
  }
  if (ImGui::IsItemDeactivated()) {
    if (!handle_dragged_) *open = true;
    ui.dragging = {};
  }
  const std::optional<Severity> worst = ui.workspace.worst_below(f.path);
  const Rgba edge = worst ? ui.colour->of(*worst) : hot ? ui.colour->accent : ui.colour->line;
  d.AddRectFilled(a, b, hot ? ui.colour->accent_soft : ui.colour->raised, ui.px(3));
  d.AddRect(a, b, edge, ui.px(3));
  d.AddText({a.x + pad.x, a.y + pad.y}, ui.colour->text, text.c_str());
  if (hot && !ImGui::IsItemActive()) ImGui::SetTooltip("%s: drag to change, press to type", f.label.c_str());
  ImGui::PopID();
}

void ScenePanel::sizes(Ui& ui, const View& v) {
  const product::Product* p = ui.workspace.product();
  const std::shared_ptr<const Field> fields = ui.workspace.fields();
  if (!p || ui.workspace.snapshot()->outdated) return;
  ImDrawList& d = *ImGui::GetWindowDrawList();
  const auto on_screen = [&](Vec3 at) -> std::optional<ImVec2> {
    const std::optional<Vec2> q = camera.project(at, v.aspect());
    if (!q) return std::nullopt;
    return ImVec2{v.x + static_cast<float>((q->x + 1) / 2) * v.w, v.y + static_cast<float>((1 - q->y) / 2) * v.h};
  };
  for (const product::Handle& h : p->handles) {
    const Field* f = find_field(*fields, ui.workspace.piece_path() + "/" + h.field);
    if (!f) continue;
    const auto a = on_screen(h.from), b = on_screen(h.to);
    if (!a || !b) continue;
    const float dx = b->x - a->x, dy = b->y - a->y, length = std::hypot(dx, dy);
    // Seen end on, or too small to take hold of.
    if (length < ui.px(14) && norm(h.to - h.from) > 0) continue;
    const Rgba ink =
        ui.workspace.emphasised.contains(f->path) || ui.dragging.path == f->path ? ui.colour->accent : ui.colour->quiet;
    d.AddLine(*a, *b, ink, ui.px(1.3F));
    if (length > 0) {
      const float nx = -dy / length * ui.px(5), ny = dx / length * ui.px(5);
      for (const ImVec2& e : {*a, *b}) d.AddLine({e.x - nx, e.y - ny}, {e.x + nx, e.y + ny}, ink, ui.px(1.3F));
    }
    const float x = (a->x + b->x) / 2, y = (a->y + b->y) / 2;
    if (x < v.x + ui.px(20) || x > v.x + v.w - ui.px(20) || y < v.y + ui.px(44) || y > v.y + v.h - ui.px(44)) continue;
    size_label(ui, h, *f, x, y);
  }
}

void ScenePanel::scale_bar(Ui& ui, const View& v) {
  const double mm_per_px = camera.height_mm() / static_cast<double>(v.h);
  const bool inch = ui.workspace.display.units == Units::inch;
  const double unit = inch ? 25.4 : 1, wish = 130 * static_cast<double>(ui.scale) * mm_per_px / unit;
  const double decade = std::pow(10, std::floor(std::log10(wish)));
  const double nice = wish / decade >= 5 ? 5 * decade : wish / decade >= 2 ? 2 * decade : decade;
  const float w = static_cast<float>(nice * unit / mm_per_px);
  const float x1 = v.x + v.w - ui.px(16), y = v.y + v.h - ui.px(18), x0 = x1 - w;
  ImDrawList& d = *ImGui::GetWindowDrawList();
  for (int i = 0; i < 4; ++i) {  // black and white in turn, as on a rule
    const float a = x0 + w * static_cast<float>(i) / 4, b = x0 + w * static_cast<float>(i + 1) / 4;
    d.AddRectFilled({a, y}, {b, y + ui.px(5)}, i % 2 ? ui.colour->raised : ui.colour->text);
  }
  d.AddRect({x0, y}, {x1, y + ui.px(5)}, ui.colour->text);
  const std::string text = shortest_number(nice) + (inch ? " in" : " mm") + (camera.parallel ? "" : " at the middle");
  d.AddText({x1 - ImGui::CalcTextSize(text.c_str()).x, y - ImGui::GetTextLineHeight() - ui.px(3)}, ui.colour->text,
            text.c_str());
}

void ScenePanel::compass(Ui& ui, const View& v) {
  // Room for a word on every side of it.
  const ImVec2 o{v.x + ui.px(76), v.y + v.h - ui.px(88)};
  const float r = ui.px(26);
  ImDrawList& d = *ImGui::GetWindowDrawList();
  struct Arm {
    Vec3 way;
    const char* word;
  };
  const std::array<Arm, 3> arms{Arm{{1, 0, 0}, "right"}, Arm{{0, 1, 0}, "back"}, Arm{{0, 0, 1}, "up"}};
  for (const Arm& a : arms) {
    const float x = static_cast<float>(dot(a.way, camera.right())), y = -static_cast<float>(dot(a.way, camera.up()));
    const bool away = dot(a.way, camera.forward()) > 0.05;
    const Rgba ink = away ? ui.colour->quiet : ui.colour->text;
    const ImVec2 end{o.x + r * x, o.y + r * y};
    d.AddLine(o, end, ink, ui.px(1.6F));
    if (std::hypot(x, y) < 0.3F) continue;
    const ImVec2 size = ImGui::CalcTextSize(a.word);
    d.AddText({end.x + x * ui.px(8) - size.x * (0.5F - 0.5F * x), end.y + y * ui.px(9) - size.y / 2}, ink, a.word);
  }
  d.AddCircleFilled(o, ui.px(2.5F), ui.colour->text);
}

void ScenePanel::tools(Ui& ui, const View& v) {
  Display& s = ui.workspace.display;
  ImGui::SetCursorScreenPos({v.x + ui.px(12), v.y + ui.px(10)});
  if (ui.workspace.has_components()) {
    const int layers = choice_strip(ui, "show", {"Whole", "Layers"}, s.components ? 1 : 0,
                                    {with_keys(Command::layers), with_keys(Command::layers)});
    if (layers >= 0) {
      s.components = layers == 1;
      if (s.components && s.explode == 0) s.explode = 0.6;
    }
    ImGui::SameLine();
    if (s.components) {
      if (const auto t = rule(ui, "explode", s.explode, ui.px(90))) s.explode = *t;
      tip(ui, "How far the layers stand apart");
      ImGui::SameLine();
    }
    ImGui::SameLine(0, ui.px(18));
  }
  const int cut =
      choice_strip(ui, "cut", {"Uncut", "Across", "Along", "Level"},
                   static_cast<int>(s.cut == CutAxis::depth    ? 1
                                    : s.cut == CutAxis::width  ? 2
                                    : s.cut == CutAxis::height ? 3
                                                               : 0),
                   {"", "Cut open parallel to the front (X)", "Cut open from front to back (X)", "Cut open level (X)"});
  if (cut >= 0)
    s.cut = std::array{CutAxis::none, CutAxis::depth, CutAxis::width, CutAxis::height}[static_cast<std::size_t>(cut)];
  if (s.cut != CutAxis::none) {
    ImGui::SameLine();
    if (const auto t = rule(ui, "cut-at", s.cut_at, ui.px(90))) s.cut_at = *t;
    tip(ui, "Where the cut runs");
  }
}

void ScenePanel::legend(Ui& ui, const View& v) {
  const Snapshot* snap = ui.workspace.snapshot();
  const product::Product* p = ui.workspace.product();
  if (!snap || !p) return;
  ImDrawList& d = *ImGui::GetWindowDrawList();
  float y = v.y + ui.px(48);
  const float x = v.x + ui.px(14), box = ui.px(12);
  const auto swatch = [&](product::Colour c, float at) {
    const auto b = [](double t) { return static_cast<int>(std::lround(std::clamp(t, 0.0, 1.0) * 255)); };
    d.AddRectFilled({x, at + ui.px(2)}, {x + box, at + ui.px(2) + box}, IM_COL32(b(c.r), b(c.g), b(c.b), 255),
                    ui.px(2));
    d.AddRect({x, at + ui.px(2)}, {x + box, at + ui.px(2) + box}, ui.colour->text, ui.px(2));
  };
  // A ground of their own, so that words over a light layer can be read.
  const float step = ImGui::GetTextLineHeight() + ui.px(5), step_also = ImGui::GetTextLineHeight() + ui.px(8);
  float wide = 0, high = 0;
  const auto count = [&](const std::string& label, float line) {
    wide = std::max(wide, ImGui::CalcTextSize(label.c_str()).x);
    high += line;
  };
  if (snap->wanted.components)
    for (const ShapePicture& picture : snap->pictures)
      if (!picture.whole) count(picture.label, step);
  for (const product::Shape& s : p->shapes)
    if (!s.shown) count(s.label, step_also);
  if (high > 0)
    d.AddRectFilled({x - ui.px(6), y - ui.px(4)}, {x + box + wide + ui.px(18), y + high},
                    (ui.colour->panel & ~IM_COL32_A_MASK) | (static_cast<ImU32>(205) << IM_COL32_A_SHIFT), ui.px(4));
  if (snap->wanted.components)
    for (auto it = snap->pictures.rbegin(); it != snap->pictures.rend(); ++it) {  // as they lie, the top one first
      if (it->whole) continue;
      swatch(it->colour, y);
      d.AddText({x + box + ui.px(7), y}, ui.colour->text, it->label.c_str());
      y += step;
    }
  for (const product::Shape& s : p->shapes) {
    if (s.shown) continue;
    ImGui::SetCursorScreenPos({x - ui.px(1), y});
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {ui.px(2), ui.px(0)});
    bool on = ui.workspace.shows_also(s.id);
    if (ImGui::Checkbox((s.label + "##also" + s.id).c_str(), &on)) ui.workspace.show_also(s.id, on);
    ui.marks.item("also:" + s.id);
    ImGui::PopStyleVar();
    y += step_also;
  }
  if (snap->outdated) {
    const char* text = "The last form that could be made; see the findings.";
    const ImVec2 size = ImGui::CalcTextSize(text), at{v.x + (v.w - size.x) / 2, v.y + v.h / 2};
    d.AddRectFilled({at.x - ui.px(10), at.y - ui.px(6)}, {at.x + size.x + ui.px(10), at.y + size.y + ui.px(6)},
                    ui.colour->raised, ui.px(4));
    d.AddText(at, ui.colour->error, text);
  }
}

void ScenePanel::view_buttons(Ui& ui, const View& v) {
  struct Look {
    const char* label;
    Command command;
    Aim aim;
  };
  static constexpr std::array<Look, 7> looks{
      Look{"Corner", Command::corner, Aim::corner}, Look{"Front", Command::front, Aim::front},
      Look{"Right", Command::right, Aim::right},    Look{"Back", Command::back, Aim::back},
      Look{"Left", Command::left, Aim::left},       Look{"Top", Command::top, Aim::top},
      Look{"Under", Command::under, Aim::under}};
  const float h = ImGui::GetFrameHeight();
  ImGui::SetCursorScreenPos({v.x + ui.px(12), v.y + v.h - h - ui.px(10)});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(2), 0});
  float used = 0;
  for (const Look& l : looks) {
    const float w = ImGui::CalcTextSize(l.label).x + 2 * ImGui::GetStyle().FramePadding.x;
    // The scale bar keeps its place in a narrow window.
    if (used + w + ui.px(260) > v.w) break;
    if (button(ui, std::string("look:") + l.label, l.label, with_keys(l.command))) camera.aim(l.aim), fit();
    ImGui::SameLine();
    used += w + ui.px(2);
  }
  if (button(ui, "look:fit", "Fit", with_keys(Command::fit))) fit();
  ImGui::PopStyleVar();
}

void ScenePanel::draw(Ui& ui) {
  take_items(ui);
  const ImVec2 a = ImGui::GetCursorScreenPos(), size = ImGui::GetContentRegionAvail();
  const View v{a.x, a.y, std::max(size.x, 16.0F), std::max(size.y, 16.0F)};
  if (fit_wanted_ && ui.workspace.snapshot()) {
    // Fitted into what the tools leave free: a little more room than the picture asks for.
    const Vec3 grow = 0.06 * (high_ - low_);
    camera.fit(low_ - grow, high_ + grow, v.aspect());
    fit_wanted_ = false;
  }
  ImGui::SetItemAllowOverlap();
  ImGui::InvisibleButton(
      "##scene", {v.w, v.h},
      ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonMiddle | ImGuiButtonFlags_MouseButtonRight);
  ImGui::SetItemAllowOverlap();
  ui.marks.item("scene");
  steer(ui, v);

  SceneLook look = ui.colour->scene;
  look.edges = ui.workspace.display.edges;
  look.floor = ui.workspace.display.floor;
  look.faded = ui.workspace.snapshot() && ui.workspace.snapshot()->outdated;
  look.floor_z = low_.z;
  look.middle = 0.5 * (low_ + high_);
  look.reach = std::max(200.0, norm(high_ - low_)) * 1.3;
  // While it moves a slow machine gets fewer samples; the fine picture follows when it rests.
  last_motion_ = ui.moving ? 0 : last_motion_ + 1;
  const bool slow = scene_->last_draw_ms() > 12;
  const ImVec2 dense = ImGui::GetIO().DisplayFramebufferScale;
  const int wide = static_cast<int>(v.w * std::max(1.0F, dense.x)),
            high = static_cast<int>(v.h * std::max(1.0F, dense.y));
  const unsigned texture =
      scene_->texture(wide, high, camera, cut_of(ui.workspace.display), look, !slow || last_motion_ > 3);
  ImDrawList& d = *ImGui::GetWindowDrawList();
  d.AddImage(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(texture)), a, {a.x + v.w, a.y + v.h}, {0, 1},
             {1, 0});
  compass(ui, v);
  scale_bar(ui, v);
  if (ui.workspace.display.sizes && ui.workspace.display.explode * (ui.workspace.display.components ? 1 : 0) == 0)
    sizes(ui, v);
  legend(ui, v);
  tools(ui, v);
  view_buttons(ui, v);
}

}  // namespace kerfkiln::viewer
