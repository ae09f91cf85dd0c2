// The whole window: bar, panels, picture, dialogs. One call a frame between NewFrame and Render.
#pragma once
#include <functional>
#include <memory>

#include "viewer/panel/ui.hpp"
#include "viewer/render/scene.hpp"

namespace kerfkiln::viewer {

class Workbench {
 public:
  // OpenGL and Dear ImGui contexts are current, fonts loaded. `wake` may be called from any thread.
  Workbench(Workspace&, std::unique_ptr<Scene>, Fonts, float scale, std::function<void()> wake);
  ~Workbench();
  void frame();
  void ask_to_close();         // the window's close button: unsaved work is asked about
  bool closed() const;         // leave now
  bool wants_another() const;  // something is still moving: do not sleep
  std::string title() const;
  Ui& ui();

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace kerfkiln::viewer
