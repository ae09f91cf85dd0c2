#include "export/writer/safe_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <system_error>
#include <utility>

namespace kerfkiln::output {
namespace fs = std::filesystem;
namespace {

int sync_path(const fs::path& path, int flags) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | flags);
  if (fd < 0) return errno;
  const int error = ::fsync(fd) == 0 ? 0 : errno;
  ::close(fd);
  // Some file systems cannot sync a folder and say EINVAL: then there is nothing more we could do.
  return error == EINVAL ? 0 : error;
}

fs::path folder_of(const fs::path& target) { return target.has_parent_path() ? target.parent_path() : fs::path("."); }

// A name beside the target that nobody else has: `make` creates it exclusively and says what the system said. Random
// rather than numbered, so that two runs at once do not meet.
template <class Make>
int create_unique(const fs::path& folder, fs::path& name, Make make) {
  for (int attempt = 0; attempt < 16; ++attempt) {
    unsigned char random[8];
    if (::getentropy(random, sizeof random) != 0) return errno;
    std::string stem = ".kerfkiln-";
    for (unsigned char byte : random) {
      stem += "0123456789abcdef"[byte >> 4];
      stem += "0123456789abcdef"[byte & 15];
    }
    name = folder / stem;
    if (make(name)) return 0;
    if (errno != EEXIST) return errno;
  }
  return EEXIST;
}

std::string remedy_for(int error) {
  switch (error) {
    case ENOSPC:
    case EDQUOT:
      return "Free some space on that disk, or name a folder on another one.";
    case EFBIG:
      return "The system limits the size of files: raise the limit, or name another folder.";
    case EACCES:
    case EPERM:
    case EROFS:
      return "Name a folder that you may write in.";
    case ENOTDIR:
    case EEXIST:
      return "A file stands where a folder is wanted: name another folder, or move that file away.";
    case ENAMETOOLONG:
      return "Name a shorter path.";
    case EBUSY:
    case EXDEV:
      return "That folder is where a disk is mounted: name a folder inside it.";
    case ENOENT:
      return "Name a folder whose parent exists.";
    case EPIPE:
      return "The program that was to read it ended early.";
    default:
      return "Check the folder and the disk, or name another folder.";
  }
}

}  // namespace

Finding unwritable(const fs::path& path, int error_number) {
  return {Severity::error, "file.unwritable", "",
          path.string() + " could not be written: " + std::generic_category().message(error_number),
          remedy_for(error_number)};
}

Result<WholeFile> WholeFile::create(fs::path target) {
  fs::path temporary;
  int fd = -1;
  const int error = create_unique(folder_of(target), temporary, [&fd](const fs::path& name) {
    fd = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    return fd >= 0;
  });
  if (error != 0) return unwritable(target, error);
  return WholeFile(std::move(target), std::move(temporary), fd);
}

WholeFile::WholeFile(WholeFile&& other) noexcept
    : target_(std::move(other.target_)),
      temporary_(std::move(other.temporary_)),
      descriptor_(std::exchange(other.descriptor_, -1)),
      error_(other.error_) {}
WholeFile& WholeFile::operator=(WholeFile&& other) noexcept {
  if (this != &other) {
    discard();
    target_ = std::move(other.target_);
    temporary_ = std::move(other.temporary_);
    descriptor_ = std::exchange(other.descriptor_, -1);
    error_ = other.error_;
  }
  return *this;
}
WholeFile::~WholeFile() { discard(); }

void WholeFile::discard() noexcept {
  if (descriptor_ < 0) return;
  ::close(std::exchange(descriptor_, -1));
  ::unlink(temporary_.c_str());
}

void WholeFile::write(const void* data, std::size_t size) {
  const char* at = static_cast<const char*>(data);
  while (size > 0 && error_ == 0) {
    const ssize_t n = ::write(descriptor_, at, size);
    if (n > 0) {
      at += n;
      size -= static_cast<std::size_t>(n);
    } else if (n == 0) {
      error_ = ENOSPC;
    } else if (errno != EINTR) {
      error_ = errno;
    }
  }
}

Findings WholeFile::commit(Sync sync) {
  if (descriptor_ < 0) return {unwritable(target_, EBADF)};
  if (error_ == 0 && sync == Sync::durable && ::fsync(descriptor_) != 0) error_ = errno;
  const int fd = std::exchange(descriptor_, -1);
  if (::close(fd) != 0 && error_ == 0 && errno != EINTR) error_ = errno;  // network disks report a full disk here
  if (error_ == 0 && ::rename(temporary_.c_str(), target_.c_str()) != 0) error_ = errno;
  if (error_ != 0) {
    ::unlink(temporary_.c_str());
    return {unwritable(target_, error_)};
  }
  if (sync == Sync::durable)
    if (const int error = sync_path(folder_of(target_), O_DIRECTORY)) return {unwritable(target_, error)};
  return {};
}

Findings write_whole(const fs::path& path, std::string_view bytes, Sync sync) {
  Result<WholeFile> file = WholeFile::create(path);
  if (!file) return file.findings();
  file->write(bytes);
  return file->commit(sync);
}

Result<StagedFolder> StagedFolder::create(const fs::path& target) {
  StagedFolder staged;
  std::error_code error;
  // Links are followed first, so that the staging folder lies beside the real one and a rename can reach it.
  fs::path real = fs::weakly_canonical(fs::absolute(target), error);
  if (error) return unwritable(target, error.value());
  if (!real.has_filename()) real = real.parent_path();  // a trailing '/'
  if (real == fs::current_path(error))
    return Finding{Severity::error, "packet.here", "", target.string() + " is the folder you stand in",
                   "Name a folder inside or beside it: this one would be replaced under your feet."};
  staged.target_ = real;
  const fs::file_status status = fs::status(real, error);
  if (fs::exists(status) && !fs::is_directory(status)) return unwritable(target, ENOTDIR);

  const fs::path parent = folder_of(real);
  std::vector<fs::path> missing;
  for (fs::path p = parent; !fs::exists(p, error); p = p.parent_path()) {
    if (error || p == p.parent_path()) break;
    missing.push_back(p);
  }
  for (auto p = missing.rbegin(); p != missing.rend(); ++p) {
    if (::mkdir(p->c_str(), 0777) != 0) return unwritable(*p, errno);  // the destructor removes those already made
    staged.made_parents_.push_back(*p);
  }
  fs::path staging;
  const int failed =
      create_unique(parent, staging, [](const fs::path& name) { return ::mkdir(name.c_str(), 0777) == 0; });
  if (failed != 0) return unwritable(target, failed);
  staged.staging_ = std::move(staging);
  return staged;
}

StagedFolder::StagedFolder(StagedFolder&& other) noexcept
    : target_(std::move(other.target_)),
      staging_(std::exchange(other.staging_, {})),
      made_parents_(std::exchange(other.made_parents_, {})) {}

StagedFolder::~StagedFolder() {
  std::error_code ignored;
  if (!staging_.empty()) fs::remove_all(staging_, ignored);
  for (auto p = made_parents_.rbegin(); p != made_parents_.rend(); ++p) ::rmdir(p->c_str());
}

Findings StagedFolder::swap_in(const std::function<Findings(const fs::path&)>& may_replace) {
  std::vector<fs::path> folders = {staging_};
  std::error_code error;
  for (auto it = fs::recursive_directory_iterator(staging_, error); !error && it != fs::end(it); it.increment(error)) {
    if (it->is_directory()) {
      folders.push_back(it->path());
    } else if (const int failed = sync_path(it->path(), 0)) {
      return {unwritable(target_, failed)};
    }
  }
  if (error) return {unwritable(target_, error.value())};
  for (const fs::path& folder : folders)
    if (const int failed = sync_path(folder, O_DIRECTORY)) return {unwritable(target_, failed)};

  if (fs::exists(fs::symlink_status(target_, error))) {
    if (Findings refused = may_replace(target_); !refused.empty()) return refused;
#ifdef RENAME_EXCHANGE
    if (::renameat2(AT_FDCWD, staging_.c_str(), AT_FDCWD, target_.c_str(), RENAME_EXCHANGE) == 0) {
      sync_path(folder_of(target_), O_DIRECTORY);
      return {};  // the old packet now bears the staging name; the destructor removes it
    }
    if (errno != EINVAL && errno != ENOSYS) return {unwritable(target_, errno)};
#endif
    const fs::path aside = staging_.string() + ".old";
    if (::rename(target_.c_str(), aside.c_str()) != 0) return {unwritable(target_, errno)};
    if (::rename(staging_.c_str(), target_.c_str()) != 0) {
      const int failed = errno;
      ::rename(aside.c_str(), target_.c_str());
      return {unwritable(target_, failed)};
    }
    staging_ = aside;
  } else {
    if (::rename(staging_.c_str(), target_.c_str()) != 0) return {unwritable(target_, errno)};
    staging_.clear();
  }
  made_parents_.clear();
  sync_path(folder_of(target_), O_DIRECTORY);
  return {};
}

}  // namespace kerfkiln::output
