// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/check_text.h"

#include <fmt/format.h>

#include "solver/input/check_report.h"
#include "solver/report/tape_report.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string how(const ReviewEntry& entry, LengthUnit unit) {
  const std::string method(word(entry.method));
  return entry.accuracy ? fmt::format("{}, within {}", method, length_words(*entry.accuracy, unit)) : method;
}

void list(Page& page, const std::string& title, const std::vector<ReviewEntry>& entries, bool measured,
          LengthUnit unit) {
  page.heading(title);
  if (entries.empty()) {
    page.line("Nothing.", 2, 0);
    return;
  }
  std::vector<std::vector<Cell>> rows;
  for (const ReviewEntry& entry : entries) {
    std::vector<Cell> row{{{entry.what}}};
    if (measured) row.push_back({{how(entry, unit)}});
    row.push_back({{entry.why}});
    rows.push_back(row);
  }
  if (measured)
    page.table({"what", "how", "why it matters"}, rows, 2);
  else
    page.table({"what", "why it matters"}, rows, 2);
}

}  // namespace

std::string check_text(const Job& job, const TextLook& look) {
  const InputReview found = review(job);
  Page page(look);
  page.line(
      fmt::format("The input of {} is sound: every file reads and every name is known.", job.vehicle.name), 0,
      2, Tint::good);
  page.heading("Worth measuring next");
  int n = 0;
  for (const std::string& sentence : found.advice) page.line(fmt::format("{}. {}", ++n, sentence), 2, 3);
  if (n == 0) page.line("Nothing stands out.", 2, 0);
  list(page, "Missing", found.missing, false, look.unit);
  list(page, "Assumed or from memory", found.assumed, true, look.unit);
  list(page, "Measured", found.measured, true, look.unit);
  if (!found.scans.empty()) {
    page.heading("Meshes");
    for (const std::string& sentence : found.scans) page.line(sentence, 2, 2);
    page.blank();
  }
  tape_text(page, job.vehicle.tape);
  page.line("Where the file states no accuracy, that of the method is from memory.", 2, 0);
  page.blank();
  page.line(fmt::format("Input fingerprint {}.", job.input_fingerprint));
  return page.text();
}

}  // namespace hosefit
