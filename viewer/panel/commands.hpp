// Every command of the window in one table: key, words, and where it is explained.
#pragma once
#include <string>
#include <vector>

namespace kerfkiln::viewer {

enum class Command {
  open,
  save,
  save_as,
  undo,
  redo,
  packet,
  quit,
  corner,
  front,
  back,
  left,
  right,
  top,
  under,
  fit,
  parallel,
  form,
  sheets,
  layers,
  cut,
  edges,
  floor,
  sizes,
  next_piece,
  previous_piece,
  theme,
  units,
  keys,
  turn_left,
  turn_right,
  turn_up,
  turn_down,
  closer,
  farther
};
struct CommandInfo {
  Command command;
  int key = 0;  // as the window system numbers it
  bool ctrl = false, shift = false;
  std::string keys;   // "Ctrl+S"
  std::string label;  // "Save"
  std::string group;  // heading in the list of keys
  bool repeats = false;
};
const std::vector<CommandInfo>& commands();
std::string with_keys(Command);  // "Save (Ctrl+S)"

// Commands whose keys went down in this frame, unless they belong to a text that is being typed.
std::vector<Command> pressed_commands();

}  // namespace kerfkiln::viewer
