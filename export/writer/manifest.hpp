// What a packet says about itself (packet.json), and whether a folder may be replaced by a new one.
#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "modeler/base/result.hpp"

namespace kerfkiln::output {

inline constexpr std::string_view kManifestName = "packet.json";

struct ManifestFile {
  std::string path;  // relative, '/' between folders
  std::uintmax_t bytes = 0;
  std::string sha256;  // 64 hexadecimal digits, as the usual checksum programs print them
};
struct Manifest {
  std::string program, title, design;  // design: the hash printed on every part
  std::vector<ManifestFile> files;     // all but the manifest itself
};

// Files in the order of their paths. Same content, same bytes.
std::string manifest_text(Manifest);

std::string sha256(std::string_view bytes);
// A written file's entry; "file.unreadable" if it cannot be read back.
Result<ManifestFile> manifest_entry(const std::filesystem::path& folder, const std::string& relative_path);

// No findings where nothing of the maker's would be lost: the folder is empty, or it carries our manifest, every file
// in it is listed there and none was changed since. Otherwise "packet.foreign" or "packet.changed" naming the files.
Findings replaceable(const std::filesystem::path& folder);

}  // namespace kerfkiln::output
