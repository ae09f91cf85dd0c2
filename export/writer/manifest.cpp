#include "export/writer/manifest.hpp"

#include <glib.h>

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <system_error>

namespace kerfkiln::output {
namespace fs = std::filesystem;
namespace {

constexpr std::string_view kFormat = "kerfkiln packet";
constexpr std::uintmax_t kLargestManifest = 16u << 20;

class Checksum {
 public:
  void add(const char* data, std::size_t size) {
    g_checksum_update(sum_.get(), reinterpret_cast<const guchar*>(data), static_cast<gssize>(size));
  }
  std::string text() { return g_checksum_get_string(sum_.get()); }

 private:
  struct Free {
    void operator()(GChecksum* c) const { g_checksum_free(c); }
  };
  std::unique_ptr<GChecksum, Free> sum_{g_checksum_new(G_CHECKSUM_SHA256)};
};

// Path to entry; empty optional where the folder carries no manifest of ours.
std::optional<std::map<std::string, ManifestFile>> read_manifest(const fs::path& folder) {
  const fs::path path = folder / kManifestName;
  std::error_code error;
  if (!fs::is_regular_file(fs::symlink_status(path, error)) || fs::file_size(path, error) > kLargestManifest)
    return std::nullopt;
  std::ifstream in(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_object() || json.value("format", nlohmann::json()) != kFormat) return std::nullopt;
  const auto files = json.find("files");
  if (files == json.end() || !files->is_array()) return std::nullopt;
  std::map<std::string, ManifestFile> out;
  for (const auto& f : *files) {
    const auto word = [&f](const char* key) {
      return f.is_object() && f.contains(key) && f[key].is_string() ? f[key].get<std::string>() : std::string();
    };
    const std::string name = word("path");
    if (name.empty()) return std::nullopt;
    out[name] = {name, f.contains("bytes") && f["bytes"].is_number_unsigned() ? f["bytes"].get<std::uintmax_t>() : 0,
                 word("sha256")};
  }
  return out;
}

// "a.txt, b.txt and 3 more"
std::string some(const std::vector<std::string>& names) {
  constexpr std::size_t kShown = 3;
  std::string out;
  for (std::size_t i = 0; i < std::min(names.size(), kShown); ++i) out += (i ? ", " : "") + names[i];
  if (names.size() > kShown) out += " and " + std::to_string(names.size() - kShown) + " more";
  return out;
}

}  // namespace

std::string sha256(std::string_view bytes) {
  Checksum sum;
  sum.add(bytes.data(), bytes.size());
  return sum.text();
}

std::string manifest_text(Manifest m) {
  std::sort(m.files.begin(), m.files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  nlohmann::ordered_json root = {{"format", kFormat},
                                 {"version", 1},
                                 {"program", m.program},
                                 {"title", m.title},
                                 {"design", m.design},
                                 {"unit", "mm"},
                                 {"files", nlohmann::ordered_json::array()}};
  for (const ManifestFile& f : m.files)
    root["files"].push_back({{"path", f.path}, {"bytes", f.bytes}, {"sha256", f.sha256}});
  return root.dump(1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

Result<ManifestFile> manifest_entry(const fs::path& folder, const std::string& relative_path) {
  std::ifstream in(folder / relative_path, std::ios::binary);
  ManifestFile entry{relative_path, 0, ""};
  Checksum sum;
  std::vector<char> block(1 << 18);
  while (in) {
    in.read(block.data(), static_cast<std::streamsize>(block.size()));
    const auto n = static_cast<std::size_t>(in.gcount());
    sum.add(block.data(), n);
    entry.bytes += n;
  }
  if (!in.eof())
    return Finding{Severity::error, "file.unreadable", "",
                   (folder / relative_path).string() + " could not be read: " + std::generic_category().message(errno),
                   "Check the folder and the disk."};
  entry.sha256 = sum.text();
  return entry;
}

Findings replaceable(const fs::path& folder) {
  std::error_code error;
  if (!fs::is_directory(folder, error))
    return {{Severity::error, "packet.foreign", "", folder.string() + " is not a folder",
             "Name a new folder for the packet."}};
  std::vector<fs::directory_entry> entries;
  for (auto it = fs::recursive_directory_iterator(folder, error); !error && it != fs::end(it); it.increment(error))
    entries.push_back(*it);
  if (error)
    return {{Severity::error, "file.unreadable", "", folder.string() + " could not be read: " + error.message(),
             "Name a folder that you may read and write."}};
  if (entries.empty()) return {};

  const auto listed = read_manifest(folder);
  if (!listed)
    return {{Severity::error, "packet.foreign", "",
             folder.string() + " holds files and is not a packet of this program",
             "Name a new or an empty folder; nothing in this one was touched."}};
  std::set<std::string> folders;
  for (const auto& [path, entry] : *listed)
    for (fs::path p = fs::path(path).parent_path(); !p.empty(); p = p.parent_path()) folders.insert(p.generic_string());
  std::vector<std::string> foreign, changed;
  for (const fs::directory_entry& e : entries) {
    const std::string name = fs::path(e.path()).lexically_relative(folder).generic_string();
    const fs::file_status status = e.symlink_status(error);
    if (fs::is_directory(status)) {
      if (!folders.contains(name)) foreign.push_back(name);
    } else if (name != kManifestName) {
      const auto known = listed->find(name);
      if (known == listed->end() || !fs::is_regular_file(status)) {
        foreign.push_back(name);
        continue;
      }
      const Result<ManifestFile> now = manifest_entry(folder, name);
      if (!now || now->bytes != known->second.bytes || now->sha256 != known->second.sha256) changed.push_back(name);
    }
  }
  std::sort(foreign.begin(), foreign.end());
  std::sort(changed.begin(), changed.end());
  Findings out;
  if (!foreign.empty())
    out.push_back({Severity::error, "packet.foreign", "",
                   folder.string() + " also holds what this program did not write: " + some(foreign),
                   "Move these away or name another folder; nothing was touched."});
  if (!changed.empty())
    out.push_back({Severity::error, "packet.changed", "",
                   folder.string() + " was changed since it was written: " + some(changed),
                   "Move the changed files away or name another folder; nothing was touched."});
  return out;
}

}  // namespace kerfkiln::output
