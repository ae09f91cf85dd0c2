// Choosing a file or folder, drawn by ourselves: no dialog library is packaged that would not bring a desktop along.
#pragma once
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "viewer/panel/ui.hpp"

namespace kerfkiln::viewer {

class FileDialog {
 public:
  enum class For { open, save, folder };
  void show(For, const std::filesystem::path& at);  // a file or folder to begin with
  bool is_open() const { return open_; }
  For purpose() const { return for_; }
  // Draws while open; the path once when it was chosen.
  std::optional<std::filesystem::path> draw(Ui&);

 private:
  struct Entry {
    std::string name, size;
    bool folder = false;
  };
  void enter(const std::filesystem::path&);
  std::optional<std::filesystem::path> chosen() const;
  bool open_ = false, appearing_ = false;
  For for_ = For::open;
  std::filesystem::path folder_;
  std::string name_, trouble_, where_;
  std::vector<Entry> entries_;
};

}  // namespace kerfkiln::viewer
