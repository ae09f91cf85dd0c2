// The parts of the workbench, shared by the files that draw it.
#pragma once
#include "viewer/panel/commands.hpp"
#include "viewer/panel/file_dialog.hpp"
#include "viewer/panel/scene_panel.hpp"
#include "viewer/panel/sheets_panel.hpp"
#include "viewer/panel/workbench.hpp"

namespace kerfkiln::viewer {

enum class After { nothing, open, quit };  // what waits for the answer about unsaved work

struct Workbench::Inside {
  Inside(Workspace& s, std::unique_ptr<Scene> scene, Fonts fonts, float scale, std::function<void()> wake)
      : ui{s, &palette(s.display.dark), fonts, scale, {}, {}, {}, {}, 0, false},
        scene_panel(std::move(scene)),
        sheets_panel(std::move(wake)) {}

  void run(Command);
  void bar(float height);
  void body(float height);
  void side(const char* id, float width, void (*draw)(Ui&));
  void foot(float height);
  void dialogs();
  void keys_window();
  void packet_window();
  void ask_unsaved();
  void ask_overwrite();
  void leave_or(After);
  void continue_after();

  Ui ui;
  ScenePanel scene_panel;
  SheetsPanel sheets_panel;
  FileDialog files;
  bool sheets_shown = false, keys_shown = false, closed = false;
  bool styled_dark = false, styled = false, unsaved_asked = false;
  After after = After::nothing;
  int frames_after_motion = 0;
  float findings_height = 0;  // of the list as last drawn
};

}  // namespace kerfkiln::viewer
