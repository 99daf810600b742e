// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json_values.h"

#include <cmath>

#include "solver/report/words.h"

namespace hosefit {
namespace {

// Finer than anything that is measured, coarser than what rounding differs by between compilers.
constexpr double kSteps = 1e6;
// Directions and angles act over the length of a hose: 1e-9 of a metre is still far below a micrometre.
constexpr double kDirectionSteps = 1e9;

Json rounded_to(double value, double steps) {
  if (!std::isfinite(value)) return nullptr;
  const double rounded = std::round(value * steps) / steps;
  if (!std::isfinite(rounded)) return value;  // too large for the steps to matter
  return rounded == 0.0 ? 0.0 : rounded;      // never -0.0
}

std::string_view word(FindingUnit unit) {
  switch (unit) {
    case FindingUnit::mm:
      return "mm";
    case FindingUnit::deg:
      return "deg";
    case FindingUnit::kpa:
      return "kPa";
    case FindingUnit::m_s:
      return "m/s";
    case FindingUnit::count:
      return "count";
    case FindingUnit::none:
      return "none";
  }
  return "";
}

}  // namespace

Json number(double value) {
  return rounded_to(value, kSteps);
}

Json direction_number(double value) {
  return rounded_to(value, kDirectionSteps);
}

Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json number(Length value) {
  return number(value.mm());
}

Json number(const std::optional<Length>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json number(const std::optional<Angle>& value) {
  return value ? number(value->rad()) : Json(nullptr);
}

Json place(const Vec3& p_mm) {
  return Json::array({number(p_mm.x()), number(p_mm.y()), number(p_mm.z())});
}

Json provenance_json(const Provenance& p) {
  return {{"source", hosefit::word(p.source)},
          {"title", p.title},
          {"signer", p.signer},
          {"reason", p.reason},
          {"counts_as", is_signed(p)    ? "signed"
                        : is_sourced(p) ? "sourced"
                                        : "unsourced"}};
}

Json necks_json(const Job& job, const CandidateResult& result) {
  Json out = Json::array();
  for (const StandingNeck& neck : result.necks) {
    Json slides = Json::array();
    for (const Length slid : neck.place.slid) slides.push_back(number(slid));
    const auto fine = [](double value) { return direction_number(value); };
    out.push_back(
        {{"name", job.vehicle.necks[neck.neck].name},
         {"as_written", neck.as_written},
         {"slide_mm", slides},
         {"turn_rad", number(neck.place.turned.rad())},
         {"end", place(neck.end_mm)},
         {"outward", Json::array({fine(neck.outward.x()), fine(neck.outward.y()), fine(neck.outward.z())})}});
  }
  return out;
}

Json finding_json(const Finding& finding) {
  Json out{{"rule", hosefit::word(finding.rule)},
           {"severity", hosefit::word(finding.severity)},
           {"undecided", finding.undecided},
           {"subject", finding.subject},
           {"other", finding.other}};
  out["where"] = finding.where_mm ? place(*finding.where_mm) : Json(nullptr);
  out["measured"] = number(finding.measured);
  out["limit"] = number(finding.limit);
  out["margin"] = number(finding.margin);
  out["unit"] = word(finding.unit);
  out["parameters"] = Json::object();
  for (const auto& [key, value] : finding.parameters) out["parameters"][key] = value;
  out["provenance"] = finding.provenance ? provenance_json(*finding.provenance) : Json(nullptr);
  out["words"] = sentences(finding, {LengthUnit::mm, nullptr});
  return out;
}

Json findings_json(const std::vector<Finding>& findings) {
  Json out = Json::array();
  for (const Finding& finding : findings) out.push_back(finding_json(finding));
  return out;
}

std::string dumped(const Json& json) {
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace hosefit
