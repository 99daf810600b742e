// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/clamps.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "tests/support/bundled_clamps.h"

using namespace hosefit;

namespace {

std::optional<ClampSize> size_for(const ClampNeed& need) {
  static const std::vector<ClampSize> sizes = test::bundled_clamps();
  return clamp_for(sizes, need);
}

std::string code_for(double installed_mm, double engagement_mm = 28) {
  const auto size = size_for({Length::mm(installed_mm), Length::mm(engagement_mm), false});
  return size ? std::string(size->code) : "none";
}

}  // namespace

TEST_CASE("type F sizes from 12 up open to size/16 + 1/2 inch, as SAE J1508 counts them") {
  // SAE J1508 (1997/2009 text, second-hand): the size code counts sixteenths of an inch above the half inch.
  int seen = 0;
  for (const ClampSize& size : test::bundled_clamps()) {
    if (size.kind != ClampKind::worm_drive || size.code < "12") continue;
    ++seen;
    CAPTURE(size.code);
    CHECK(size.most.mm() == Approx((std::stod(size.code) / 16 + 0.5) * 25.4).margin(0.1));
    CHECK(size.torque_new_nm < 5.65);  // SAE J1508: durability torque of carbon steel screws, second-hand
  }
  CHECK(seen == 10);
}

TEST_CASE("usual hoses get the sizes that the trade puts on them") {
  // Common practice, no source: 5/8 in heater hose 10 or 12; 3/4 in 12 or 16; 1-1/4 in 24; 1-1/2 in 28; 1-3/4
  // in 32.
  CHECK((code_for(23) == "10" || code_for(23) == "12"));
  CHECK((code_for(27) == "12" || code_for(27) == "16"));
  CHECK(code_for(41) == "24");
  CHECK(code_for(48) == "28");
  CHECK(code_for(54) == "32");
}

TEST_CASE("every size that is chosen covers the hose, passes the bead and has room for its band") {
  for (double d = 10; d < 80; d += 0.37)
    for (const double engagement : {18.0, 20.0, 28.0, 35.0})
      for (const bool lined : {false, true}) {
        const auto size = size_for({Length::mm(d), Length::mm(engagement), lined});
        if (!size) continue;
        CAPTURE(d, engagement, lined, size->code);
        CHECK(d - size->least.mm() >= 2.0);
        CHECK(size->most.mm() - d >= 3.0);
        CHECK((size->kind == ClampKind::lined_spring) == lined);  // a slotted band cuts silicone
        const auto centre = band_centre(Length::mm(engagement), size->band);
        REQUIRE(centre);
        CHECK(centre->mm() - size->band.mm() / 2 >= 3.0 - 1e-9);
        CHECK(centre->mm() + size->band.mm() / 2 <= engagement - kBeadZone_mm + 1e-9);
      }
}

TEST_CASE(
    "a band stands 6 mm from the cut end and 3 mm from the bead zone where the engagement is the least") {
  // Derived engagement of large necks: bead zone 6 + 3 + band 13 + 6 = 28 mm; the middle of the band is
  // at 12.5.
  CHECK(band_centre(Length::mm(28), Length::mm(13))->mm() == Approx(12.5));
  CHECK(band_centre(Length::mm(29), Length::mm(13))->mm() == Approx(12.5));  // 1 mm more goes before the bead
  // With more engagement it stands midway between cut end and bead zone.
  CHECK(band_centre(Length::mm(50), Length::mm(13))->mm() == Approx(22.0));
  CHECK_FALSE(band_centre(Length::mm(20), Length::mm(13.5)));
  CHECK(band_centre(Length::mm(20), Length::mm(9)));
}

TEST_CASE("short engagement takes the narrow band") {
  const auto size = size_for({Length::mm(22.9), Length::mm(20), false});
  REQUIRE(size);
  CHECK(size->kind == ClampKind::narrow_worm_drive);
  CHECK_FALSE(size_for({Length::mm(22.9), Length::mm(15), false}));
  CHECK_FALSE(size_for({Length::mm(20), Length::mm(28), true}));  // no lined size that small is on file
}

TEST_CASE("every band that is chosen has room where the proof looked for its housing") {
  // Else the order list would have to say "not proved" of a usual clamp on a usual neck.
  int seen = 0;
  for (double d = 14; d < 80; d += 0.9)
    for (const double engagement : {20.0, 28.0, 35.0, 50.0})
      for (const bool lined : {false, true}) {
        const auto size = size_for({Length::mm(d), Length::mm(engagement), lined});
        if (!size) continue;
        ++seen;
        CAPTURE(d, engagement, lined, size->id);
        CHECK(band_has_room(Length::mm(engagement), size->band, proved_band_centre(Length::mm(engagement))));
      }
  CHECK(seen > 200);
  CHECK(proved_band_centre(Length::mm(28)).mm() == Approx(12.25));  // 5.5 mm behind a band of 13.5 mm
  CHECK(proved_band_centre(Length::mm(20)).mm() == Approx(7.5));    // 3 mm behind a band of 9 mm
  CHECK_FALSE(band_has_room(Length::mm(28), Length::mm(13.5), Length::mm(9)));
  CHECK_FALSE(band_has_room(Length::mm(28), Length::mm(13.5), Length::mm(16)));
}

TEST_CASE("of sizes that suit alike the first in the list is taken, so the shop's own") {
  std::vector<ClampSize> sizes = test::bundled_clamps();
  const ClampNeed need{Length::mm(48), Length::mm(28), false};
  ClampSize own = *clamp_for(sizes, need);
  own.id = "drawer";
  sizes.insert(sizes.begin(), own);
  CHECK(clamp_for(sizes, need)->id == "drawer");
}
