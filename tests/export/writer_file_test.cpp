// Files whole or not at all; safe names; folders replaced only where nothing of the maker's is lost.
// Oracles: the rules of POSIX file names and of the usual disk formats (from memory); FIPS 180-4 for SHA-256.
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>

#include <csignal>

#include "export/writer/manifest.hpp"
#include "export/writer/safe_file.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

using output::safe_name;
using output::StagedFolder;
using output::Sync;
using output::WholeFile;

TEST(SafeName, KeepsGoodNames) {
  for (const char* good : {"seat", "gauge-front", "layer-1", "OB-104_rev.A", "ünï", "座面", "a+b(2)"})
    EXPECT_EQ(safe_name(good, "x"), good);
}

TEST(SafeName, MakesOthersSafe) {
  EXPECT_EQ(safe_name("../x", "p"), "x");
  EXPECT_EQ(safe_name("a/b", "p"), "a-b");
  EXPECT_EQ(safe_name("a\\b:c*d?e\"f<g>h|i", "p"), "a-b-c-d-e-f-g-h-i");
  EXPECT_EQ(safe_name(" left  arm ", "p"), "left-arm");
  EXPECT_EQ(safe_name(".hidden", "p"), "hidden");
  EXPECT_EQ(safe_name("-rf", "p"), "rf");
  EXPECT_EQ(safe_name("trailing. .", "p"), "trailing");
  EXPECT_EQ(safe_name("two\nlines\x1b[31m", "p"), "two-lines-31m");
  EXPECT_EQ(safe_name("a\xE2\x80\xAE"
                      "fdp",
                      "p"),
            "a-fdp")
      << "a direction override hides the true extension";
  EXPECT_EQ(safe_name("\xFF\xFE", "p"), "p");
  EXPECT_EQ(safe_name("\xC0\xAE\xC0\xAE/x", "p"), "x") << "overlong dots";
  EXPECT_EQ(safe_name("con", "p"), "_con");
  EXPECT_EQ(safe_name("LPT1.dxf", "p"), "_LPT1.dxf");
  EXPECT_EQ(safe_name("console", "p"), "console");
  for (const char* nothing : {"", ".", "..", "///", "   ", "\t"}) EXPECT_EQ(safe_name(nothing, "p"), "p");
}

TEST(SafeName, LongNamesEndAtACharacter) {
  EXPECT_EQ(safe_name(std::string(300, 'n'), "p"), std::string(80, 'n'));
  std::string long_name;
  for (int i = 0; i < 100; ++i) long_name += "座";
  const std::string cut = safe_name(long_name, "p");
  EXPECT_EQ(cut.size(), 78u);  // 26 characters of three bytes
  EXPECT_EQ(cut, long_name.substr(0, 78));
}

TEST(SafeName, AnyBytesGiveOneSafeComponent) {
  std::uint64_t state = 20310402;
  for (int round = 0; round < 20000; ++round) {
    std::string s;
    for (std::uint64_t n = (state >> 60) * 9; s.size() < n;) {
      state = state * 6364136223846793005u + 1442695040888963407u;
      s += static_cast<char>(state >> 56);
    }
    state = state * 6364136223846793005u + 1442695040888963407u;
    const std::string name = safe_name(s, "p");
    ASSERT_FALSE(name.empty());
    ASSERT_LE(name.size(), 80u);
    ASSERT_EQ(name.find('/'), std::string::npos);
    ASSERT_NE(name[0], '.');
    ASSERT_NE(name[0], '-');
    for (const char c : name) ASSERT_GE(static_cast<unsigned char>(c), 0x20);
    ASSERT_EQ(safe_name(name, "p"), name);
  }
}

TEST(Sha256, PublishedExamples) {  // FIPS 180-4 examples "abc" and the empty message (from memory)
  EXPECT_EQ(output::sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(output::sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(WholeFile, AppearsOnlyWhenCommitted) {
  TempFolder t;
  const fs::path path = t.path / "a.txt";
  write_file(path, "old");
  {
    Result<WholeFile> f = WholeFile::create(path);
    ASSERT_TRUE(f);
    f->write("new");
    EXPECT_EQ(read_file(path), "old");
  }
  EXPECT_EQ(snapshot(t.path), (std::map<std::string, std::string>{{"a.txt", "old"}}));
  for (Sync sync : {Sync::durable, Sync::later}) {
    EXPECT_TRUE(write_whole(path, "new", sync).empty());
    EXPECT_EQ(snapshot(t.path), (std::map<std::string, std::string>{{"a.txt", "new"}}));
  }
}

TEST(WholeFile, FailuresAreNamedAndLeaveNothing) {
  TempFolder t;
  write_file(t.path / "file", "x");
  fs::create_directory(t.path / "folder");
  const auto before = snapshot(t.path);
  const struct {
    fs::path path;
    std::string says;
  } cases[] = {
      {t.path / "missing" / "a", "No such file or directory"},
      {t.path / "file" / "a", "Not a directory"},
      {t.path / "folder", "Is a directory"},
      {t.path / std::string(300, 'n'), "File name too long"},
      {"/proc/kerfkiln.txt", "/proc/kerfkiln.txt"},
  };
  for (const auto& c : cases) {
    const Findings f = output::write_whole(c.path, "bytes");
    ASSERT_EQ(f.size(), 1u) << c.path;
    EXPECT_EQ(f[0].code, "file.unwritable");
    EXPECT_NE(f[0].message.find(c.says), std::string::npos) << f[0].message;
    EXPECT_FALSE(f[0].remedy.empty());
  }
  EXPECT_EQ(snapshot(t.path), before);
}

// Runs `body` in a child, so that limits and mounts end with it; 0 is success.
template <class Body>
int in_child(Body body) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(body());
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
}

TEST(WholeFile, SizeLimitLeavesTheOldFile) {
  TempFolder t;
  write_file(t.path / "a", "old");
  EXPECT_EQ(in_child([&] {
              std::signal(SIGXFSZ, SIG_IGN);
              const rlimit limit{1000, 1000};
              ::setrlimit(RLIMIT_FSIZE, &limit);
              const Findings f = output::write_whole(t.path / "a", std::string(5000, 'x'));
              return f.size() == 1 && f[0].message.find("File too large") != std::string::npos ? 0 : 1;
            }),
            0);
  EXPECT_EQ(snapshot(t.path), (std::map<std::string, std::string>{{"a", "old"}}));
}

constexpr int kNoMount = 77;

// A disk of 64 KiB that only this child sees.
int small_disk(const fs::path& at, unsigned long flags) {
  if (::unshare(CLONE_NEWNS) != 0 && ::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) return kNoMount;
  ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr);
  return ::mount("none", at.c_str(), "tmpfs", flags, "size=64k") == 0 ? 0 : kNoMount;
}

TEST(WholeFile, FullDiskLeavesTheOldFile) {
  TempFolder t;
  const int code = in_child([&] {
    if (const int no = small_disk(t.path, 0)) return no;
    write_file(t.path / "a", "old");
    const Findings f = output::write_whole(t.path / "a", std::string(200000, 'x'));
    if (f.size() != 1 || f[0].message.find("No space left on device") == std::string::npos) return 1;
    return snapshot(t.path) == std::map<std::string, std::string>{{"a", "old"}} ? 0 : 2;
  });
  if (code == kNoMount) GTEST_SKIP() << "this machine lets us mount nothing";
  EXPECT_EQ(code, 0);
}

TEST(StagedFolder, FullAndReadOnlyDisks) {
  TempFolder t;
  const int code = in_child([&] {
    if (const int no = small_disk(t.path, 0)) return no;
    write_file(t.path / "p" / "a", "old");
    {
      Result<StagedFolder> s = StagedFolder::create(t.path / "p");
      if (!s) return 1;
      if (output::write_whole(s->folder() / "a", std::string(200000, 'x'), Sync::later).empty()) return 2;
    }
    if (snapshot(t.path) != std::map<std::string, std::string>{{"p", "/"}, {"p/a", "old"}}) return 3;
    if (::mount("none", t.path.c_str(), nullptr, MS_REMOUNT | MS_RDONLY, nullptr) != 0) return kNoMount;
    const Result<StagedFolder> s = StagedFolder::create(t.path / "q");
    return !s && s.findings()[0].message.find("Read-only file system") != std::string::npos ? 0 : 4;
  });
  if (code == kNoMount) GTEST_SKIP() << "this machine lets us mount nothing";
  EXPECT_EQ(code, 0);
}

TEST(StagedFolder, SwapsInOneStepAndRemovesTheOld) {
  TempFolder t;
  const fs::path target = t.path / "deep" / "er" / "packet";
  for (const char* content : {"one", "two"}) {
    Result<StagedFolder> s = StagedFolder::create(target);
    ASSERT_TRUE(s);
    write_file(s->folder() / "sub" / "a", content);
    ASSERT_TRUE(s->swap_in([](const fs::path&) { return Findings{}; }).empty());
  }
  EXPECT_EQ(snapshot(t.path), (std::map<std::string, std::string>{{"deep", "/"},
                                                                  {"deep/er", "/"},
                                                                  {"deep/er/packet", "/"},
                                                                  {"deep/er/packet/sub", "/"},
                                                                  {"deep/er/packet/sub/a", "two"}}));
}

TEST(StagedFolder, WithoutSwapNothingRemains) {
  TempFolder t;
  write_file(t.path / "keep" / "a", "old");
  const auto before = snapshot(t.path);
  {
    Result<StagedFolder> s = StagedFolder::create(t.path / "new" / "folders" / "packet");
    ASSERT_TRUE(s);
    write_file(s->folder() / "a", "new");
  }
  EXPECT_EQ(snapshot(t.path), before);
  {
    Result<StagedFolder> s = StagedFolder::create(t.path / "keep");
    ASSERT_TRUE(s);
    const Findings refused = s->swap_in([](const fs::path&) { return Findings{{Severity::error, "no", "", "", ""}}; });
    EXPECT_EQ(refused.at(0).code, "no");
  }
  EXPECT_EQ(snapshot(t.path), before);
}

TEST(StagedFolder, FollowsALinkToTheRealFolder) {
  TempFolder t;
  fs::create_directory(t.path / "real");
  fs::create_directory_symlink("real", t.path / "link");
  Result<StagedFolder> s = StagedFolder::create(t.path / "link");
  ASSERT_TRUE(s);
  write_file(s->folder() / "a", "x");
  ASSERT_TRUE(s->swap_in([](const fs::path&) { return Findings{}; }).empty());
  EXPECT_TRUE(fs::is_symlink(t.path / "link"));
  EXPECT_EQ(read_file(t.path / "real" / "a"), "x");
}

TEST(StagedFolder, RefusesAFileAndTheFolderOneStandsIn) {
  TempFolder t;
  write_file(t.path / "file", "x");
  EXPECT_EQ(StagedFolder::create(t.path / "file").findings().at(0).code, "file.unwritable");
  EXPECT_EQ(StagedFolder::create(t.path / "file" / "under").findings().at(0).code, "file.unwritable");
  EXPECT_EQ(StagedFolder::create(".").findings().at(0).code, "packet.here");
  EXPECT_EQ(snapshot(t.path).size(), 1u);
}

class Replaceable : public ::testing::Test {
 protected:
  void SetUp() override {
    write_file(folder / "seat" / "plan.dxf", "lines");
    write_file(folder / "sheet.pdf", "words");
    output::Manifest m;
    for (const char* f : {"seat/plan.dxf", "sheet.pdf"}) m.files.push_back(*output::manifest_entry(folder, f));
    write_file(folder / "packet.json", output::manifest_text(m));
  }
  std::string code() const {
    const Findings f = output::replaceable(folder);
    return f.empty() ? "" : f[0].code;
  }
  TempFolder t;
  fs::path folder = t.path / "p";
};

TEST_F(Replaceable, OursOrEmpty) {
  EXPECT_EQ(code(), "");
  fs::remove(folder / "sheet.pdf");  // a part taken to the bench
  EXPECT_EQ(code(), "");
  fs::remove_all(folder);
  fs::create_directory(folder);
  EXPECT_EQ(code(), "");
}
TEST_F(Replaceable, NotWithNotesOfTheMaker) {
  write_file(folder / "seat" / "notes.txt", "mind the grain");
  EXPECT_EQ(code(), "packet.foreign");
  EXPECT_NE(output::replaceable(folder)[0].message.find("seat/notes.txt"), std::string::npos);
}
TEST_F(Replaceable, NotWithAFolderOrLinkOfTheMaker) {
  fs::create_directory(folder / "photos");
  EXPECT_EQ(code(), "packet.foreign");
  fs::remove(folder / "photos");
  fs::remove(folder / "sheet.pdf");
  fs::create_symlink("seat/plan.dxf", folder / "sheet.pdf");
  EXPECT_EQ(code(), "packet.foreign");
}
TEST_F(Replaceable, NotWhenAFileWasEdited) {
  write_file(folder / "seat" / "plan.dxf", "linez");  // same size
  EXPECT_EQ(code(), "packet.changed");
}
TEST_F(Replaceable, NotWithoutAManifestOfOurs) {
  for (const char* text : {"", "{}", "[1, 2]", "{\"format\": \"another\"}", "{\"format\": 3, \"files\": []}",
                           "{\"format\": \"kerfkiln packet\"}", "{\"format\": \"kerfkiln packet\", \"files\": [7]}"}) {
    write_file(folder / "packet.json", text);
    EXPECT_EQ(code(), "packet.foreign") << text;
  }
  fs::remove(folder / "packet.json");
  EXPECT_EQ(code(), "packet.foreign");
}

}  // namespace
}  // namespace kerfkiln::test
