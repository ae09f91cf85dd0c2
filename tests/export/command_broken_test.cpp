// Every broken design of the corpus through the program itself: the finding is named, the exit code says "the design
// has errors", and neither a packet nor a part of one is left behind.
#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

const fs::path kCorpus = KERFKILN_SOURCE_DIR "/tests/corpus/broken";
const std::string kProgram = std::string(KERFKILN_BIN_DIR) + "/kerfkiln";

TEST(CommandBroken, EachIsRefusedByCodeAndLeavesNothing) {
  const TempFolder t;
  const auto rows = nlohmann::json::parse(read_file(kCorpus / "manifest.json"));
  ASSERT_GE(rows.size(), 60u);
  for (const auto& row : rows) {
    const std::string file = row.at("file"), code = row.at("code");
    const std::string design = (kCorpus / file).string(), out = (t.path / "packet").string();
    const Ran check = run({kProgram, "check", design});
    EXPECT_EQ(check.code, 1) << file << "\n" << check.err;
    EXPECT_NE(check.out.find("[" + code + "]"), std::string::npos) << file << "\n" << check.out;
    const Ran packet = run({kProgram, "packet", design, "--out", out});
    EXPECT_EQ(packet.code, 1) << file << "\n" << packet.err;
    EXPECT_NE(packet.err.find("[" + code + "]"), std::string::npos) << file << "\n" << packet.err;
    EXPECT_TRUE(fs::is_empty(t.path)) << file << " left something behind";
  }
}

// What an unknown kind would need nobody can know: nothing else is said to be missing.
TEST(CommandBroken, AnUnknownKindIsOneFinding) {
  for (const char* file : {"piece_kind_unknown.json", "piece_kind_missing.json"}) {
    const Ran check = run({kProgram, "check", (kCorpus / file).string()});
    EXPECT_EQ(check.code, 1);
    EXPECT_EQ(check.out.find("missing or out of range"), std::string::npos) << check.out;
    EXPECT_EQ(std::count(check.out.begin(), check.out.end(), '\n'), 1) << check.out;
  }
}

}  // namespace
}  // namespace kerfkiln::test
