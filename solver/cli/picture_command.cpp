// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/picture_command.h"

#include "solver/cli/candidate_choice.h"
#include "solver/picture/picture.h"

namespace hosefit {

ExitCode draw(const Desk& desk, Job job) {
  return with_one_set(desk, std::move(job), [&](const Prepared& prepared, const CandidateResult& best) {
    const Arguments& arguments = desk.arguments;
    PictureOptions options;
    options.side = arguments.view == kCloseView ? std::nullopt : side_named(arguments.view);
    options.size = {arguments.picture_width, arguments.picture_height};
    options.unit = arguments.units.value_or(prepared.job().vehicle.shown_in);
    options.threads = arguments.threads ? Threads{*arguments.threads} : Threads::of_machine();
    const std::optional<Picture> picture = picture_of(prepared, best, options);
    if (!picture)
      return refuse(desk,
                    options.side ? "no picture: the parts of this set do not bolt together"
                                 : "no picture: no place decides, so there is nothing to go near to; take a "
                                   "--view from a side",
                    ExitCode::nothing_fits);
    return deliver(desk, picture->png, code_of(best.verdict.fit));
  });
}

}  // namespace hosefit
