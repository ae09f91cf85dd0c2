#include "viewer/panel/commands.hpp"

#include <GLFW/glfw3.h>
#include <imgui.h>

namespace kerfkiln::viewer {

const std::vector<CommandInfo>& commands() {
  static const std::vector<CommandInfo> all{
      {Command::open, GLFW_KEY_O, true, false, "Ctrl+O", "Open a design", "File", false},
      {Command::save, GLFW_KEY_S, true, false, "Ctrl+S", "Save", "File", false},
      {Command::save_as, GLFW_KEY_S, true, true, "Ctrl+Shift+S", "Save under another name", "File", false},
      {Command::packet, GLFW_KEY_P, true, false, "Ctrl+P", "Write the packet for the bench", "File", false},
      {Command::quit, GLFW_KEY_Q, true, false, "Ctrl+Q", "Leave", "File", false},
      {Command::undo, GLFW_KEY_Z, true, false, "Ctrl+Z", "Undo", "Edit", true},
      {Command::redo, GLFW_KEY_Z, true, true, "Ctrl+Shift+Z", "Redo", "Edit", true},
      {Command::redo, GLFW_KEY_Y, true, false, "Ctrl+Y", "Redo", "Edit", true},
      {Command::next_piece, GLFW_KEY_N, false, false, "N", "Next piece", "Edit", false},
      {Command::previous_piece, GLFW_KEY_B, false, false, "B", "Previous piece", "Edit", false},
      {Command::form, GLFW_KEY_F2, false, false, "F2", "Show the form", "Show", false},
      {Command::sheets, GLFW_KEY_F3, false, false, "F3", "Show the sheets", "Show", false},
      {Command::layers, GLFW_KEY_L, false, false, "L", "Whole or in layers", "Show", false},
      {Command::cut, GLFW_KEY_X, false, false, "X", "Cut open: across, along, level, off", "Show", false},
      {Command::sizes, GLFW_KEY_D, false, false, "D", "Sizes on the form", "Show", false},
      {Command::edges, GLFW_KEY_E, false, false, "E", "Inked edges", "Show", false},
      {Command::floor, GLFW_KEY_G, false, false, "G", "Floor grid", "Show", false},
      {Command::theme, GLFW_KEY_T, false, false, "T", "Light or dark", "Show", false},
      {Command::units, GLFW_KEY_U, false, false, "U", "Figures in millimetres or inches", "Show", false},
      {Command::keys, GLFW_KEY_F1, false, false, "F1", "This list", "Show", false},
      {Command::corner, GLFW_KEY_1, false, false, "1", "From the front corner", "Look", false},
      {Command::front, GLFW_KEY_2, false, false, "2", "From the front", "Look", false},
      {Command::right, GLFW_KEY_3, false, false, "3", "From the right", "Look", false},
      {Command::back, GLFW_KEY_4, false, false, "4", "From the back", "Look", false},
      {Command::left, GLFW_KEY_5, false, false, "5", "From the left", "Look", false},
      {Command::top, GLFW_KEY_6, false, false, "6", "From above", "Look", false},
      {Command::under, GLFW_KEY_7, false, false, "7", "From below", "Look", false},
      {Command::fit, GLFW_KEY_F, false, false, "F", "Fill the view", "Look", false},
      {Command::parallel, GLFW_KEY_P, false, false, "P", "Parallel or perspective", "Look", false},
      {Command::closer, GLFW_KEY_EQUAL, false, false, "+", "Closer", "Look", true},
      {Command::closer, GLFW_KEY_KP_ADD, false, false, "+", "", "Look", true},
      {Command::farther, GLFW_KEY_MINUS, false, false, "−", "Farther", "Look", true},
      {Command::farther, GLFW_KEY_KP_SUBTRACT, false, false, "−", "", "Look", true},
      {Command::turn_left, GLFW_KEY_LEFT, false, true, "Shift+←", "Turn left", "Look", true},
      {Command::turn_right, GLFW_KEY_RIGHT, false, true, "Shift+→", "Turn right", "Look", true},
      {Command::turn_up, GLFW_KEY_UP, false, true, "Shift+↑", "Tip up", "Look", true},
      {Command::turn_down, GLFW_KEY_DOWN, false, true, "Shift+↓", "Tip down", "Look", true},
  };
  return all;
}

std::string with_keys(Command c) {
  for (const CommandInfo& i : commands())
    if (i.command == c) return i.label + " (" + i.keys + ")";
  return {};
}

std::vector<Command> pressed_commands() {
  std::vector<Command> out;
  const ImGuiIO& io = ImGui::GetIO();
  for (const CommandInfo& c : commands()) {
    if (!ImGui::IsKeyPressed(c.key, c.repeats) || io.KeyAlt || io.KeyCtrl != c.ctrl || io.KeyShift != c.shift) continue;
    const bool editing_text = io.WantTextInput && (!c.ctrl || c.command == Command::undo || c.command == Command::redo);
    if (!editing_text) out.push_back(c.command);
  }
  return out;
}

}  // namespace kerfkiln::viewer
