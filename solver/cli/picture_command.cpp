// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/picture_command.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "solver/picture/picture.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

int write_all(int file, const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t n = ::write(file, bytes.data() + done, bytes.size() - done);
    if (n < 0 && errno != EINTR) return errno;
    if (n > 0) done += static_cast<std::size_t>(n);
  }
  return ::fsync(file) == 0 ? 0 : errno;
}

// 0, or the errno of what failed; then nothing of it is left.
int write_whole(const std::string& path, const std::string& bytes) {
  std::string beside = path + ".XXXXXX";
  const int file = ::mkstemp(beside.data());
  if (file < 0) return errno;
  int failed = write_all(file, bytes);
  const mode_t mask = ::umask(0);
  ::umask(mask);
  if (failed == 0 && ::fchmod(file, 0666 & ~mask) != 0) failed = errno;
  if (::close(file) != 0 && failed == 0) failed = errno;
  if (failed == 0 && std::rename(beside.c_str(), path.c_str()) != 0) failed = errno;
  if (failed != 0) ::unlink(beside.c_str());
  return failed;
}

}  // namespace

std::optional<PictureFault> write_picture(const Job& job, const CandidateResult& result,
                                          const Arguments& arguments) {
  PictureOptions options;
  options.side = arguments.view == kCloseView ? std::nullopt : side_named(arguments.view);
  options.size = {arguments.picture_width, arguments.picture_height};
  options.unit = arguments.units.value_or(job.vehicle.shown_in);
  options.threads = arguments.threads ? Threads{*arguments.threads} : Threads::of_machine();
  const std::optional<Picture> picture = picture_of(job, result, options);
  if (!picture)
    return PictureFault{
        ExitCode::nothing_fits,
        fmt::format("no picture: {}", options.side ? "the parts of the best candidate do not bolt together"
                                                   : "no place decides, so there is nothing to go near to; "
                                                     "take a --view from a side")};
  if (const int failed = write_whole(arguments.out_file, picture->png); failed != 0)
    return PictureFault{ExitCode::failure, fmt::format("{} could not be written: {}",
                                                       safe_text(arguments.out_file), std::strerror(failed))};
  return std::nullopt;
}

}  // namespace hosefit
