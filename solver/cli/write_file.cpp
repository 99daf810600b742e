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
#include <memory>
#include <vector>

#include "solver/cli/surroundings.h"

namespace hosefit {
namespace {

constexpr int kNamesTried = 100;

std::string failed(const std::string& what, const std::string& path, int error) {
  return fmt::format("{} could not be {}: {}", path, what, std::strerror(error));
}

/// A new file in a folder; closed, and removed unless it was renamed away.
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
  int close_on_disk() {
    if (::fsync(descriptor_) != 0 && errno != EINVAL && errno != EROFS) return errno;
    const int closed = ::close(descriptor_);
    descriptor_ = -1;
    return closed != 0 ? errno : 0;
  }
  int rename_to(const std::string& target) {
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

/// One file on its way to its name.
class Delivery {
 public:
  explicit Delivery(const FileToWrite& what) : path_(what.path), bytes_(what.bytes) {
    std::error_code unknown;
    const std::filesystem::path real = std::filesystem::canonical(path_, unknown);
    target_ = unknown ? path_ : real.string();
    struct stat before {};
    there_ = ::stat(target_.c_str(), &before) == 0;
    mode_ = before.st_mode;
    folder_ = std::filesystem::path(target_).parent_path();
    if (folder_.empty()) folder_ = ".";
  }
  ~Delivery() { ::unlink(kept_.c_str()); }
  Delivery(const Delivery&) = delete;
  Delivery& operator=(const Delivery&) = delete;

  /// All bytes on disk under another name; nothing of it for what is no regular file.
  std::optional<std::string> prepare() {
    if (there_ && S_ISDIR(mode_)) return failed("written", path_, EISDIR);
    if (writes_through()) return std::nullopt;
    file_ = std::make_unique<NewFile>(folder_);
    if (file_->open_error() != 0)
      return fmt::format("{} could not be written: no file can be made in {}: {}", path_, folder_.string(),
                         std::strerror(file_->open_error()));
    if (there_) ::fchmod(file_->descriptor(), mode_ & 07777U);  // refused: the new file keeps the usual mode
    if (const int error = sink_of(file_->descriptor())(bytes_); error != 0)
      return failed("written", path_, error);
    if (const int error = file_->close_on_disk(); error != 0) return failed("written", path_, error);
    return std::nullopt;
  }
  /// keep_old: what was there can be put back.
  std::optional<std::string> finish(bool keep_old) {
    if (writes_through()) return write_through(target_, bytes_);
    if (keep_old && there_) keep_what_was_there();
    if (const int error = file_->rename_to(target_); error != 0) return failed("written", path_, error);
    to_disk(folder_);
    return std::nullopt;
  }
  /// After finish(true), when another file of the same set could not be finished.
  void undo() {
    if (writes_through()) return;
    if (!there_)
      ::unlink(target_.c_str());
    else if (!kept_.empty())
      ::rename(kept_.c_str(), target_.c_str());
  }

 private:
  bool writes_through() const { return there_ && !S_ISREG(mode_); }
  void keep_what_was_there() {
    const std::string name = (folder_ / fmt::format(".hosefit-{}-{}.old", getpid(),
                                                    std::filesystem::path(target_).filename().string()))
                                 .string();
    if (::link(target_.c_str(), name.c_str()) == 0) kept_ = name;
  }

  std::string path_, target_, kept_;
  std::string_view bytes_;
  std::filesystem::path folder_;
  bool there_ = false;
  mode_t mode_ = 0;
  std::unique_ptr<NewFile> file_;
};

}  // namespace

std::optional<std::string> write_file(const std::string& path, std::string_view bytes) {
  const FileToWrite only{path, bytes};
  return write_files({&only, 1});
}

std::optional<std::string> write_files(std::span<const FileToWrite> files) {
  std::vector<std::unique_ptr<Delivery>> deliveries;
  for (const FileToWrite& file : files) {
    deliveries.push_back(std::make_unique<Delivery>(file));
    if (auto problem = deliveries.back()->prepare()) return problem;
  }
  for (std::size_t i = 0; i < deliveries.size(); ++i) {
    auto problem = deliveries[i]->finish(i + 1 < deliveries.size());
    if (!problem) continue;
    for (std::size_t k = 0; k < i; ++k) deliveries[k]->undo();
    return problem;
  }
  return std::nullopt;
}

}  // namespace hosefit
