#include "viewer/app/window.hpp"

#include <epoxy/gl.h>

#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <algorithm>
#include <chrono>
#include <deque>
#include <vector>

namespace kerfkiln::viewer {
namespace {

struct KeyEvent {
  int key, scan, action, mods;
};
std::string last_error;  // of the window library, which reports by callback only

}  // namespace

struct Window::Inside {
  GLFWwindow* window = nullptr;
  std::deque<KeyEvent> keys;
  static constexpr int kSettle = 3;
  int settle = kSettle;  // frames still to draw after the last event: layouts settle, hovers appear
  std::string title;

  // A button that goes down and up between two frames is told to be down in the next and up in the one after: that
  // one must come, though all events were polled already.
  void look_at_mouse() {
    const ImGuiIO& io = ImGui::GetIO();
    bool any = io.MouseDelta.x != 0 || io.MouseDelta.y != 0 || io.MouseWheel != 0 || io.MouseWheelH != 0;
    for (int b = 0; b < ImGuiMouseButton_COUNT; ++b) any = any || io.MouseClicked[b] || io.MouseReleased[b];
    if (any) settle = kSettle;
  }

  // The toolkit looks at key states once a frame: a key that goes down and up within one frame would be lost. So each
  // key changes state at most once a frame, and modifiers stay down for what was pressed under them.
  void feed_keys() {
    if (!keys.empty()) settle = kSettle;
    std::vector<int> seen;
    while (!keys.empty()) {
      const KeyEvent e = keys.front();
      const bool modifier = e.key >= GLFW_KEY_LEFT_SHIFT && e.key <= GLFW_KEY_RIGHT_SUPER;
      const bool again = e.action != GLFW_REPEAT && std::find(seen.begin(), seen.end(), e.key) != seen.end();
      if (again || (modifier && e.action == GLFW_RELEASE && !seen.empty())) break;
      seen.push_back(e.key);
      keys.pop_front();
      ImGui_ImplGlfw_KeyCallback(window, e.key, e.scan, e.action, e.mods);
    }
  }
};

std::unique_ptr<Window> Window::open(const Options& o, std::string& trouble) {
  glfwSetErrorCallback([](int, const char* text) { last_error = text; });
  if (!glfwInit()) {
    trouble = "no display could be opened (" + last_error + ")";
    return nullptr;
  }
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  std::unique_ptr<Window> w(new Window);
  w->in_ = std::make_unique<Inside>();
  w->in_->window = glfwCreateWindow(o.width, o.height, o.title.c_str(), nullptr, nullptr);
  if (!w->in_->window) {
    trouble = "no window with OpenGL 3.3 could be opened (" + last_error + ")";
    return nullptr;
  }
  GLFWwindow* g = w->in_->window;
  glfwSetWindowUserPointer(g, w->in_.get());
  glfwMakeContextCurrent(g);
  glfwSwapInterval(1);
  glfwSetWindowSizeLimits(g, 960, 600, GLFW_DONT_CARE, GLFW_DONT_CARE);
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  io.ConfigWindowsMoveFromTitleBarOnly = true;
  ImGui_ImplGlfw_InitForOpenGL(g, true);
  ImGui_ImplOpenGL3_Init("#version 330 core");
  glfwSetKeyCallback(g, [](GLFWwindow* from, int key, int scan, int action, int mods) {
    static_cast<Inside*>(glfwGetWindowUserPointer(from))->keys.push_back({key, scan, action, mods});
  });
  return w;
}

Window::~Window() {
  if (in_ && in_->window) {
    ImGui_ImplOpenGL3_Shutdown();
    ImGui_ImplGlfw_Shutdown();
    ImGui::DestroyContext();
    glfwDestroyWindow(in_->window);
  }
  glfwTerminate();
}

float Window::scale() const {
  float x = 1, y = 1;
  glfwGetWindowContentScale(in_->window, &x, &y);
  int width = 1, pixels = 1, ignored = 0;
  glfwGetWindowSize(in_->window, &width, &ignored);
  glfwGetFramebufferSize(in_->window, &pixels, &ignored);
  // Where the window system already counts in larger units, only the rest is ours to scale.
  const float already = static_cast<float>(pixels) / static_cast<float>(std::max(width, 1));
  return std::clamp(std::max(x, y) / std::max(already, 0.1F), 0.75F, 4.0F);
}

void Window::set_title(const std::string& title) {
  if (title == in_->title) return;
  in_->title = title;
  glfwSetWindowTitle(in_->window, title.c_str());
}

void Window::wake() { glfwPostEmptyEvent(); }

double Window::frame(bool hurry, const std::function<void()>& draw) {
  if (hurry || in_->settle > 0 || !in_->keys.empty()) {
    glfwPollEvents();
    in_->settle = std::max(0, in_->settle - 1);
  } else {
    // The text cursor blinks; otherwise an idle window costs nothing.
    if (ImGui::GetIO().WantTextInput)
      glfwWaitEventsTimeout(0.4);
    else
      glfwWaitEvents();
    in_->settle = Inside::kSettle;
  }
  const auto start = std::chrono::steady_clock::now();
  in_->feed_keys();
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  ImGui::NewFrame();
  in_->look_at_mouse();
  draw();
  ImGui::Render();
  int width = 0, height = 0;
  glfwGetFramebufferSize(in_->window, &width, &height);
  glViewport(0, 0, width, height);
  glClearColor(0, 0, 0, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glFlush();
  const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  glfwSwapBuffers(in_->window);
  return ms;
}

bool Window::close_pressed() {
  const bool pressed = glfwWindowShouldClose(in_->window);
  glfwSetWindowShouldClose(in_->window, GLFW_FALSE);
  return pressed;
}

}  // namespace kerfkiln::viewer
