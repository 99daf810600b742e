// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/words.h"

#include <catch2/catch.hpp>
#include <set>

#include "solver/report/rule_words.h"

using namespace hosefit;

namespace {

// The last rule of the catalogue; a rule added behind it without words is caught by the first test.
constexpr RuleId kLastRule = RuleId::tee_flow;

std::vector<RuleId> every_rule() {
  std::vector<RuleId> out;
  for (int i = 0; i <= static_cast<int>(kLastRule); ++i) out.push_back(static_cast<RuleId>(i));
  return out;
}

Finding short_gap() {
  Finding finding;
  finding.rule = RuleId::gap;
  finding.severity = Severity::stop;
  finding.subject = "upper";
  finding.other = "throttle body";
  finding.where_mm = Vec3(410.2, -84.4, 620.0);
  finding.measured = 8.0;
  finding.limit = 12.0;
  finding.margin = -4.0;
  finding.unit = FindingUnit::mm;
  return finding;
}

}  // namespace

TEST_CASE("every rule has its own brief, consequence and action") {
  REQUIRE_FALSE(word(kLastRule).empty());
  REQUIRE(word(static_cast<RuleId>(static_cast<int>(kLastRule) + 1)).empty());
  std::set<std::string> seen;
  for (const RuleId rule : every_rule()) {
    Finding finding = short_gap();
    finding.rule = rule;
    const FindingWords words = words_of(finding, {});
    CAPTURE(word(rule), words.brief);
    CHECK_FALSE(words.brief.empty());
    CHECK(words.consequence.ends_with('.'));
    CHECK(words.action.ends_with('.'));
    CHECK(words.brief.find_first_of("{}[]") == std::string::npos);
    CHECK(seen.insert(words.brief).second);
  }
}

TEST_CASE("a rule without any figure still makes a whole sentence") {
  for (const RuleId rule : every_rule()) {
    Finding finding;
    finding.rule = rule;
    finding.subject = "upper";
    const std::string text = sentences(finding, {});
    CAPTURE(word(rule), text);
    CHECK(text.find_first_of("{}[]") == std::string::npos);
    CHECK(text.find(" ,") == std::string::npos);
    CHECK(text.find("  ") == std::string::npos);
  }
}

TEST_CASE("a short gap is told with the obstacle, the missing amount and both figures") {
  CHECK(words_of(short_gap(), {}).brief == "upper: throttle body, 4.0 mm short (needs 12.0, found 8.0)");
  CHECK(words_of(short_gap(), {LengthUnit::inch, nullptr}).brief ==
        "upper: throttle body, 0.16 in short (needs 0.47, found 0.31 (5/16))");
  CHECK(words_of(short_gap(), {}).where == "x 410, 84 left, z 620 mm");
}

TEST_CASE("on paper every length of a finding stands in mm and in inches") {
  const WordsContext paper{LengthUnit::inch, nullptr, true};
  CHECK(words_of(short_gap(), paper).brief ==
        "upper: throttle body, 4.0 mm (0.16 in) short; needs 12.0 mm (0.47 in), found 8.0 mm (5/16 in)");
  Finding joints = short_gap();
  joints.rule = RuleId::joint_count;
  joints.unit = FindingUnit::count;
  joints.measured = 10;
  joints.limit = 4;
  joints.margin = -6;
  CHECK(words_of(joints, paper).brief == "upper: many joints, 6 too much; at most 4, found 10");
}

TEST_CASE("the sense of a bound follows the finding's own numbers") {
  Finding belt;
  belt.rule = RuleId::belt_plane;
  belt.subject = "short pump";
  belt.measured = 4.0;
  belt.limit = 3.0;
  belt.margin = -1.0;
  belt.unit = FindingUnit::mm;
  CHECK(words_of(belt, {}).brief == "short pump: belt line, 1.0 mm too much (at most 3.0, found 4.0)");
  Finding angle = belt;
  angle.rule = RuleId::bend_angle;
  angle.measured = 37.0;
  angle.limit = 45.0;
  angle.margin = -8.0;
  angle.unit = FindingUnit::deg;
  CHECK(words_of(angle, {}).brief.ends_with("8.00 deg short (needs 45.00, found 37.00)"));
}

TEST_CASE("parts that overlap are said to miss at least the gap") {
  Finding clash = short_gap();
  clash.rule = RuleId::rigid_clash;
  clash.measured = 0.0;
  clash.margin = -12.0;
  clash.parameters = {{"overlap", "yes"}};
  CHECK(words_of(clash, {}).brief ==
        "upper: against throttle body, at least 12.0 mm short (needs 12.0, they overlap)");
}

TEST_CASE("names cannot steer a terminal") {
  Finding finding = short_gap();
  finding.subject = "up\x1b[31mper\r\n";
  finding.other = std::string("thr\0ttle \xff \xe2\x80\xae", 14) + "x\xc2\x9b";
  const std::string text = sentences(finding, {});
  for (const char c : text)
    CHECK((static_cast<unsigned char>(c) >= 0x20 && static_cast<unsigned char>(c) != 0x7f));
  CHECK(text.find("\xe2\x80\xae") == std::string::npos);
  CHECK(text.find("\xc2\x9b") == std::string::npos);
  CHECK(text.find("up?[31mper??") == 0);
  CHECK(safe_text("Tür <script>\"=1+1\"") == "Tür <script>\"=1+1\"");
}

TEST_CASE("an unsigned or untitled origin is not passed off as a source") {
  CHECK(provenance_words({Source::standard, "ISO 1307:2006", "", ""}) == "limit: standard, ISO 1307:2006");
  CHECK(provenance_words({Source::handbook, "", "", ""}).find("unsourced") != std::string::npos);
  CHECK(provenance_words({Source::shop, "", "", ""}).find("unsigned") != std::string::npos);
  CHECK(provenance_words({Source::from_memory, "", "", ""}) == "limit: from memory");
}

TEST_CASE("a cut length is told in both units") {
  CHECK(both_units(Length::mm(412.0)) == "412.0 mm (16.22 in, near 16-1/4)");
  CHECK(both_units(Length::inch(2.0)) == "50.8 mm (2.00 in)");
}
