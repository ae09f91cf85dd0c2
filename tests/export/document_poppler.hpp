// Our PDFs through poppler, a reader that shares no code with what wrote them.
#pragma once
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace kerfkiln::poppler {

class Folder {
 public:
  Folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "kerfkiln-sheet-XXXXXX").string();
    path_ = mkdtemp(pattern.data());
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string file(const std::string& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

inline void write(const std::string& path, const std::string& bytes) { std::ofstream(path, std::ios::binary) << bytes; }

// Standard output and error of a command; a failing command fails the test.
inline std::string run(const std::string& command) {
  std::string out;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) out.append(buffer.data(), n);
  EXPECT_EQ(pclose(pipe), 0) << command << "\n" << out;
  return out;
}

inline std::string text(const std::string& pdf, int page = 0) {
  const std::string which = page > 0 ? " -f " + std::to_string(page) + " -l " + std::to_string(page) : "";
  return run("pdftotext -layout -enc UTF-8" + which + " '" + pdf + "' -");
}
inline int page_count(const std::string& pdf) {
  const std::string info = run("pdfinfo '" + pdf + "'");
  const std::size_t at = info.find("Pages:");
  return at == std::string::npos ? 0 : std::atoi(info.c_str() + at + 6);
}

struct Word {
  double x_min, y_min, x_max, y_max;  // points, from the top left
  std::string text;
};
struct Words {
  double width = 0, height = 0;
  std::vector<Word> words;
};
inline std::vector<Words> words(const std::string& pdf) {
  std::istringstream in(run("pdftotext -bbox '" + pdf + "' -"));
  std::vector<Words> pages;
  for (std::string line; std::getline(in, line);) {
    const auto number = [&](const std::string& key) {
      const std::size_t at = line.find(key + "=\"");
      return at == std::string::npos ? 0.0 : std::strtod(line.c_str() + at + key.size() + 2, nullptr);
    };
    if (line.find("<page ") != std::string::npos) pages.push_back({number("width"), number("height"), {}});
    const std::size_t close = line.find("\">");
    if (line.find("<word ") != std::string::npos && !pages.empty() && close != std::string::npos)
      pages.back().words.push_back({number("xMin"), number("yMin"), number("xMax"), number("yMax"),
                                    line.substr(close + 2, line.find("</word>") - close - 2)});
  }
  return pages;
}

struct Grey {
  int wide = 0, high = 0;
  std::string pixels;
  int at(int x, int y) const {
    return static_cast<unsigned char>(
        pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(wide) + static_cast<std::size_t>(x)]);
  }
  bool dark(int x, int y) const { return at(x, y) < 128; }
};
inline Grey rendered(const std::string& pdf, int page, double dots_per_inch) {
  const std::string number = std::to_string(page);
  std::istringstream in(
      run("pdftoppm -gray -r " + std::to_string(dots_per_inch) + " -f " + number + " -l " + number + " '" + pdf + "'"));
  Grey g;
  std::string magic;
  int most = 0;
  in >> magic >> g.wide >> g.high >> most;
  in.get();
  g.pixels.resize(static_cast<std::size_t>(g.wide) * static_cast<std::size_t>(g.high));
  in.read(g.pixels.data(), static_cast<std::streamsize>(g.pixels.size()));
  EXPECT_EQ(magic, "P5");
  EXPECT_TRUE(in.good());
  return g;
}

}  // namespace kerfkiln::poppler
