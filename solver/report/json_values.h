// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/decide/motion.h"

/// What the JSON writers of this stage share; no other stage includes it. Lengths in mm, vehicle frame.
namespace hosefit {

using Json = nlohmann::ordered_json;

/// Rounded finer than anything is measured and coarser than compilers differ; null when not finite, never -0.
Json number(double value);
/// The same for directions and angles, which act over the length of a hose: to 1e-9.
Json direction_number(double value);
Json number(const std::optional<double>& value);  ///< null when there is none
Json number(Length value);                        ///< mm
Json number(const std::optional<Length>& value);
Json number(const std::optional<Angle>& value);  ///< rad
Json place(const Vec3& p_mm);
Json provenance_json(const Provenance& provenance);
Json finding_json(const Finding& finding);
Json findings_json(const std::vector<Finding>& findings);
/// Of all necks whose place is chosen: {"name", "as_written", "slide_mm": [..], "turn_rad", "end": [x,y,z],
/// "outward": [x,y,z]}.
Json necks_json(const Job& job, const CandidateResult& result);

/// What `pick --motion` adds.
Json motion_json(const Job& job, const Choice& choice);

/// As text, one space of indent; bytes that are not UTF-8 become U+FFFD.
std::string dumped(const Json& json);

}  // namespace hosefit
