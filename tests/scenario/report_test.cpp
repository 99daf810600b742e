// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json.h"
#include "solver/report/text.h"
#include "tests/scenario/bundled.h"
#include "tests/support/approve.h"

using namespace hosefit;

namespace {

TextLook plain_look(LengthUnit unit) {
  TextLook look;
  look.width = 110;
  look.unit = unit;
  return look;
}

void approve_report(const std::string& vehicle, LengthUnit unit) {
  const Prepared prepared(bundled_job(vehicle));
  const Query query = question_of(prepared.job());
  const Choice choice = choice_at(prepared, query.height.mm());
  ReportExtras extras;
  extras.version = "test";
  approve(vehicle + ".approved.txt", pick_text(prepared.job(), choice, extras, plain_look(unit)));
}

}  // namespace

TEST_CASE("the report of the pickup is the approved one", "[golden]") {
  approve_report("harrow_half_ton", LengthUnit::inch);
}

TEST_CASE("the report of the coupe is the approved one", "[golden]") {
  approve_report("linnet_coupe", LengthUnit::mm);
}

TEST_CASE("one thread and eight give the same report, byte for byte") {
  const Job job = bundled_job("linnet_coupe");
  std::string first;
  for (const unsigned threads : {1U, 2U, 8U}) {
    const Prepared prepared{Job(job)};
    ReportExtras extras;
    extras.version = "test";
    const std::string json = pick_json(prepared.job(), choice_at(prepared, 302, threads), extras);
    if (first.empty()) first = json;
    CHECK((json == first));
  }
  CHECK(first.size() > 10000);
}
