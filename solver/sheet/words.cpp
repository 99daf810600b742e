// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/sheet/sections.h"

namespace hosefit {

std::string pump_name(const Job& job, const CandidateResult& result) {
  return safe_text(job.family.pumps[result.candidate.pump].name);
}

std::string plain_word(std::string_view stable) {
  std::string out(stable);
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string binding_sentence(const Job& job, const CandidateResult& result, LengthUnit unit) {
  const std::optional<Bay> bay = bay_of(job, result);
  const WordsContext context{unit, bay ? &*bay : nullptr, true};
  for (const Finding& finding : result.findings) {
    if (finding.severity != Severity::stop) continue;
    const FindingWords words = words_of(finding, context);
    return fmt::format("{}. {}", words.brief, words.consequence);
  }
  return binding_words(result, context) + ".";
}

const GapRecord* proved_tightest(const CandidateResult& result, std::size_t line) {
  for (const LineProof& proof : result.proof.lines)
    if (proof.line == line && proof.proved && !proof.gaps.empty()) return &proof.gaps.front();
  return nullptr;
}

std::string both_gap_words(const GapRecord& gap) {
  const double spare_mm = gap.found_mm - gap.required_mm;
  return fmt::format("{}: {} found, {} needed, {} {}", safe_text(gap.other),
                     both_short(Length::mm(gap.found_mm)), both_short(Length::mm(gap.required_mm)),
                     both_short(Length::mm(std::abs(spare_mm))), spare_mm < 0 ? "short" : "to spare");
}

std::string scald_caution() {
  return "CAUTION: hot coolant under pressure scalds. Open no cap, bleed screw or hose until the engine is "
         "cool enough to touch.";
}
std::string belt_caution() {
  return "CAUTION: fan and belts catch hands, hair and sleeves, and an electric fan may start with the "
         "ignition off. Keep clear, and disconnect the battery before reaching in.";
}
std::string steering_caution() {
  return "CAUTION: a hose against steering or throttle can lock it. Any contact is a stop: the vehicle does "
         "not move until it is cured, whatever the figures on this sheet say.";
}
std::string exhaust_caution(CoolantFluid fluid) {
  return fluid == CoolantFluid::water
             ? "CAUTION: exhaust parts burn skin and hose, and water on them flashes to steam. Let them "
               "cool, "
               "repair a leak at once."
             : "CAUTION: exhaust parts burn skin and hose, and coolant on a hot exhaust can catch fire. Let "
               "them cool, wipe up drips, repair a leak at once.";
}
std::string coolant_words(const CoolantData& coolant) {
  if (coolant.fluid == CoolantFluid::water) return "plain water, which freezes and lets metal corrode";
  return fmt::format("water with {:.0f} % {} by {}", 100.0 * coolant.share,
                     coolant.fluid == CoolantFluid::ethylene_glycol ? "ethylene glycol" : "propylene glycol",
                     coolant.share_by == ShareBy::volume ? "volume" : "mass");
}

}  // namespace hosefit
