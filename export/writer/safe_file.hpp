// Files that appear whole or not at all, and names that are safe on any of the usual file systems.
#pragma once
#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

#include "modeler/base/result.hpp"

namespace kerfkiln::output {

// A file or folder name (one component) from a maker's words. UTF-8 letters stay; path separators, characters that
// some file system reserves, control and direction characters, broken UTF-8 and white space become '-', runs of which
// are one; never empty, never begins with '.' or '-', never ends in '.' or '-', at most 80 bytes, never a device name.
// `fallback` is returned where nothing is left. Idempotent.
std::string safe_name(std::string_view wanted, std::string_view fallback);

// "file.unwritable": the path, what the operating system said (errno) and what to do about it.
Finding unwritable(const std::filesystem::path&, int error_number);

// Whether bytes must have reached the disk before the name appears. A crash after `durable` finds the old or the new
// file, never a part of one; `later` leaves that to the caller (a staged folder syncs all its files at once).
enum class Sync { durable, later };

// A file under construction beside its target, under a temporary name. Without commit() it is removed again.
class WholeFile {
 public:
  static Result<WholeFile> create(std::filesystem::path target);
  WholeFile(WholeFile&&) noexcept;
  WholeFile& operator=(WholeFile&&) noexcept;
  ~WholeFile();

  // Appends. After a failure further writes do nothing; commit() reports the first one.
  void write(const void* data, std::size_t size);
  void write(std::string_view text) { write(text.data(), text.size()); }
  // Gives the file its name, replacing an older one. Findings: none, or "file.unwritable" and nothing changed.
  Findings commit(Sync = Sync::durable);

 private:
  WholeFile(std::filesystem::path target, std::filesystem::path temporary, int descriptor)
      : target_(std::move(target)), temporary_(std::move(temporary)), descriptor_(descriptor) {}
  void discard() noexcept;
  std::filesystem::path target_, temporary_;
  int descriptor_ = -1;
  int error_ = 0;
};
Findings write_whole(const std::filesystem::path&, std::string_view bytes, Sync = Sync::durable);

// A folder under construction beside its target. swap_in() puts it in place in one step where the file system can
// exchange two names (otherwise in two, undone if the second fails) and removes the folder it replaced. Without
// swap_in() nothing remains, parents that create() made included.
class StagedFolder {
 public:
  // Findings "file.unwritable"; "packet.here" where the target is the folder the process stands in, which would vanish
  // under the maker's feet.
  static Result<StagedFolder> create(const std::filesystem::path& target);
  StagedFolder(StagedFolder&&) noexcept;
  StagedFolder& operator=(StagedFolder&&) = delete;
  ~StagedFolder();

  const std::filesystem::path& folder() const { return staging_; }
  const std::filesystem::path& target() const { return target_; }
  // `may_replace` is asked about an existing target at the last moment; its findings stop the swap.
  Findings swap_in(const std::function<Findings(const std::filesystem::path&)>& may_replace);

 private:
  StagedFolder() = default;
  std::filesystem::path target_, staging_;
  std::vector<std::filesystem::path> made_parents_;  // outermost first
};

}  // namespace kerfkiln::output
