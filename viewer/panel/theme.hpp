// Colours, fonts and spacing of the window, light and dark.
#pragma once
#include <cstdint>
#include <string>

#include "modeler/base/finding.hpp"
#include "viewer/render/scene.hpp"

struct ImFont;

namespace kerfkiln::viewer {

using Rgba = std::uint32_t;  // 0xAABBGGRR, as the draw lists take it

struct Palette {
  Rgba ground, panel, raised, line, text, quiet, accent, on_accent, accent_soft, track;
  Rgba error, warning, note, good;
  SceneLook scene;
  Rgba of(Severity s) const { return s == Severity::error ? error : s == Severity::warning ? warning : note; }
};
const Palette& palette(bool dark);

struct Fonts {
  ImFont* text = nullptr;
  ImFont* strong = nullptr;
  ImFont* title = nullptr;
  ImFont* figure = nullptr;
  ImFont* table = nullptr;
  ImFont* small = nullptr;
};
// Before the first frame, once a scale. A missing font file is no fault: the built-in face stands in, `trouble` says
// so.
Fonts load_fonts(float scale, std::string& trouble);

// Sets the style of all widgets.
void apply(const Palette&, float scale);

}  // namespace kerfkiln::viewer
