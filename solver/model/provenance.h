// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

namespace hosefit {

enum class Source { standard, handbook, derived, common_practice, from_memory, shop };

constexpr std::string_view word(Source source) {
  switch (source) {
    case Source::standard:
      return "standard";
    case Source::handbook:
      return "handbook";
    case Source::derived:
      return "derived";
    case Source::common_practice:
      return "common practice, no source";
    case Source::from_memory:
      return "from memory";
    case Source::shop:
      return "shop";
  }
  return "";
}

/// Where a limit comes from. Whether a route fits and where its limits come from are two separate answers.
struct Provenance {
  Source source = Source::from_memory;
  std::string title;   ///< a title that a reader can find; empty when there is none
  std::string signer;  ///< shop values: who stands for it
  std::string reason;  ///< shop values: why
  friend bool operator==(const Provenance&, const Provenance&) = default;
};

/// Sourced only when a standard or handbook is named by a title that a reader can find.
inline bool is_sourced(const Provenance& p) {
  return (p.source == Source::standard || p.source == Source::handbook) && !p.title.empty();
}
inline bool is_signed(const Provenance& p) {
  return p.source == Source::shop && !p.signer.empty();
}

}  // namespace hosefit
