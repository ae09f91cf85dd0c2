// The program as a maker runs it: exit codes, what goes to which stream, what is left behind.
#include <sys/resource.h>

#include <chrono>
#include <csignal>
#include <thread>

#include "tests/export/writer_admesh.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

const std::string kProgram = std::string(KERFKILN_BIN_DIR) + "/kerfkiln";

Ran kerfkiln(std::vector<std::string> arguments, const std::string& out_path = "") {
  arguments.insert(arguments.begin(), kProgram);
  return run(arguments, out_path);
}

class Command : public ::testing::Test {
 protected:
  void SetUp() override {
    for (const char* kind : {"cushion", "urn"})
      write_file(t.path / (std::string(kind) + ".json"), kerfkiln({"starter", kind}).out);
    write_file(t.path / "bad.json",
               "{ \"kerfkiln\": 1, \"pieces\": [ { \"name\": \"seat\", \"kind\": \"cushoin\" } ] }");
    write_file(t.path / "syntax.json", "{ \"kerfkiln\": 1, ");
  }
  std::string file(const std::string& name) const { return (t.path / name).string(); }
  TempFolder t;
};

TEST_F(Command, VersionAndHelp) {
  const Ran version = kerfkiln({"--version"});
  EXPECT_EQ(version.code, 0);
  EXPECT_EQ(version.out.find("kerfkiln "), 0u);
  EXPECT_EQ(version.err, "");
  const Ran help = kerfkiln({"--help"});
  EXPECT_EQ(help.code, 0);
  for (const char* word : {"check", "figures", "packet", "starter", "schema", "70"})
    EXPECT_NE(help.out.find(word), std::string::npos) << word;
  EXPECT_EQ(kerfkiln({"packet", "--help"}).code, 0);
}

TEST_F(Command, UsageErrorsAreTwo) {
  const std::vector<std::vector<std::string>> wrong = {
      {},
      {"chekc", file("urn.json")},
      {"check"},
      {"check", file("urn.json"), "more"},
      {"figures", "--jsno", "x"},
      {"packet", file("urn.json")},
      {"packet", "--out", file("p")},
      {"starter"},
      {"starter", "lamp"},
      {"schema", "x"},
      {"packet", file("urn.json"), "--out", file("p"), "--paper", "A5"},
      {"packet", file("urn.json"), "--out", file("p"), "--deviation", "0.05 kg"},
      {"packet", file("urn.json"), "--out", file("p"), "--deviation", "thin"},
      {"packet", file("urn.json"), "--out", file("p"), "--deviation", "5 mm"},
      {"packet", file("urn.json"), "--out", file("p"), "--check-square", "99.2"},
      {"packet", file("urn.json"), "--out", file("p"), "--check-square", "96.9 mm"},
      {"packet", file("urn.json"), "--out", file("p"), "--check-square", "99.2 mm x"},
      {"packet", file("urn.json"), "--out", file("p"), "--piece", "nobody"}};
  for (const auto& arguments : wrong) {
    const Ran r = kerfkiln(arguments);
    EXPECT_EQ(r.code, 2) << (arguments.empty() ? "nothing" : arguments.back()) << "\n" << r.err;
    EXPECT_EQ(r.out, "");
    EXPECT_NE(r.err, "");
  }
  EXPECT_FALSE(fs::exists(t.path / "p"));
}

TEST_F(Command, CheckPrintsFindingsAndSaysErrorsByOne) {
  for (const char* good : {"cushion.json", "urn.json"}) {
    const Ran r = kerfkiln({"check", file(good)});
    EXPECT_EQ(r.code, 0) << r.out;
    EXPECT_EQ(r.out.find("error: "), std::string::npos) << r.out;
  }
  for (const char* bad : {"bad.json", "syntax.json"}) {
    const Ran r = kerfkiln({"check", file(bad)});
    EXPECT_EQ(r.code, 1) << bad;
    EXPECT_NE(r.out.find("error: "), std::string::npos) << r.out;
    EXPECT_NE(r.err.find("error"), std::string::npos) << r.err;
  }
}

TEST_F(Command, FilesThatCannotBeReadAreThree) {
  for (const char* command : {"check", "figures"}) {
    EXPECT_EQ(kerfkiln({command, file("missing.json")}).code, 3);
    EXPECT_EQ(kerfkiln({command, t.path.string()}).code, 3);  // a folder
  }
  const Ran r = kerfkiln({"packet", file("missing.json"), "--out", file("p")});
  EXPECT_EQ(r.code, 3);
  EXPECT_NE(r.err.find("missing.json"), std::string::npos);
  EXPECT_FALSE(fs::exists(t.path / "p"));
}

TEST_F(Command, FiguresForPeopleAndPrograms) {
  for (const char* design : {"cushion.json", "urn.json"}) {
    const Ran people = kerfkiln({"figures", file(design)});
    EXPECT_EQ(people.code, 0) << people.err;
    const std::string key = design[0] == 'c' ? "core.volume" : "fired.capacity";
    EXPECT_NE(people.out.find(key), std::string::npos) << people.out;
    const Ran json = kerfkiln({"figures", "--json", file(design)});
    EXPECT_EQ(json.code, 0);
    write_file(t.path / "f.json", json.out);
    const Ran judged = run({"/usr/bin/python3", "-c",
                            "import json,sys\nj=json.load(open(sys.argv[1]))\n"
                            "f={x['key']:x for x in j['pieces'][0]['figures']}\n"
                            "assert f[sys.argv[2]]['value']>0 and f[sys.argv[2]]['unit']=='L'\n"
                            "assert set(j)<={'title','pieces','totals','findings'}\n"
                            "assert all(x['how'] for x in f.values())\n",
                            file("f.json"), key});
    EXPECT_EQ(judged.code, 0) << judged.err;
  }
}

TEST_F(Command, PacketOfTheStartersAndItsSolids) {
  for (const char* kind : {"cushion", "urn"}) {
    const fs::path out = t.path / (std::string(kind) + "-packet");
    const Ran r = kerfkiln({"packet", file(std::string(kind) + ".json"), "--out", out.string()});
    ASSERT_EQ(r.code, 0) << r.err;
    EXPECT_EQ(r.err.find('\r'), std::string::npos) << "progress belongs on a terminal";
    std::istringstream lines(r.out);
    int solids = 0;
    for (std::string line; std::getline(lines, line);) {
      ASSERT_TRUE(fs::is_regular_file(line)) << line;
      if (!line.ends_with(".stl")) continue;
      const Admesh a = admesh(line);
      EXPECT_TRUE(a.clean()) << a.text;
      ++solids;
    }
    EXPECT_GE(solids, 2);
    const auto once = snapshot(out);
    ASSERT_EQ(kerfkiln({"packet", file(std::string(kind) + ".json"), "--out", out.string()}).code, 0);
    EXPECT_EQ(snapshot(out), once) << "same design, same bytes";
  }
}

TEST_F(Command, PacketRefusals) {
  EXPECT_EQ(kerfkiln({"packet", file("bad.json"), "--out", file("p")}).code, 1);
  EXPECT_FALSE(fs::exists(t.path / "p"));
  EXPECT_EQ(kerfkiln({"packet", file("urn.json"), "--out", file("cushion.json")}).code, 3);
  const auto before = snapshot(t.path);
  const Ran r = kerfkiln({"packet", file("urn.json"), "--out", t.path.string()});
  EXPECT_EQ(r.code, 3);
  EXPECT_NE(r.err.find("[packet.foreign]"), std::string::npos) << r.err;
  EXPECT_EQ(snapshot(t.path), before);
}

TEST_F(Command, StandardOutputThatFailsIsThree) {
  for (const std::vector<std::string>& arguments : std::vector<std::vector<std::string>>{
           {"--version"}, {"schema"}, {"starter", "urn"}, {"figures", file("urn.json")}}) {
    SCOPED_TRACE(arguments[0]);
    const Ran r = kerfkiln(arguments, "/dev/full");
    EXPECT_EQ(r.code, 3) << arguments[0];
    EXPECT_NE(r.err.find("No space left on device"), std::string::npos) << r.err;
  }
  int ends[2];
  ASSERT_EQ(::pipe(ends), 0);
  ::close(ends[0]);
  const pid_t child = ::fork();
  if (child == 0) {
    ::dup2(ends[1], 1);
    ::execl(kProgram.c_str(), kProgram.c_str(), "schema", nullptr);
    ::_exit(127);
  }
  ::close(ends[1]);
  int status = 0;
  ::waitpid(child, &status, 0);
  ASSERT_TRUE(WIFEXITED(status)) << "a closed pipe must not kill the program";
  EXPECT_EQ(WEXITSTATUS(status), 3);
}

TEST_F(Command, SizeLimitIsThreeAndLeavesNothing) {
  const pid_t child = ::fork();
  if (child == 0) {
    const rlimit limit{20000, 20000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    const int null = ::open("/dev/null", O_WRONLY);
    ::dup2(null, 1), ::dup2(null, 2);
    ::execl(kProgram.c_str(), kProgram.c_str(), "packet", file("urn.json").c_str(), "--out", file("p").c_str(),
            nullptr);
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  ASSERT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 3);
  EXPECT_EQ(std::distance(fs::directory_iterator(t.path), fs::directory_iterator()), 4);
}

// Signals that arrive at any moment: the process ends by that signal or had already finished; the folder holds the old
// packet or the new one, whole, and nothing lies beside it.
TEST_F(Command, SignalsLeaveNothingBehind) {
  const auto start = std::chrono::steady_clock::now();
  ASSERT_EQ(kerfkiln({"packet", file("urn.json"), "--out", file("p")}).code, 0);
  const auto whole = std::chrono::steady_clock::now() - start;
  const auto before = snapshot(t.path);
  int interrupted = 0;
  for (const int signal : {SIGINT, SIGTERM, SIGHUP})
    for (const int tenths : {2, 4, 6, 8, 10}) {
      const pid_t child = ::fork();
      if (child == 0) {
        const int null = ::open("/dev/null", O_WRONLY);
        ::dup2(null, 1), ::dup2(null, 2);
        ::execl(kProgram.c_str(), kProgram.c_str(), "packet", file("urn.json").c_str(), "--out", file("p").c_str(),
                nullptr);
        ::_exit(127);
      }
      std::this_thread::sleep_for(whole * tenths / 10);
      ::kill(child, signal);
      int status = 0;
      ::waitpid(child, &status, 0);
      if (WIFSIGNALED(status)) {
        EXPECT_EQ(WTERMSIG(status), signal);
        ++interrupted;
      } else {
        EXPECT_EQ(WEXITSTATUS(status), 0);
      }
      ASSERT_EQ(snapshot(t.path), before) << tenths << " tenths, signal " << signal;
    }
  EXPECT_GE(interrupted, 3);
}

TEST_F(Command, HostileWordsDoNotReachTheTerminal) {
  write_file(t.path / "evil.json", "{ \"kerfkiln\": 1, \"title\": \"\\u001b[2J\", \"\\u001b]0;x\\u0007\": 1 }");
  for (const char* command : {"check", "figures"}) {
    const Ran r = kerfkiln({command, file("evil.json")});
    EXPECT_EQ((r.out + r.err).find('\x1b'), std::string::npos);
  }
}

TEST_F(Command, StarterAndSchemaFitTogether) {
  const Ran schema = kerfkiln({"schema"});
  EXPECT_EQ(schema.code, 0);
  write_file(t.path / "schema.json", schema.out);
  const Ran r = run({"/usr/bin/python3", "-c",
                     "import json,sys,jsonschema\n"
                     "jsonschema.Draft202012Validator.check_schema(json.load(open(sys.argv[1])))\n",
                     file("schema.json")});
  EXPECT_EQ(r.code, 0) << r.err;
  EXPECT_EQ(kerfkiln({"schema"}).out, schema.out);
}

// The manual names every option and exit code that the help names.
TEST_F(Command, ManualAndCompletionNameEveryOption) {
  std::string manual = read_file(std::string(KERFKILN_SOURCE_DIR) + "/export/command/kerfkiln.1");
  std::erase(manual, '\\');
  const std::string completion = read_file(std::string(KERFKILN_SOURCE_DIR) + "/export/command/kerfkiln.bash");
  for (const char* word :
       {"--json", "--out", "--piece", "--deviation", "--paper", "--check-square", "--part-pdfs", "--version", "--help",
        "check", "figures", "packet", "starter", "schema", "A4", "Letter", "sheet", "cushion", "urn"}) {
    EXPECT_NE(manual.find(word), std::string::npos) << word;
    EXPECT_NE(completion.find(word), std::string::npos) << word;
  }
}

}  // namespace
}  // namespace kerfkiln::test
