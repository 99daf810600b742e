// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/text.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "tests/report/told_choice.h"

using namespace hosefit;

namespace {

TextLook look_of(int width) {
  TextLook look;
  look.width = width;
  return look;
}

std::string flat(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;) out += word + " ";
  return out;
}

int widest(const std::string& text) {
  std::istringstream in(text);
  int out = 0;
  for (std::string line; std::getline(in, line);) out = std::max(out, display_width(line));
  return out;
}

}  // namespace

TEST_CASE("the report fits every width and loses no word of a reason") {
  for (const int width : {40, 60, 80, 120, 200}) {
    CAPTURE(width);
    const std::string text = pick_text(told::job(), told::choice(), {"0.1.0", {}}, look_of(width));
    CHECK(widest(text) <= width);
    const std::string words = flat(text);
    CHECK(words.find("upper: no way through for a hose of this width: throttle body, 4.0 mm short (needs "
                     "12.0, found 8.0)") != std::string::npos);
    CHECK(words.find("Move what is named, or move a neck to the other side.") != std::string::npos);
    CHECK(words.find("bench test of a like pump, from memory") != std::string::npos);
    CHECK(words.find("cut 412.0 mm (16.22 in, near 16-1/4)") != std::string::npos);
    CHECK(words.find("planning aid only") != std::string::npos);
  }
}

TEST_CASE("every column of the table keeps all its words at every width") {
  for (const int width : {60, 80, 120, 200}) {
    CAPTURE(width);
    const std::string text = pick_text(told::job(), told::choice(), {"0.1.0", {}}, look_of(width));
    std::istringstream table(text.substr(0, text.find("Why tall pump is first")));
    std::string all((std::istreambuf_iterator<char>(table)), {});
    for (const char* word :
         {"tall",     "short", "truck", "swivel,", "clock", "45",    "deg", "fits", "hoses,",  "joints",
          "throttle", "14.2",  "needs", "12.0",    "98",    "L/min", "(84", "113)", "cruise,", "short"})
      CHECK(all.find(word) != std::string::npos);
  }
}

TEST_CASE("no flow is told without the source of its curve") {
  const std::string with = pick_text(told::job(), told::choice(), {"0.1.0", {}}, look_of(120));
  CHECK(with.find("98 L/min") != std::string::npos);
  Choice without = told::choice();
  without.candidates[0].flow.reset();
  CHECK(pick_text(told::job(), without, {"0.1.0", {}}, look_of(120)).find("L/min") == std::string::npos);
  Choice other = told::choice();
  other.candidates[0].flow = told::flow("a curve nobody ever drew");
  CHECK(flat(pick_text(told::job(), other, {"0.1.0", {}}, look_of(60))).find("a curve nobody ever drew") !=
        std::string::npos);
}

TEST_CASE("cautions stand with what they concern") {
  const std::string text = flat(pick_text(told::job(), told::choice(), {"0.1.0", {}}, look_of(100)));
  const auto after = [&](const char* section, const char* caution) {
    const auto at = text.find(section);
    REQUIRE(at != std::string::npos);
    return text.find(caution, at) != std::string::npos;
  };
  CHECK(after("Hoses with tall pump", "hot coolant under pressure scalds"));
  CHECK(after("Hoses with tall pump", "Any contact there is a stop"));
  CHECK(after("Flow and losses", "poisonous"));
  CHECK(after("To change", "fan and belts"));
  CHECK(after("drive: truck drive", "crank damper"));
  Choice same_drive = told::choice();
  same_drive.candidates[0].changes = {"pump: tall pump"};
  CHECK(flat(pick_text(told::job(), same_drive, {"0.1.0", {}}, look_of(100))).find("crank damper") ==
        std::string::npos);
}

TEST_CASE("what the engine's motion leaves is told line by line, and only when it was asked for") {
  Job job = told::job();
  job.motion.roll = Angle::deg(4);
  job.motion.lift = Length::mm(10);
  job.motion.provenance = {Source::from_memory, "", "", ""};
  Choice choice = told::choice();
  CandidateResult& best = choice.candidates[choice.ranking.front().best];
  MotionAnswer answer;
  answer.lines.resize(best.routes.size());
  REQUIRE(answer.lines.size() >= 2);
  answer.lines[0].proved = true;
  answer.lines[0].line = 0;
  MotionGap gap;
  gap.other = "hood\x1b[31m";
  gap.required_mm = 6;
  gap.found_mm = 9.25;
  gap.place = {Angle::deg(-4).rad(), 10, -15, 8};
  answer.lines[0].gaps = {gap};
  answer.lines[1].line = 1;
  Finding finding;
  finding.rule = RuleId::motion_gap;
  finding.severity = Severity::stop;
  finding.subject = "lower";
  finding.other = "battery tray";
  finding.measured = 2, finding.limit = 6, finding.margin = -4;
  finding.unit = FindingUnit::mm;
  answer.lines[1].findings = {finding};
  best.motion = answer;
  const std::string asked = flat(pick_text(job, choice, {"0.1.0", {}, true}, look_of(200)));
  CHECK(asked.find("not everything holds") != std::string::npos);
  CHECK(asked.find("lower: battery tray when the engine moves, 4.0 mm short (needs 6.0, found 2.0)") !=
        std::string::npos);
  CHECK(asked.find("rolled 4.0 deg left side up, 10.0 mm up, 15.0 mm forward, 8.0 mm right") !=
        std::string::npos);
  CHECK(asked.find("figures from memory") != std::string::npos);
  CHECK(asked.find('\x1b') == std::string::npos);
  const std::string not_asked = pick_text(job, choice, {"0.1.0", {}, false}, look_of(200));
  CHECK(not_asked.find("With the engine moving on its mounts") == std::string::npos);
}

TEST_CASE("what is not known in motion of several lines is one sentence, and the clips that hold are told") {
  const Job job = told::job();
  Choice choice = told::choice();
  MotionAnswer answer;
  CandidateResult& best = choice.candidates[choice.ranking.front().best];
  answer.lines.resize(best.routes.size());
  REQUIRE(answer.lines.size() >= 2);
  answer.lines[0].clips_wanted = 2;
  ClipPlace clip;
  clip.s_mm = 226;
  clip.to = ObstacleRef{0, 0};
  clip.reach_mm = 34;
  answer.lines[0].clips = {clip};
  for (const char* other : {"lower", "vent"}) {
    Finding finding;
    finding.rule = RuleId::motion_gap;
    finding.severity = Severity::stop;
    finding.undecided = true;
    finding.subject = "upper";
    finding.other = other;
    finding.parameters["reason"] = "takes_no_shape";
    answer.lines[0].findings.push_back(finding);
  }
  answer.lines[0].findings.push_back(answer.lines[0].findings.back());
  answer.lines[0].findings.back().other = "hood";
  answer.lines[0].findings.back().parameters["reason"] = "boxes_spent";
  const BodyStore bodies(job);
  const std::string held = assemble(job, bodies, best.candidate).bodies[0].body->obstacles[0].name;
  best.motion = answer;
  const std::string text = flat(pick_text(job, choice, {"0.1.0", {}, true}, look_of(200)));
  const auto has = [&](const std::string& words) { return text.find(words) != std::string::npos; };
  CHECK(has("upper: lower, vent when the engine moves; one of the two takes no shape"));
  CHECK(has("upper: hood when the engine moves; bounded too loosely"));
  CHECK(has("with 1 clip (its length asks for 2): 226.0 mm along, on " + held + ", 34.0 mm off it"));
  CHECK_FALSE(has("with 0 clips"));
}

TEST_CASE("the caution about the coolant is that of its fluid") {
  const auto text_with = [](CoolantFluid fluid) {
    Job job = told::job();
    job.vehicle.coolant.fluid = fluid;
    return flat(pick_text(job, told::choice(), {"0.1.0", {}}, look_of(100)));
  };
  CHECK(text_with(CoolantFluid::ethylene_glycol).find("coolant is poisonous and tastes sweet") !=
        std::string::npos);
  CHECK(text_with(CoolantFluid::propylene_glycol).find("less poisonous than others") != std::string::npos);
  const std::string water = text_with(CoolantFluid::water);
  CHECK(water.find("poisonous") == std::string::npos);
  CHECK(water.find("glycol") == std::string::npos);
}

TEST_CASE("the quantity that decides is named, and only one decides") {
  const std::string text = flat(pick_text(told::job(), told::choice(), {"0.1.0", {}}, look_of(100)));
  const auto at = text.find("this decides");
  REQUIRE(at != std::string::npos);
  CHECK(text.find("this decides", at + 1) == std::string::npos);
  CHECK(text.find("verdict: fits, the next does not fit - this decides") != std::string::npos);
}

TEST_CASE("names with escapes, quotes, tags and formulas do not break the text") {
  for (const char* name :
       {"\x1b[2Jpump", "<script>alert(1)</script>", "=1+1", "\"quoted\" 'pump'", "a\r\nb", "\xff\xfe"}) {
    const std::string text = pick_text(told::job(name), told::choice(), {"0.1.0", {}}, look_of(80));
    for (const char c : text) CHECK((c == '\n' || (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f)));
    CHECK(widest(text) <= 80);
  }
}

TEST_CASE("height windows are drawn over the intake's whole range") {
  ReportExtras extras{
      "0.1.0",
      {{0,
        {{Length::mm(250), Length::mm(300), Fit::does_not_fit, told::stop_on_upper(), Length::mm(275)},
         {Length::mm(300), Length::mm(350), Fit::fits, std::nullopt}}}}};
  TextLook look = look_of(80);
  look.utf8 = false;
  const std::string text = pick_text(told::job(), told::choice(), extras, look);
  CHECK(text.find("|" + std::string(36, '-') + std::string(36, '#') + "|") != std::string::npos);
  CHECK(flat(text).find("250.0 mm to 300.0 mm (50.0 mm): does not fit; at 275.0 mm: upper: no way through") !=
        std::string::npos);
}

TEST_CASE("an interrupted answer says so and one with nothing in it still reads") {
  Choice stopped = told::choice();
  stopped.stopped = true;
  stopped.candidates_left = 3;
  CHECK(flat(pick_text(told::job(), stopped, {"0.1.0", {}}, look_of(80)))
            .find("Interrupted: 3 combinations not judged.") != std::string::npos);
  Choice empty;
  CHECK(flat(pick_text(told::job(), empty, {"0.1.0", {}}, look_of(80))).find("No pump was judged.") !=
        std::string::npos);
}
