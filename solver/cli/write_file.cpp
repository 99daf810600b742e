// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/write_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "solver/cli/surroundings.h"

namespace hosefit {
namespace {

constexpr int kNamesTried = 100;

std::string failed(const std::string& what, const std::string& path, int error) {
  return fmt::format("{} could not be {}: {}", path, what, std::strerror(error));
}

/// Closes, and removes unless it was renamed away.
class NewFile {
 public:
  explicit NewFile(const std::filesystem::path& folder) {
    for (int n = 0; n < kNamesTried && descriptor_ < 0; ++n) {
      path_ = (folder / fmt::format(".hosefit-{}-{}.part", getpid(), n)).string();
      descriptor_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (descriptor_ < 0 && errno != EEXIST) break;
    }
    error_ = descriptor_ < 0 ? errno : 0;
  }
  ~NewFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (error_ == 0 && !renamed_) ::unlink(path_.c_str());
  }
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;

  int open_error() const { return error_; }
  int descriptor() const { return descriptor_; }
  /// 0 or the errno. To disk before the rename: else a crash could leave an empty file under the old name.
  int finish_as(const std::string& target) {
    if (::fsync(descriptor_) != 0 && errno != EINVAL && errno != EROFS) return errno;
    const int closed = ::close(descriptor_);
    descriptor_ = -1;
    if (closed != 0) return errno;
    if (::rename(path_.c_str(), target.c_str()) != 0) return errno;
    renamed_ = true;
    return 0;
  }

 private:
  std::string path_;
  int descriptor_ = -1;
  int error_ = 0;
  bool renamed_ = false;
};

std::optional<std::string> write_through(const std::string& path, std::string_view bytes) {
  const int descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (descriptor < 0) return failed("opened", path, errno);
  const int error = sink_of(descriptor)(bytes);
  const int closed = ::close(descriptor) != 0 ? errno : 0;
  if (error != 0 || closed != 0) return failed("written", path, error != 0 ? error : closed);
  return std::nullopt;
}

void to_disk(const std::filesystem::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;  // the file itself is safe; not every file system lets a folder be opened
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace

std::optional<std::string> write_file(const std::string& path, std::string_view bytes) {
  std::error_code unknown;
  const std::filesystem::path real = std::filesystem::canonical(path, unknown);
  const std::string target = unknown ? path : real.string();
  struct stat before {};
  const bool there = ::stat(target.c_str(), &before) == 0;
  if (there && S_ISDIR(before.st_mode)) return failed("written", path, EISDIR);
  if (there && !S_ISREG(before.st_mode)) return write_through(target, bytes);
  std::filesystem::path folder = std::filesystem::path(target).parent_path();
  if (folder.empty()) folder = ".";
  NewFile file(folder);
  if (file.open_error() != 0)
    return fmt::format("{} could not be written: no file can be made in {}: {}", path, folder.string(),
                       std::strerror(file.open_error()));
  if (there)
    ::fchmod(file.descriptor(), before.st_mode & 07777U);  // refused: the new file keeps the usual mode
  if (const int error = sink_of(file.descriptor())(bytes); error != 0) return failed("written", path, error);
  if (const int error = file.finish_as(target); error != 0) return failed("written", path, error);
  to_disk(folder);
  return std::nullopt;
}

}  // namespace hosefit
