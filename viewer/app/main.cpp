// kerfkiln-viewer: the design as a picture, figures and findings, edited live.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <iostream>
#include <optional>
#include <vector>

#include "export/writer/safe_file.hpp"
#include "modeler/base/number_text.hpp"
#include "viewer/app/window.hpp"
#include "viewer/panel/workbench.hpp"

namespace kerfkiln::viewer {
namespace {

enum Exit { kDone = 0, kUsage = 2, kFile = 3, kNoDisplay = 4, kFault = 70 };

struct Arguments {
  std::string file, size, theme = "light", layout_dump;
  double scale = 0;
  bool frame_times = false;
};

int fail(Exit code, const std::string& text) {
  std::cerr << "kerfkiln-viewer: " << text << "\n";
  return code;
}

std::optional<Window::Options> window_options(const Arguments& a) {
  Window::Options o;
  if (a.size.empty()) return o;
  const std::size_t x = a.size.find('x');
  if (x == std::string::npos) return std::nullopt;
  const auto w = parse_number(a.size.substr(0, x)), h = parse_number(a.size.substr(x + 1));
  if (!w || !h || *w < 960 || *h < 600 || *w > 16384 || *h > 16384) return std::nullopt;
  o.width = static_cast<int>(*w), o.height = static_cast<int>(*h);
  return o;
}

std::string place(const Finding& f) { return f.path.empty() ? "" : f.path + ": "; }

std::string frame_report(std::vector<double> ms) {
  if (ms.empty()) return "no frame was drawn";
  std::sort(ms.begin(), ms.end());
  const auto at = [&](double share) {
    return format_number(ms[static_cast<std::size_t>(share * static_cast<double>(ms.size() - 1))], 2) + " ms";
  };
  return std::to_string(ms.size()) + " frames: median " + at(0.5) + ", nine of ten within " + at(0.9) + ", longest " +
         at(1);
}

int show(Workspace& workspace, Window& window, const Arguments& a) {
  const float scale = a.scale > 0 ? static_cast<float>(a.scale) : window.scale();
  std::string trouble;
  const Fonts fonts = load_fonts(scale, trouble);
  if (!trouble.empty()) std::cerr << "kerfkiln-viewer: " << trouble << "\n";
  trouble.clear();
  std::unique_ptr<Scene> scene = Scene::create(trouble);
  if (!scene) return fail(kNoDisplay, "the graphics driver refused: " + trouble);
  Workbench bench(workspace, std::move(scene), fonts, scale, &Window::wake);
  bench.ui().marks.wanted = !a.layout_dump.empty();
  std::string dumped;
  std::vector<double> times;
  while (!bench.closed()) {
    const double ms = window.frame(bench.wants_another(), [&] { bench.frame(); });
    if (a.frame_times) times.push_back(ms);
    if (window.close_pressed()) bench.ask_to_close();
    window.set_title(bench.title());
    if (!a.layout_dump.empty()) {
      std::string now = bench.ui().marks.json();
      if (now != dumped && output::write_whole(a.layout_dump, now, output::Sync::later).empty())
        dumped = std::move(now);
    }
  }
  if (a.frame_times) std::cout << frame_report(std::move(times)) << "\n";
  return kDone;
}

int run(const Arguments& a) {
  const std::optional<Window::Options> options = window_options(a);
  if (!options) return fail(kUsage, "--size takes WIDTHxHEIGHT from 960x600 to 16384x16384, not \"" + a.size + "\"");
  if (a.scale != 0 && !(a.scale >= 0.5 && a.scale <= 4)) return fail(kUsage, "--scale takes 0.5 to 4");
  Result<Editor> editor =
      a.file.empty() ? Result<Editor>(Editor::of_text(job::starter("cushion"))) : Editor::of_file(a.file);
  if (!editor) {
    const Finding& f = editor.findings().front();
    return fail(kFile, place(f) + f.message + " " + f.remedy);
  }
  std::string trouble;
  const std::unique_ptr<Window> window = Window::open(*options, trouble);
  if (!window) return fail(kNoDisplay, trouble + "; to work without a window use the kerfkiln command");
  const auto evaluate = [memo = job::Memo{}](const job::Document& d) mutable { return output::evaluate(d, memo); };
  Workspace workspace(std::move(editor).value(), evaluate, &Window::wake);
  workspace.display.dark = a.theme == "dark";
  return show(workspace, *window, a);
}

}  // namespace
}  // namespace kerfkiln::viewer

int main(int argc, char** argv) {
  using namespace kerfkiln::viewer;
  Arguments a;
  CLI::App app("Shows a design live: form, figures, findings, sheets; edits and saves it.", "kerfkiln-viewer");
  app.add_option("FILE", a.file, "The design (.json); a starter if none is named");
  app.add_option("--size", a.size, "Of the window, such as 1280x800");
  app.add_option("--scale", a.scale, "Of text and controls, 0.5 to 4; the display's own if not given");
  app.add_option("--theme", a.theme, "light or dark")->check(CLI::IsMember({"light", "dark"}));
  app.add_option("--layout-dump", a.layout_dump, "Keep a JSON file of where each control stands, for tests");
  app.add_flag("--frame-times", a.frame_times, "Print the time of a frame on leaving");
  app.set_version_flag("--version", "kerfkiln-viewer " KERFKILN_VERSION);
  app.footer("Exit codes: 0 done, 2 wrong use, 3 a file could not be read, 4 no display, 70 a fault of the program.");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    return app.exit(e) == 0 ? kDone : kUsage;
  }
  try {
    return run(a);
  } catch (const std::exception& e) {
    return fail(kFault, std::string("a fault of the program: ") + e.what());
  }
}
