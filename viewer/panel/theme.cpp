#include "viewer/panel/theme.hpp"

#include <imgui.h>

#include <array>
#include <filesystem>

namespace kerfkiln::viewer {
namespace {

constexpr Rgba rgb(unsigned r, unsigned g, unsigned b, unsigned a = 255) { return r | g << 8U | b << 16U | a << 24U; }
constexpr product::Colour share(double r, double g, double b) { return {r / 255, g / 255, b / 255}; }

Palette light() {
  Palette p{};
  p.ground = rgb(229, 227, 221);
  p.panel = rgb(247, 246, 242);
  p.raised = rgb(255, 255, 254);
  p.line = rgb(209, 205, 196);
  p.text = rgb(35, 38, 41);
  p.quiet = rgb(98, 97, 92);
  p.accent = rgb(16, 97, 104);
  p.on_accent = rgb(255, 255, 255);
  p.accent_soft = rgb(206, 226, 225);
  p.track = rgb(214, 211, 203);
  p.error = rgb(168, 32, 44);
  p.warning = rgb(146, 86, 0);
  p.note = rgb(62, 84, 130);
  p.good = rgb(30, 112, 70);
  p.scene.above = share(214, 219, 221);
  p.scene.below = share(243, 241, 236);
  p.scene.ink = share(52, 50, 47);
  p.scene.grid = share(120, 124, 126);
  return p;
}

Palette dark() {
  Palette p{};
  p.ground = rgb(22, 24, 26);
  p.panel = rgb(32, 35, 38);
  p.raised = rgb(45, 49, 53);
  p.line = rgb(64, 69, 74);
  p.text = rgb(229, 227, 221);
  p.quiet = rgb(161, 162, 159);
  p.accent = rgb(96, 190, 188);
  p.on_accent = rgb(14, 28, 30);
  p.accent_soft = rgb(38, 70, 73);
  p.track = rgb(68, 73, 78);
  p.error = rgb(250, 124, 118);
  p.warning = rgb(238, 180, 84);
  p.note = rgb(150, 180, 236);
  p.good = rgb(122, 200, 150);
  p.scene.above = share(44, 49, 54);
  p.scene.below = share(24, 26, 28);
  p.scene.ink = share(20, 19, 18);
  p.scene.grid = share(126, 132, 136);
  return p;
}

ImVec4 v(Rgba c) { return ImGui::ColorConvertU32ToFloat4(c); }

}  // namespace

const Palette& palette(bool is_dark) {
  static const Palette day = light(), night = dark();
  return is_dark ? night : day;
}

Fonts load_fonts(float scale, std::string& trouble) {
  // Latin, Greek and Cyrillic for names; dashes, arrows, mathematical and geometric signs for our own words.
  static const std::array<ImWchar, 15> ranges{0x20,   0x17F,  0x370,  0x3FF,  0x400,  0x45F,  0x2010, 0x2044,
                                              0x2190, 0x21BF, 0x2200, 0x2265, 0x25A0, 0x25FF, 0};
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  Fonts f;
  const auto load = [&](const char* name, float px) -> ImFont* {
    for (const char* folder : {"/usr/share/fonts/truetype/dejavu/", "/usr/local/share/fonts/"}) {
      const std::string path = std::string(folder) + name;
      if (std::filesystem::exists(path))
        return atlas.AddFontFromFileTTF(path.c_str(), px * scale, nullptr, ranges.data());
    }
    trouble = "The font " + std::string(name) + " was not found (Debian package fonts-dejavu-core).";
    return atlas.AddFontDefault();
  };
  f.text = load("DejaVuSans.ttf", 14);
  f.strong = load("DejaVuSans-Bold.ttf", 14);
  f.title = load("DejaVuSans-Bold.ttf", 17);
  f.figure = load("DejaVuSans.ttf", 23);
  f.table = load("DejaVuSans.ttf", 13);
  f.small = load("DejaVuSans.ttf", 12);
  ImGui::GetIO().FontDefault = f.text;
  return f;
}

void apply(const Palette& p, float scale) {
  ImGuiStyle& s = ImGui::GetStyle();
  s = ImGuiStyle();
  s.WindowPadding = {12, 10};
  s.FramePadding = {8, 4};
  s.ItemSpacing = {8, 6};
  s.ItemInnerSpacing = {6, 4};
  s.CellPadding = {6, 3};
  s.IndentSpacing = 12;
  s.ScrollbarSize = 11;
  s.GrabMinSize = 10;
  s.WindowRounding = 0;
  s.ChildRounding = 0;
  s.FrameRounding = 3;
  s.PopupRounding = 4;
  s.ScrollbarRounding = 5;
  s.GrabRounding = 2;
  s.TabRounding = 3;
  s.WindowBorderSize = 0;
  s.ChildBorderSize = 0;
  s.FrameBorderSize = 1;
  s.PopupBorderSize = 1;
  s.DisabledAlpha = 0.45F;
  s.ScaleAllSizes(scale);
  ImVec4* c = s.Colors;
  c[ImGuiCol_Text] = v(p.text);
  c[ImGuiCol_TextDisabled] = v(p.quiet);
  c[ImGuiCol_WindowBg] = v(p.ground);
  c[ImGuiCol_ChildBg] = v(p.panel);
  c[ImGuiCol_PopupBg] = v(p.raised);
  c[ImGuiCol_Border] = v(p.line);
  c[ImGuiCol_FrameBg] = v(p.raised);
  c[ImGuiCol_FrameBgHovered] = v(p.accent_soft);
  c[ImGuiCol_FrameBgActive] = v(p.raised);
  c[ImGuiCol_TitleBg] = c[ImGuiCol_TitleBgActive] = c[ImGuiCol_TitleBgCollapsed] = v(p.panel);
  c[ImGuiCol_ScrollbarBg] = v(p.panel & 0x00FFFFFFU);
  c[ImGuiCol_ScrollbarGrab] = v(p.track);
  c[ImGuiCol_ScrollbarGrabHovered] = c[ImGuiCol_ScrollbarGrabActive] = v(p.accent);
  c[ImGuiCol_CheckMark] = c[ImGuiCol_SliderGrab] = c[ImGuiCol_SliderGrabActive] = v(p.accent);
  c[ImGuiCol_Button] = v(p.raised);
  c[ImGuiCol_ButtonHovered] = v(p.accent_soft);
  c[ImGuiCol_ButtonActive] = v(p.accent_soft);
  c[ImGuiCol_Header] = v(p.accent_soft);
  c[ImGuiCol_HeaderHovered] = v(p.accent_soft);
  c[ImGuiCol_HeaderActive] = v(p.accent_soft);
  c[ImGuiCol_Separator] = v(p.line);
  c[ImGuiCol_TableHeaderBg] = v(p.panel);
  c[ImGuiCol_TableBorderLight] = c[ImGuiCol_TableBorderStrong] = v(p.line);
  c[ImGuiCol_TableRowBgAlt] = v(0);
  c[ImGuiCol_TextSelectedBg] = v((p.accent & 0x00FFFFFFU) | 0x55000000U);
  c[ImGuiCol_NavHighlight] = v(p.accent);
  c[ImGuiCol_PlotHistogram] = v(p.accent);
  c[ImGuiCol_ModalWindowDimBg] = v(rgb(0, 0, 0, 110));
}

}  // namespace kerfkiln::viewer
