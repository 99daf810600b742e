// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/size_command.h"

#include "solver/cli/candidate_choice.h"
#include "solver/order/order_list.h"
#include "solver/report/size_report.h"

namespace hosefit {
namespace {

constexpr int kFileWidth = 100;

std::string report_of(const Desk& desk, const SizeReport& report) {
  if (desk.arguments.json) return size_json(report);
  if (desk.arguments.csv) return size_csv(report);
  TextLook look;
  look.unit = desk.arguments.units.value_or(report.job.vehicle.shown_in);
  look.width = kFileWidth;
  if (!desk.arguments.out_file) {
    look.width = text_width(desk.around);
    look.colour = wants_colour(desk.around);
    look.utf8 = wants_utf8(desk.around);
  }
  return size_text(report, look);
}

}  // namespace

ExitCode size(const Desk& desk, Job job) {
  return with_one_set(desk, std::move(job), [&](const Prepared& prepared, const CandidateResult& best) {
    const Job& judged = prepared.job();
    const std::vector<CutSheet> sheets = cut_sheets(judged, best);
    const OrderList list = order_list(judged, best, sheets);
    const SizeReport report{judged, best, sheets, list, desk.around.version};
    return deliver(desk, report_of(desk, report), code_of(best.verdict.fit));
  });
}

}  // namespace hosefit
