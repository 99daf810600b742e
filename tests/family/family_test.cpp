// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/family.h"

#include <catch2/catch.hpp>

#include "solver/verify/proof.h"
#include "tests/family/direct.h"
#include "tests/family/trial.h"

using namespace hosefit;
using namespace hosefit::family;

namespace {

LineProof proof_of_witness(const FamilyBay& bay, double gap_mm) {
  const std::vector<Route> routes{bay.witness};
  const std::vector<Stock> stock{bay.stock};
  return prove(bay.bay, ProofBodies(bay.bay), routes, even_gaps(gap_mm), stock, {}).lines.front();
}

std::string why(const LineProof& proof) {
  std::string text;
  for (const Finding& f : proof.findings) text += std::string(word(f.rule)) + " ";
  for (const GapRecord& g : proof.gaps)
    text += g.other + " " + std::to_string(g.found_mm - g.required_mm) + "; ";
  return text;
}

}  // namespace

TEST_CASE("every bay of the family is what it is said to be: its witness is proved, less what is missing",
          "[family]") {
  for (const Kind kind : kKinds)
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
      const FamilyBay bay = family_bay(kind, seed);
      INFO(word(kind) << " " << seed);
      CHECK((bay.missing_mm == 0) == feasible(kind));
      const LineProof fits =
          proof_of_witness(bay, bay.gap_mm - (bay.missing_mm > 0 ? bay.missing_mm + 0.06 : 0));
      INFO(why(fits));
      CHECK(fits.proved);
      if (bay.missing_mm > 0) CHECK_FALSE(proof_of_witness(bay, bay.gap_mm - bay.missing_mm + 0.12).proved);
    }
}
