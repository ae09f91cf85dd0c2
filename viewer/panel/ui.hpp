// What every panel draws with: the workspace, the look, and the few widgets that are ours.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "viewer/panel/marks.hpp"
#include "viewer/panel/theme.hpp"
#include "viewer/state/workspace.hpp"

namespace kerfkiln::viewer {

struct Ui {
  Workspace& workspace;
  const Palette* colour = nullptr;
  Fonts fonts;
  float scale = 1;
  Marks marks;
  float px(float at_scale_1) const { return at_scale_1 * scale; }

  // One value is typed at a time, one slider or size dragged at a time.
  struct Typing {
    std::string path, text;
    Editor::Gesture gesture = 0;
  } typing;
  struct Dragging {
    std::string path;
    Slide slide{};
    double grip = 0;   // where in the handle it was taken, px
    double start = 0;  // the value then
    Editor::Gesture gesture = 0;
  } dragging;
  std::string goto_path;  // scroll to this field and open what hides it
  int goto_frames = 0;
  bool moving = false;  // something is being dragged: draw fast rather than fine
};

// Each returns true where used.
bool button(Ui&, const std::string& mark, const std::string& label, const std::string& tip, bool on = false);
bool strong_button(Ui&, const std::string& mark, const std::string& label, const std::string& tip);
// Joined buttons of which one is down; returns the one pressed, or -1.
int choice_strip(Ui&, const std::string& mark, const std::vector<std::string>& labels, int chosen,
                 const std::vector<std::string>& tips);
// A thin rule with a handle; t in 0 ... 1. Returns the new t while dragged.
std::optional<double> rule(Ui&, const std::string& mark, double t, float width);
// Slider of a field, over the whole width that is left.
void field_rule(Ui&, const Field&);
// A box that takes "4 cm" or "1 1/2 in"; arrow keys up and down step.
void value_box(Ui&, const Field&, float width, const std::string& mark);
void quiet_text(Ui&, const std::string&);
void finding_text(Ui&, const Finding&, bool with_place);
void tip(const Ui&, const std::string&);  // for the item just submitted, when the pointer rests there
const char* sign(Severity);               // a shape of its own for each, colour is never the only code
// Ellipsis at the end where the text is wider.
std::string fitted(const std::string&, float width);

}  // namespace kerfkiln::viewer
