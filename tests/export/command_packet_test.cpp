// Packets of whole designs, as a maker gets them: pairs, and designs with a drawing beside them. Oracles: ezdxf (an
// independent reader of drawings), poppler (of documents).
#include <cstdlib>
#include <regex>

#include "tests/export/document_poppler.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

const std::string kProgram = std::string(KERFKILN_BIN_DIR) + "/kerfkiln";

Ran kerfkiln(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), kProgram);
  return run(arguments);
}

// An outline without any symmetry, so that its mirror image is another part.
std::string piece(const std::string& name, bool mirrored) {
  return R"({ "name": ")" + name + R"(", "kind": "cushion", "given_at": "core", "hand": ")" +
         (mirrored ? "right" : "left") + R"(", "mirrored": )" + (mirrored ? "true" : "false") + R"(,
    "outline": { "vertices": [ { "at": [0, 0], "radius": 12, "side": "front" }, { "at": [150, 0], "radius": 20, "side": "outer" },
                               { "at": [120, 210], "radius": 30, "side": "back", "bulge": 0.1 },
                               { "at": [10, 190], "radius": 12, "side": "inner" } ] },
    "layers": [ { "foam": "firm", "thickness": "36 mm" } ],
    "edges": { "top": { "outer": { "round": 20 }, "other": { "round": 8 } } } })";
}

class CommandPacket : public ::testing::Test {
 protected:
  std::string file(const std::string& name) const { return (t.path / name).string(); }
  void write_pair() {
    write_file(t.path / "pair.json", "{ \"kerfkiln\": 1, \"title\": \"A pair\", \"pieces\": [" +
                                         piece("arm left", false) + ", " + piece("arm right", true) + "] }");
    const Ran r = kerfkiln({"packet", file("pair.json"), "--out", file("pair"), "--paper", "sheet"});
    ASSERT_EQ(r.code, 0) << r.err;
  }
  TempFolder t;
};

TEST_F(CommandPacket, TheOtherHandIsMirroredInItsLinesAndNotInItsWords) {
  write_pair();
  const std::string left = file("pair/arm-left/parts/plan.dxf"), right = file("pair/arm-right/parts/plan.dxf");
  const Ran r = python("writer_hands.py", {left, right});
  ASSERT_EQ(r.code, 0) << r.err;
  EXPECT_EQ(r.out.find("wrong"), std::string::npos) << r.out;
  EXPECT_EQ(r.out.find("lines 0"), std::string::npos) << r.out;
  EXPECT_EQ(r.out.find("texts 0"), std::string::npos) << r.out;
  EXPECT_NE(poppler::text(file("pair/arm-left/templates.pdf"), 1).find("left hand"), std::string::npos);
  EXPECT_NE(poppler::text(file("pair/arm-right/templates.pdf"), 1).find("right hand"), std::string::npos);
}

// The pixels of one word on both sheets: the same, and not the same the other way round.
TEST_F(CommandPacket, WordsOfTheOtherHandPrintTheRightWayRound) {
  write_pair();
  const double dots = 300;
  const std::string pdf[2] = {file("pair/arm-left/templates.pdf"), file("pair/arm-right/templates.pdf")};
  const poppler::Grey grey[2] = {poppler::rendered(pdf[0], 1, dots), poppler::rendered(pdf[1], 1, dots)};
  const auto words = poppler::words(pdf[0])[0].words, others = poppler::words(pdf[1])[0].words;
  int compared = 0;
  for (const std::string word : {"face", "front"}) {
    const auto is = [&](const poppler::Word& w) { return w.text == word && w.x_max - w.x_min > w.y_max - w.y_min; };
    const auto a = std::find_if(words.begin(), words.end(), is), b = std::find_if(others.begin(), others.end(), is);
    ASSERT_TRUE(a != words.end() && b != others.end()) << word;
    const int wide = static_cast<int>((a->x_max - a->x_min) * dots / 72),
              high = static_cast<int>((a->y_max - a->y_min) * dots / 72);
    // Words start anywhere between pixels: the best of the neighbouring places counts.
    const auto difference = [&](bool turned) {
      double least = 1e300;
      for (int dx = -2; dx <= 2; ++dx)
        for (int dy = -2; dy <= 2; ++dy) {
          double sum = 0;
          for (int y = 0; y < high; ++y)
            for (int x = 0; x < wide; ++x)
              sum += std::abs(
                  grey[0].at(static_cast<int>(a->x_min * dots / 72) + x, static_cast<int>(a->y_min * dots / 72) + y) -
                  grey[1].at(static_cast<int>(b->x_min * dots / 72) + dx + (turned ? wide - 1 - x : x),
                             static_cast<int>(b->y_min * dots / 72) + dy + y));
          least = std::min(least, sum);
        }
      return least;
    };
    EXPECT_LT(difference(false), 0.5 * difference(true)) << word;
    ++compared;
  }
  EXPECT_EQ(compared, 2);
}

// SVG: a mirrored word would stand in a frame of negative determinant.
TEST_F(CommandPacket, NoFrameOfAnSvgIsMirrored) {
  write_pair();
  const std::string svg = read_file(t.path / "pair" / "arm-right" / "parts" / "plan.svg");
  ASSERT_FALSE(svg.empty());
  const std::regex matrix("matrix\\(([-0-9.eE]+), *([-0-9.eE]+), *([-0-9.eE]+), *([-0-9.eE]+),");
  for (std::sregex_iterator m(svg.begin(), svg.end(), matrix); m != std::sregex_iterator(); ++m) {
    const auto number = [&](int i) { return std::strtod((*m)[static_cast<std::size_t>(i)].str().c_str(), nullptr); };
    EXPECT_GT(number(1) * number(4) - number(2) * number(3), 0) << m->str();
  }
  EXPECT_EQ(svg.find("scale(-"), std::string::npos);
}

// The packet of a design with a drawing beside it opens where it lies, and is the same job to the last digit.
TEST_F(CommandPacket, DesignOpensFromThePacketWithItsDrawing) {
  fs::create_directories(t.path / "shapes");
  const Ran drawn =
      run({"/usr/bin/python3", "-c",
           "import ezdxf,sys\n"
           "d=ezdxf.new('R2010'); d.units=4\n"
           "d.modelspace().add_lwpolyline([(0,0,0),(300,0,0.2),(300,240,0),(0,240,0)],format='xyb',close=True)\n"
           "d.saveas(sys.argv[1])\n",
           file("shapes/seat.dxf")});
  ASSERT_EQ(drawn.code, 0) << drawn.err;
  write_file(t.path / "drawn.json",
             R"({ "kerfkiln": 1, "title": "Drawn", "pieces": [ { "name": "shapes", "kind": "cushion",
    "outline": { "dxf": { "file": "shapes/seat.dxf" } }, "layers": [ { "foam": "firm", "thickness": "40 mm" } ] } ] })");
  const Ran r = kerfkiln({"packet", file("drawn.json"), "--out", file("packet")});
  ASSERT_EQ(r.code, 0) << r.err;
  EXPECT_EQ(read_file(t.path / "packet" / "shapes" / "seat.dxf"), read_file(t.path / "shapes" / "seat.dxf"));
  EXPECT_NE(r.out.find("packet/shapes/seat.dxf"), std::string::npos) << r.out;
  fs::remove_all(t.path / "shapes");  // nothing may reach back to where the drawing came from
  const Ran again = kerfkiln({"packet", file("packet/design.json"), "--out", file("again")});
  ASSERT_EQ(again.code, 0) << again.err;
  EXPECT_EQ(snapshot(t.path / "again"), snapshot(t.path / "packet"));
}

std::size_t words(const std::string& text, const std::regex& word) {
  return static_cast<std::size_t>(
      std::distance(std::sregex_iterator(text.begin(), text.end(), word), std::sregex_iterator()));
}

// The demo designs with their units changed: the same job to the last digit, and no word of it in millimetres.
TEST_F(CommandPacket, InchJobsReadInchesEverywhere) {
  for (const std::string name : {"observatory_chair", "bittern_urn"}) {
    const std::string demo = std::string(KERFKILN_SOURCE_DIR) + "/demo/" + name + ".json";
    const std::string inch = file(name + ".json");
    ASSERT_EQ(python("inch_design.py", {demo, inch}).code, 0);
    const std::string numbers =
        "import json,sys\n"
        "a,b=[[(f['key'],f['value'],f['unit']) for p in json.loads(t)['pieces'] for f in p['figures']]"
        " for t in (open(sys.argv[1]).read(),open(sys.argv[2]).read())]\n"
        "assert a==b, [x for x in zip(a,b) if x[0]!=x[1]][:3]\n";
    write_file(t.path / "a.json", kerfkiln({"figures", "--json", demo}).out);
    write_file(t.path / "b.json", kerfkiln({"figures", "--json", inch}).out);
    const Ran same = run({"/usr/bin/python3", "-c", numbers, file("a.json"), file("b.json")});
    EXPECT_EQ(same.code, 0) << same.err;
    ASSERT_EQ(kerfkiln({"packet", inch, "--out", file(name), "--paper", "Letter"}).code, 0);
    const std::regex millimetres("(^|[^/A-Za-z])mm([^A-Za-z0-9]|$)"), inches("[0-9] in([^A-Za-z]|$)");
    for (const auto& e : fs::recursive_directory_iterator(t.path / name)) {
      const std::string sheet = e.path().filename().string();
      if (sheet.ends_with("sheet.pdf")) {
        const std::string text = poppler::text(e.path().string());
        EXPECT_EQ(words(text, millimetres), 0u) << sheet;
        EXPECT_GT(words(text, inches), sheet == "job-sheet.pdf" ? 40u : 5u) << sheet;
      } else if (sheet.ends_with(".dxf") || sheet.ends_with(".svg") || sheet.ends_with(".json")) {
        EXPECT_EQ(read_file(e.path()).find('\x1f'), std::string::npos) << sheet;
      }
    }
  }
}

}  // namespace
}  // namespace kerfkiln::test
