// The program itself in a real window on a virtual display, moved by mouse and keys.
#include <gtest/gtest.h>

#include <chrono>
#include <nlohmann/json.hpp>
#include <thread>

#include "modeler/job/design.hpp"
#include "process.hpp"
#include "sample.hpp"
#include "viewer/state/show.hpp"

namespace kerfkiln::viewer_test {
namespace {

const std::string kViewer = std::string(KERFKILN_BIN_DIR) + "/kerfkiln-viewer";
const std::string kDemo = std::string(KERFKILN_SOURCE_DIR) + "/demo/observatory_chair.json";

void nap(int ms) { std::this_thread::sleep_for(std::chrono::milliseconds(ms)); }

class Bench {
 public:
  explicit Bench(int width = 1280, int height = 800)
      : display_(width, height), size_(std::to_string(width) + "x" + std::to_string(height)) {}
  bool has_display() const { return !display_.number().empty(); }
  std::filesystem::path file(const std::string& name) const { return folder_.path / name; }

  void open(const std::filesystem::path& design) {
    viewer_ = std::make_unique<Process>(std::vector<std::string>{kViewer, design.string(), "--size", size_,
                                                                 "--layout-dump", file("layout.json").string()},
                                        environment(), file("viewer.log").string());
  }
  bool running() { return viewer_->running(); }
  int wait_for_end() { return viewer_->wait(20); }

  nlohmann::json layout() const { return nlohmann::json::parse(get(file("layout.json")), nullptr, false); }
  std::string word(const std::string& name) const {
    const nlohmann::json j = layout();
    return j.is_object() && j["words"].contains(name) ? j["words"][name].get<std::string>() : std::string();
  }
  // Waits for something to become true; the limit only bounds a failing test.
  template <class F>
  bool eventually(F f, double seconds = 40) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
    while (std::chrono::steady_clock::now() < end && running()) {
      if (f()) return true;
      nap(40);
    }
    return f();
  }
  bool ready() {
    return eventually(
        [&] { return word("status") == "ready" && !layout()["words"].value("figure:core.volume", "").empty(); });
  }
  bool shows(const std::string& widget) {
    return eventually([&] {
      const auto j = layout();
      return j.is_object() && j["widgets"].contains(widget);
    });
  }
  // A place in a widget, as shares of its width and height.
  std::pair<int, int> place(const std::string& widget, double across = 0.5, double down = 0.5) {
    EXPECT_TRUE(shows(widget)) << widget;
    const nlohmann::json r = layout()["widgets"][widget];
    return {static_cast<int>(r[0].get<double>() + across * (r[2].get<double>() - r[0].get<double>())),
            static_cast<int>(r[1].get<double>() + down * (r[3].get<double>() - r[1].get<double>()))};
  }
  void xdo(std::vector<std::string> words) {
    words.insert(words.begin(), "xdotool");
    std::string said;
    ASSERT_EQ(run(words, environment(), said), 0) << said;
    nap(150);
  }
  void move(std::pair<int, int> at) { xdo({"mousemove", std::to_string(at.first), std::to_string(at.second)}); }
  void click(const std::string& widget) {
    move(place(widget));
    xdo({"click", "1"});
  }
  void drag(std::pair<int, int> from, std::pair<int, int> to) {
    move(from);
    xdo({"mousedown", "1"});
    for (int i = 1; i <= 6; ++i)
      move({from.first + (to.first - from.first) * i / 6, from.second + (to.second - from.second) * i / 6});
    xdo({"mouseup", "1"});
  }
  void key(const std::string& k) { xdo({"key", k}); }
  void type(const std::string& t) { xdo({"type", "--delay", "40", t}); }
  // Colours in a picture of the whole screen, which is kept as `name`.
  int screenshot(const std::string& name) {
    std::string said;
    EXPECT_EQ(run({"import", "-window", "root", file(name).string()}, environment(), said), 0) << said;
    EXPECT_EQ(run({"identify", "-format", "%k", file(name).string()}, {}, said), 0) << said;
    return std::atoi(said.c_str());
  }
  std::string log() const { return get(file("viewer.log")); }

 private:
  std::vector<std::pair<std::string, std::string>> environment() const {
    return {{"DISPLAY", display_.number()}, {"WAYLAND_DISPLAY", "-"}, {"LIBGL_ALWAYS_SOFTWARE", "1"}};
  }
  TemporaryFolder folder_;
  Display display_;
  std::string size_;
  std::unique_ptr<Process> viewer_;
};

// The figure as the viewer must show it, worked out anew from a file.
std::string figure_of(const std::filesystem::path& file, const std::string& key) {
  const Result<job::Document> d = job::read(file);
  if (!d) return "unreadable";
  const std::vector<product::Product> products = job::evaluate(d->design);
  const product::Figure* f = products.at(0).figure(key);
  if (!f) return "no such figure";
  const viewer::ShownFigure s = viewer::shown(*f, Units::mm);
  return s.number + " " + s.unit;
}
double width_in(const std::filesystem::path& file) {
  const auto j = nlohmann::json::parse(get(file), nullptr, true, true);  // comments allowed
  return j["pieces"][0]["outline"]["rectangle"]["width"].get<double>();
}

TEST(Window, ASliderMovedChangesTheFigureAndTheSavedFileHoldsIt) {
  Bench bench;
  ASSERT_TRUE(bench.has_display()) << "Xvfb is a test package (third_party/packages.txt)";
  const auto file = bench.file("chair.json");
  put(file, get(kDemo));
  const double before = width_in(file);
  bench.open(file);
  ASSERT_TRUE(bench.ready()) << bench.log();
  const std::string volume = bench.word("figure:core.volume");
  EXPECT_EQ(volume, figure_of(kDemo, "core.volume"));
  EXPECT_EQ(bench.word("dirty"), "no");

  const std::string slider = "slider:pieces/0/outline/rectangle/width";
  bench.drag(bench.place(slider, 0.3), bench.place(slider, 0.8));
  ASSERT_TRUE(bench.eventually([&] {
    return bench.word("status") == "ready" && bench.word("figure:core.volume") != volume;
  })) << bench.log();
  EXPECT_EQ(bench.word("dirty"), "yes");
  EXPECT_EQ(width_in(file), before);  // nothing is written before it is asked for

  bench.key("ctrl+s");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "no"; })) << bench.word("notice");
  EXPECT_GT(width_in(file), before);
  EXPECT_EQ(bench.word("figure:core.volume"), figure_of(file, "core.volume"));
  // Comments and all else stay: the file differs in that number alone.
  const auto strip = [](std::string text) {
    const auto at = text.find("\"width\": ", text.find("\"rectangle\""));
    return text.erase(at, text.find(',', at) - at);
  };
  EXPECT_EQ(strip(get(file)), strip(get(kDemo)));

  EXPECT_GT(bench.screenshot("moved.png"), 1000);  // a shaded form has many colours, an empty window a few

  // The whole drag is one step back.
  bench.key("ctrl+z");
  ASSERT_TRUE(
      bench.eventually([&] { return bench.word("status") == "ready" && bench.word("figure:core.volume") == volume; }));
  EXPECT_EQ(bench.word("undo"), "");
  bench.key("ctrl+s");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "no"; }));
  EXPECT_EQ(get(file), get(kDemo));
  bench.key("ctrl+q");
  EXPECT_EQ(bench.wait_for_end(), 0) << bench.log();
}

TEST(Window, TypedValuesUnitsAndMessagesBesideTheField) {
  Bench bench(1280, 1100);  // findings above a field push it down
  ASSERT_TRUE(bench.has_display()) << "Xvfb is a test package (third_party/packages.txt)";
  const auto file = bench.file("chair.json");
  put(file, get(kDemo));
  bench.open(file);
  ASSERT_TRUE(bench.ready()) << bench.log();
  const std::string volume = bench.word("figure:core.volume");
  const std::string box = "box:pieces/0/outline/rectangle/depth";

  bench.click(box);
  bench.type("60 cm");
  bench.key("Return");
  ASSERT_TRUE(bench.eventually([&] {
    return bench.word("status") == "ready" && bench.word("figure:core.volume") != volume;
  })) << bench.log();
  // No value: the design stays as it was, the box keeps its number.
  bench.click(box);
  bench.type("wide");
  bench.key("Return");
  nap(300);
  bench.key("ctrl+s");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "no"; }));
  const auto j = nlohmann::json::parse(get(file), nullptr, true, true);
  EXPECT_EQ(j["pieces"][0]["outline"]["rectangle"]["depth"], "60 cm");
  EXPECT_EQ(bench.word("figure:core.volume"), figure_of(file, "core.volume"));

  // Unsaved work is asked about: leaving is refused until it is answered.
  bench.click(box);
  bench.type("55 cm");
  bench.key("Return");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "yes"; }));
  bench.key("ctrl+q");
  ASSERT_TRUE(bench.shows("unsaved:drop"));
  bench.click("unsaved:drop");
  EXPECT_EQ(bench.wait_for_end(), 0);
  EXPECT_EQ(nlohmann::json::parse(get(file), nullptr, true, true)["pieces"][0]["outline"]["rectangle"]["depth"],
            "60 cm");
}

// The urn that is scaled to a capacity: its solved sizes are taken over by one button and given back by one undo.
TEST(Window, SolvedSizesAreAdopted) {
  Bench bench;
  ASSERT_TRUE(bench.has_display()) << "Xvfb is a test package (third_party/packages.txt)";
  const std::string demo = std::string(KERFKILN_SOURCE_DIR) + "/demo/bittern_urn.json";
  const auto file = bench.file("urn.json");
  put(file, get(demo));
  bench.open(file);
  const auto settled = [&] { return bench.word("status") == "ready" && !bench.word("figure:fired.capacity").empty(); };
  ASSERT_TRUE(bench.eventually(settled)) << bench.log();
  const std::string capacity = bench.word("figure:fired.capacity"), height = bench.word("figure:fired.height");
  bench.click("offer:solved-sizes");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "yes" && settled(); })) << bench.log();
  ASSERT_TRUE(bench.eventually([&] { return !bench.layout()["widgets"].contains("offer:solved-sizes"); }));
  EXPECT_EQ(bench.word("figure:fired.capacity"), capacity);
  EXPECT_EQ(bench.word("figure:fired.height"), height);
  bench.key("ctrl+s");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "no"; }));
  const auto j = nlohmann::json::parse(get(file), nullptr, true, true);
  EXPECT_FALSE(j["pieces"][0]["capacity"].contains("target"));
  EXPECT_NEAR(j["pieces"][0]["profile"][5]["height"].get<double>(), 225.38, 0.02);  // 230 x 0.9799
  EXPECT_EQ(figure_of(file, "fired.capacity"), capacity);
  bench.key("ctrl+z");
  ASSERT_TRUE(bench.shows("offer:solved-sizes"));
  bench.key("ctrl+s");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("dirty") == "no"; }));
  EXPECT_EQ(get(file), get(demo));
}

TEST(Window, WritesThePacket) {
  Bench bench;
  ASSERT_TRUE(bench.has_display()) << "Xvfb is a test package (third_party/packages.txt)";
  const auto file = bench.file("chair.json");
  put(file, get(kDemo));
  bench.open(file);
  ASSERT_TRUE(bench.ready()) << bench.log();
  bench.key("ctrl+p");
  ASSERT_TRUE(bench.shows("dialog:do"));
  bench.key("Return");
  ASSERT_TRUE(bench.eventually([&] { return bench.word("packet") == "written"; }, 120))
      << bench.word("packet") << bench.log();
  std::size_t files = 0;
  for (const auto& e : std::filesystem::recursive_directory_iterator(bench.file("chair-packet")))
    files += e.is_regular_file();
  EXPECT_GE(files, 5U);
}

TEST(Window, AnySizeEitherThemeEveryView) {
  Bench bench(1920, 1080);
  ASSERT_TRUE(bench.has_display()) << "Xvfb is a test package (third_party/packages.txt)";
  bench.open(kDemo);
  ASSERT_TRUE(bench.ready()) << bench.log();
  const std::string volume = bench.word("figure:core.volume");
  for (const char* k : {"l", "x", "x", "x", "x",  "l",  "2",  "3",      "6", "7", "1", "p",
                        "e", "g", "d", "t", "F3", "F2", "F1", "Escape", "n", "b", "f"}) {
    bench.key(k);
    ASSERT_TRUE(bench.running()) << k << "\n" << bench.log();
  }
  bench.key("u");
  EXPECT_TRUE(bench.eventually([&] { return bench.word("figure:core.volume").ends_with("in³"); })) << volume;
  EXPECT_GT(bench.screenshot("dark.png"), 500);
  bench.key("ctrl+q");
  EXPECT_EQ(bench.wait_for_end(), 0) << bench.log();
}

TEST(Command, UsageFilesAndDisplay) {
  std::string said;
  EXPECT_EQ(run({kViewer, "--version"}, {}, said), 0);
  EXPECT_TRUE(said.starts_with("kerfkiln-viewer ")) << said;
  EXPECT_EQ(run({kViewer, "--help"}, {}, said), 0);
  EXPECT_NE(said.find("--size"), std::string::npos);
  EXPECT_EQ(run({kViewer, "--no-such-option"}, {}, said), 2);
  EXPECT_EQ(run({kViewer, "--size", "tall", kDemo}, {}, said), 2);
  EXPECT_NE(said.find("WIDTHxHEIGHT"), std::string::npos) << said;
  EXPECT_EQ(run({kViewer, "--theme", "pink", kDemo}, {}, said), 2);
  EXPECT_EQ(run({kViewer, "no-such-file.json"}, {}, said), 3);
  EXPECT_NE(said.find("no-such-file.json"), std::string::npos) << said;
  EXPECT_EQ(run({kViewer, kDemo}, {{"DISPLAY", "-"}, {"WAYLAND_DISPLAY", "-"}}, said), 4);
  EXPECT_NE(said.find("display"), std::string::npos) << said;
}

}  // namespace
}  // namespace kerfkiln::viewer_test
