// The packet, on a job made here: what it holds, what it refuses, what it leaves behind. Oracles: admesh on each solid,
// ezdxf on each drawing, poppler on each document, sha256sum on the manifest, python's JSON.
#include <sched.h>
#include <sys/mount.h>

#include <atomic>

#include "export/writer/packet.hpp"
#include "tests/export/writer_admesh.hpp"
#include "tests/export/writer_meshes.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

using output::Job;
using output::PacketOptions;
using output::PacketReport;
using output::write_packet;

product::Shape shape(const std::string& id, solid::Mesh mesh, int components = 1) {
  product::Shape s;
  s.id = id;
  s.label = "Shape " + id;
  s.components = components;
  s.volume_mm3 = solid::volume(mesh);
  s.mesh = [mesh](double) -> Result<solid::Mesh> { return mesh; };
  return s;
}

product::FlatPart part(const std::string& id, double width, double depth) {
  product::FlatPart p;
  p.id = id;
  p.label = "Part " + id;
  p.material = "template board";
  p.face_up = "top face up";
  p.sketch.strokes.push_back({plane::rectangle(width, depth, 20).outer, true, product::LineRole::cut});
  p.sketch.labels.push_back({{width / 2, depth / 2}, "Ø 12 ± 0,5", 3.5});
  return p;
}

product::Product piece(const std::string& name) {
  product::Product p;
  p.name = name;
  p.kind = "cushion";
  p.shapes = {shape("core", prism(64, 200, 90)), shape("layer-1", prism(64, 200, 40)),
              shape("layer-2", prism(64, 200, 50, {0, 0, 40}))};
  p.parts = {part("plan", 260, 240), part("gauge-front", 90, 60)};
  p.figures = {{"core.volume", "Volume of the core", 11.3, "L", 11.0, 11.6, {"outline.area"}, "area times height"},
               {"sag", "Sag", std::nan(""), "mm", {}, {}, {}, "not known"}};
  return p;
}

Job job() {
  Job j;
  j.info.title = "A stool for testing";
  j.info.hash = "0123456789abcdef";
  j.info.order.drawing = "T-1";
  j.info.program = "kerfkiln test";
  j.products = {piece("seat"), piece("back")};
  j.totals = {{"total.mass", "Mass", 1.5, "kg", {}, {}, {}, "sum"}};
  j.text = "{ \"kerfkiln\": 1 } // as typed\n";
  return j;
}

Finding finding(Severity s, const std::string& path) { return {s, "length.range", path, "too long", "shorten"}; }

class Packet : public ::testing::Test {
 protected:
  std::string code_of(const Result<PacketReport>& r) { return r ? "written" : r.findings().at(0).code; }
  TempFolder t;
  fs::path out = t.path / "packet";
};

TEST_F(Packet, HoldsEverythingAndEachReaderAgrees) {
  const Result<PacketReport> r = write_packet(job(), out, {});
  ASSERT_TRUE(r) << r.findings()[0].message;
  std::vector<std::string> found;
  for (const auto& [path, bytes] : snapshot(out))
    if (bytes != "/") found.push_back(path);
  EXPECT_EQ(found, r->files);
  for (const char* wanted : {"job-sheet.pdf", "design.json", "figures.json", "packet.json", "seat/solids/core.stl",
                             "seat/solids/layer-1.stl", "back/solids/layer-2.stl", "seat/parts/plan.dxf",
                             "seat/parts/plan.svg", "back/templates.pdf"})
    EXPECT_TRUE(std::find(found.begin(), found.end(), wanted) != found.end()) << wanted;
  EXPECT_EQ(read_file(out / "design.json"), job().text);
  int solids = 0, drawings = 0, documents = 0, pictures = 0;
  for (const std::string& file : found) {
    const fs::path path = out / file;
    if (path.extension() == ".stl") {
      const Admesh a = admesh(path);
      EXPECT_TRUE(a.clean()) << file << a.text;
      EXPECT_NEAR(a.volume / prism_volume(64, 200,
                                          file.ends_with("core.stl") ? 90
                                          : file.ends_with("1.stl")  ? 40
                                                                     : 50),
                  1, 1e-5);
      ++solids;
    } else if (path.extension() == ".dxf") {
      const Ran d = python("writer_read_dxf.py", {path.string()});
      EXPECT_NE(d.out.find("strict.errors 0\nstrict.fixes 0\nrecover.errors 0\nrecover.fixes 0\n"), std::string::npos);
      ++drawings;
    } else if (path.extension() == ".pdf") {
      EXPECT_EQ(run({"pdfinfo", path.string()}).code, 0) << file;
      ++documents;
    } else if (path.extension() == ".svg") {
      EXPECT_EQ(read_file(path).find("<?xml"), 0u);
      ++pictures;
    }
  }
  EXPECT_EQ(solids, 6);
  EXPECT_EQ(drawings, 4);
  EXPECT_EQ(documents, 3);  // the job sheet and the templates of each piece
  EXPECT_EQ(pictures, 4);
  const Ran sums = run({"/usr/bin/python3", "-c",
                        "import json,hashlib,sys,os\n"
                        "root=sys.argv[1]; m=json.load(open(root+'/packet.json'))\n"
                        "assert m['format']=='kerfkiln packet' and m['unit']=='mm'\n"
                        "names=[f['path'] for f in m['files']]; assert names==sorted(names)\n"
                        "for f in m['files']:\n"
                        "  b=open(root+'/'+f['path'],'rb').read()\n"
                        "  assert len(b)==f['bytes'] and hashlib.sha256(b).hexdigest()==f['sha256'], f\n"
                        "print(len(names))",
                        out.string()});
  EXPECT_EQ(sums.out, std::to_string(found.size() - 1) + "\n") << sums.err;
}

TEST_F(Packet, FiguresAreTheDocumentedJson) {
  Job j = job();
  j.findings = {finding(Severity::warning, "pieces/1/layers/0"), finding(Severity::note, "materials/foams/x")};
  ASSERT_TRUE(write_packet(j, out, {}));
  const Ran r = run({"/usr/bin/python3", "-c",
                     "import json,sys\n"
                     "j=json.load(open(sys.argv[1]))\n"
                     "assert list(j)==['title','pieces','totals','findings'], list(j)\n"
                     "p=j['pieces'][1]; assert list(p)==['name','kind','figures','findings']\n"
                     "assert p['name']=='back' and p['findings'][0]['path']=='pieces/1/layers/0'\n"
                     "assert j['pieces'][0]['findings']==[] and len(j['findings'])==1\n"
                     "f,g=p['figures']\n"
                     "assert f=={'key':'core.volume','value':11.3,'unit':'L','low':11.0,'high':11.6,"
                     "'from':['outline.area'],'how':'area times height'}, f\n"
                     "assert g['value'] is None and 'low' not in g\n"
                     "assert j['totals'][0]['key']=='total.mass'\n",
                     (out / "figures.json").string()});
  EXPECT_EQ(r.code, 0) << r.err;
}

TEST_F(Packet, SameJobSameBytes) {
  const fs::path second = t.path / "second";
  ASSERT_TRUE(write_packet(job(), out, {}));
  ASSERT_TRUE(write_packet(job(), second, {}));
  EXPECT_EQ(snapshot(out), snapshot(second));
  ASSERT_TRUE(write_packet(job(), out, {}));  // over itself
  EXPECT_EQ(snapshot(out), snapshot(second));
  EXPECT_EQ(std::distance(fs::directory_iterator(t.path), fs::directory_iterator()), 2) << "something was left behind";
}

TEST_F(Packet, ReplacingDropsFilesOfTheOldOne) {
  ASSERT_TRUE(write_packet(job(), out, {}));
  Job smaller = job();
  smaller.products.pop_back();
  ASSERT_TRUE(write_packet(smaller, out, {}));
  EXPECT_FALSE(fs::exists(out / "back"));
}

TEST_F(Packet, ForeignFoldersAreLeftAlone) {
  write_file(out / "notes.txt", "mine");
  const auto before = snapshot(t.path);
  EXPECT_EQ(code_of(write_packet(job(), out, {})), "packet.foreign");
  EXPECT_EQ(snapshot(t.path), before);
  ASSERT_TRUE(write_packet(job(), t.path / "p2", {}));
  write_file(t.path / "p2" / "seat" / "parts" / "plan.dxf", "edited by hand");
  EXPECT_EQ(code_of(write_packet(job(), t.path / "p2", {})), "packet.changed");
  EXPECT_EQ(read_file(t.path / "p2" / "seat" / "parts" / "plan.dxf"), "edited by hand");
}

// The maker saves a note into the folder while the packet is being written.
TEST_F(Packet, FolderThatTurnsForeignMeanwhileIsLeftAlone) {
  ASSERT_TRUE(write_packet(job(), out, {}));
  const auto r = write_packet(job(), out, {}, [&](double, const std::string&) {
    write_file(out / "notes.txt", "mine");
    return true;
  });
  EXPECT_EQ(code_of(r), "packet.foreign");
  EXPECT_EQ(read_file(out / "notes.txt"), "mine");
  EXPECT_EQ(std::distance(fs::directory_iterator(t.path), fs::directory_iterator()), 1);
}

TEST_F(Packet, CancelAtEveryStepLeavesNothing) {
  Job small = job();
  small.products = {piece("seat")};
  small.products[0].parts = {part("plan", 150, 100)};
  small.products[0].parts.push_back(part("gauge", 90, 60));
  ASSERT_TRUE(write_packet(small, out, {}));
  const auto before = snapshot(t.path);
  PacketOptions with_part_pdfs;
  with_part_pdfs.part_pdfs = true;
  int steps = 0;
  for (int stop_at = 1; stop_at < 100; ++stop_at) {
    int calls = 0;
    double last = 0;
    const auto r = write_packet(small, out, with_part_pdfs, [&](double done, const std::string& what) {
      EXPECT_GE(done, last);
      EXPECT_LE(done, 1);
      EXPECT_FALSE(what.empty());
      last = done;
      return ++calls < stop_at;
    });
    if (r) {
      steps = stop_at;
      break;
    }
    ASSERT_EQ(code_of(r), "packet.cancelled");
    ASSERT_EQ(snapshot(t.path), before);
    ASSERT_EQ(code_of(write_packet(small, t.path / "a" / "b", {}, [](double, const std::string&) { return false; })),
              "packet.cancelled");
    ASSERT_EQ(snapshot(t.path), before);
  }
  EXPECT_GT(steps, 10);
}

TEST_F(Packet, BrokenSolidsNeverLeave) {
  const struct {
    solid::Mesh mesh;
    int components;
    std::string code;
  } cases[] = {
      {[] {
         auto m = prism(8, 10, 5);
         m.triangles.pop_back();
         return m;
       }(),
       1, "solid.open"},
      {[] {
         auto m = prism(8, 10, 5);
         for (auto& f : m.triangles) std::swap(f[0], f[1]);
         return m;
       }(),
       1, "solid.inward"},
      {prism(8, 10, 5), 2, "solid.components"},
      {joined(prism(8, 10, 5), prism(8, 10, 5, {5, 0, 1})), 2, "solid.crossing"},
  };
  for (const auto& c : cases) {
    Job j = job();
    j.products[1].shapes[2] = shape("layer-2", c.mesh, c.components);
    const auto r = write_packet(j, out, {});
    EXPECT_EQ(code_of(r), c.code);
    EXPECT_TRUE(snapshot(t.path).empty());
  }
  Job j = job();
  j.products[0].shapes[0].mesh = [](double) -> Result<solid::Mesh> { return finding(Severity::error, "pieces/0"); };
  EXPECT_EQ(code_of(write_packet(j, out, {})), "length.range");
  EXPECT_TRUE(snapshot(t.path).empty());
}

TEST_F(Packet, FaultOnEitherThreadLeavesNothing) {
  for (std::size_t i = 0; i < 3; ++i) {
    Job j = job();
    j.products[0].shapes[i].mesh = [](double) -> Result<solid::Mesh> { throw std::bad_alloc(); };
    EXPECT_THROW((void)write_packet(j, out, {}), std::bad_alloc);
    EXPECT_TRUE(snapshot(t.path).empty());
  }
}

TEST_F(Packet, DesignsWithErrorsAreRefusedWithTheCount) {
  Job j = job();
  j.findings = {finding(Severity::error, "materials/foams/x")};
  j.products[1].findings = {finding(Severity::error, "pieces/1/layers/0"), finding(Severity::warning, "pieces/1")};
  const auto r = write_packet(j, out, {});
  ASSERT_EQ(code_of(r), "packet.errors");
  EXPECT_NE(r.findings()[0].message.find("2 errors"), std::string::npos);
  EXPECT_EQ(code_of(write_packet(Job{}, out, {})), "packet.empty");
  EXPECT_TRUE(snapshot(t.path).empty());
}

TEST_F(Packet, OnePieceDespiteErrorsInAnother) {
  Job j = job();
  j.products[0].findings = {finding(Severity::error, "pieces/0/layers/0")};
  j.findings = {finding(Severity::error, "pieces/0/count"), finding(Severity::warning, "pieces/1/count")};
  PacketOptions options;
  options.piece = "back";
  ASSERT_TRUE(write_packet(j, out, options));
  EXPECT_FALSE(fs::exists(out / "seat"));
  EXPECT_TRUE(fs::exists(out / "back" / "solids" / "core.stl"));
  EXPECT_NE(read_file(out / "figures.json").find("pieces/1/count"), std::string::npos);
  options.piece = "bakc";
  const auto r = write_packet(j, out, options);
  ASSERT_EQ(code_of(r), "packet.piece");
  EXPECT_NE(r.findings()[0].remedy.find("\"back\""), std::string::npos);
}

TEST_F(Packet, DeviationIsPassedOnAndLimited) {
  Job j = job();
  std::atomic<double> seen = 0;
  j.products[0].shapes[0].mesh = [&](double d) -> Result<solid::Mesh> {
    if (d == 0.123) seen = d;  // the picture on the job sheet asks for a coarser one
    return prism(64, 200, 90);
  };
  PacketOptions options;
  options.deviation_mm = 0.123;
  ASSERT_TRUE(write_packet(j, out, options));
  EXPECT_EQ(seen, 0.123);
  for (const double bad : {0.0, -1.0, 0.004, 2.5, std::nan(""), std::numeric_limits<double>::infinity()}) {
    options.deviation_mm = bad;
    const auto r = write_packet(j, out, options);
    ASSERT_EQ(code_of(r), "packet.deviation");
    EXPECT_NE(r.findings()[0].message.find("0.005 mm to 2 mm"), std::string::npos);
  }
}

TEST_F(Packet, PaperReachesTheTemplates) {
  const auto first_page = [&](output::Paper paper) {
    PacketOptions options;
    options.paper = paper;
    EXPECT_TRUE(write_packet(job(), out, options));
    const std::string text = run({"pdfinfo", (out / "seat" / "templates.pdf").string()}).out;
    const auto at = text.find("Page size:");
    return text.substr(at, text.find('\n', at) - at);
  };
  const std::string a4 = first_page(output::Paper::a4), letter = first_page(output::Paper::letter);
  EXPECT_NE(a4.find("595"), std::string::npos) << a4;
  EXPECT_NE(letter.find("612"), std::string::npos) << letter;
  EXPECT_NE(first_page(output::Paper::sheet), a4);
}

TEST_F(Packet, EachPartInAPdfOfItsOwnWhereAskedFor) {
  PacketOptions options;
  options.part_pdfs = true;
  ASSERT_TRUE(write_packet(job(), out, options));
  EXPECT_EQ(run({"pdfinfo", (out / "back" / "parts" / "gauge-front.pdf").string()}).code, 0);
  EXPECT_EQ(run({"pdfinfo", (out / "seat" / "parts" / "plan.pdf").string()}).code, 0);
}

// A packet without the files that its design names could neither be opened again nor checked against its hash.
TEST_F(Packet, HoldsTheFilesThatTheDesignNames) {
  const auto named = [](const std::string& name) {
    return job::NamedFile{name, std::make_shared<const std::string>("0\nSECTION\n of " + name)};
  };
  Job j = job();
  j.files = {named("back/back.dxf"), named("frame.dxf"), named("shapes/deep/seat.dxf"),
             named("shapes/deep/./seat.dxf")};
  const Result<PacketReport> r = write_packet(j, out, {});
  ASSERT_TRUE(r) << r.findings()[0].message;
  EXPECT_EQ(read_file(out / "frame.dxf"), *j.files[1].bytes);
  EXPECT_EQ(read_file(out / "shapes" / "deep" / "seat.dxf"), *j.files[2].bytes);
  EXPECT_EQ(read_file(out / "back" / "back.dxf"), *j.files[0].bytes);
  EXPECT_TRUE(fs::exists(out / "back-2" / "templates.pdf"));  // the piece of that name gives way
  EXPECT_EQ(std::set<std::string>(r->files.begin(), r->files.end()).size(), r->files.size());
  EXPECT_NE(read_file(out / "packet.json").find("\"shapes/deep/seat.dxf\""), std::string::npos);
  ASSERT_TRUE(write_packet(j, out, {}));  // ours still, so it may be replaced
  for (const char* own : {"design.json", "packet.json", "Job-Sheet.pdf", "figures.json/a.dxf"}) {
    j.files = {named(own)};
    EXPECT_EQ(code_of(write_packet(j, out, {})), "packet.drawing") << own;
  }
}

// Check value D06 of the references, and what a printer of 99.2 % across and 99.6 % along makes of the sheets.
TEST_F(Packet, PrinterThatDrawsTheCheckSquareWrong) {
  PacketOptions options;
  options.paper = output::Paper::letter;
  options.print = {99.2, 99.6};
  ASSERT_TRUE(write_packet(job(), out, options));
  const std::string text = run({"pdftotext", (out / "seat" / "templates.pdf").string(), "-"}).out;
  EXPECT_NE(text.find("for a printer that draws 100 mm as 99.2 x 99.6 mm"), std::string::npos) << text;
}

TEST_F(Packet, OddNamesStayInsideAndDistinct) {
  Job j = job();
  j.products.clear();
  const std::vector<std::string> odd = {"../x",        "a/b", "ünï", "",    std::string(300, 'n'), "Seat", "seat",
                                        "packet.json", "con", ".",   "\xFF"};
  for (const std::string& name : odd) {
    product::Product p = piece(name);
    p.parts = {};
    p.shapes = {shape("../core", prism(8, 10, 5)), shape("..-core", prism(8, 10, 5)), shape("", prism(8, 10, 5))};
    j.products.push_back(p);
  }
  const auto r = write_packet(j, out, {});
  ASSERT_TRUE(r) << r.findings()[0].message;
  EXPECT_EQ(std::count_if(r->files.begin(), r->files.end(), [](const auto& f) { return f.ends_with(".stl"); }),
            static_cast<std::ptrdiff_t>(3 * odd.size()));
  EXPECT_EQ(std::distance(fs::directory_iterator(t.path), fs::directory_iterator()), 1);
  for (const char* folder :
       {"x", "a-b", "ünï", "cushion", "Seat", "seat-2", "packet.json-2", "_con", "cushion-2", "cushion-3"})
    EXPECT_TRUE(fs::is_directory(out / folder)) << folder;
}

TEST_F(Packet, UnwritablePlaces) {
  write_file(t.path / "file", "x");
  const auto before = snapshot(t.path);
  for (const fs::path& bad :
       {t.path / "file", t.path / "file" / "under", fs::path("/proc/kerfkiln"), t.path / std::string(300, 'n')}) {
    const auto r = write_packet(job(), bad, {});
    EXPECT_EQ(code_of(r), "file.unwritable") << bad;
  }
  EXPECT_EQ(snapshot(t.path), before);
}

TEST_F(Packet, FullDiskKeepsTheOldPacket) {
  const pid_t child = ::fork();
  if (child == 0) {
    if (::unshare(CLONE_NEWNS) != 0 && ::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) ::_exit(77);
    ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr);
    if (::mount("none", t.path.c_str(), "tmpfs", 0, "size=4m") != 0) ::_exit(77);
    Job j = job();
    if (!write_packet(j, out, {})) ::_exit(1);
    const auto before = snapshot(t.path);
    j.products[1].shapes[2] = shape("layer-2", torus(400, 150, 200, 50));  // 6 MB
    const auto r = write_packet(j, out, {});
    if (code_of(r) != "file.unwritable") ::_exit(2);
    if (r.findings()[0].message.find("No space left on device") == std::string::npos) ::_exit(3);
    ::_exit(snapshot(t.path) == before ? 0 : 4);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
  if (code == 77) GTEST_SKIP() << "this machine lets us mount nothing";
  EXPECT_EQ(code, 0);
}

}  // namespace
}  // namespace kerfkiln::test
