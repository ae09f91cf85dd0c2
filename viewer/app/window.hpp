// The window, its OpenGL context and its events.
#pragma once
#include <functional>
#include <memory>
#include <string>

namespace kerfkiln::viewer {

class Window {
 public:
  struct Options {
    int width = 1280, height = 800;
    std::string title = "kerfkiln";
  };
  // Null with `trouble` set: no display, or no OpenGL 3.3.
  static std::unique_ptr<Window> open(const Options&, std::string& trouble);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  float scale() const;  // of text and spacing, from the display
  void set_title(const std::string&);
  static void wake();  // from any thread: there is something to show

  // Waits for events (not at all if `hurry`), then runs one frame: `draw` between the toolkit's NewFrame and Render.
  // Returns the milliseconds the frame took, from the events to the last command of the drawing, waiting left out.
  double frame(bool hurry, const std::function<void()>& draw);
  bool close_pressed();  // since last asked

 private:
  Window() = default;
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace kerfkiln::viewer
