// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/moulded.h"

#include <catch2/catch.hpp>

#include "solver/order/order_list.h"
#include "tests/support/moulded_shapes.h"
#include "tests/support/sized_box_job.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

MouldedShape swan() {
  return shape_of("swan", {120, 140, 90, 130}, {60, 70, 80}, {45, 60, 90}, {30, -110});
}
double degrees(double deg) {
  return Angle::deg(deg).rad();
}

/// The upper line of moulded hose, as if proved.
struct OneMoulded {
  Job job = box_job::sized();
  CandidateResult result;
  std::vector<CutSheet> sheets;
  OrderList list;

  explicit OneMoulded(double own_price) {
    MouldedShape shape = swan();
    shape.price = own_price;
    Stock stock = moulded_stock({shape});
    stock.price = 31;
    job.stock.push_back(stock);
    job.vehicle.lines.resize(1);
    const Sprung s{1, 2, true, 60, 80, {degrees(2), degrees(-4)}, {degrees(3)}};
    Route route;
    route.make = Make::moulded_shape;
    route.stock = stock.id;
    route.centreline = laid(shape, s);
    route.engagement_from_mm = route.engagement_to_mm = 28;
    route.sections = {{0, length_mm(route.centreline), 48, Runner::hose}};
    const double first_bend = 120 + 60 * degrees(45) + 140;
    const double last_bend = first_bend + 70 * degrees(60) + 90 + 80 * degrees(90);
    StockPiece piece{
        stock.id, "moulded shape", length_mm(route.centreline) + 56, whole_length(shape).mm(), {}, {}};
    piece.shape = ShapeCut{"swan", first_bend - 80 - 28, last_bend + 60 + 28, true};
    route.pieces = {piece};
    result = box_job::fitting({route});
    sheets = cut_sheets(job, result);
    list = order_list(job, result, sheets);
  }
};

}  // namespace

TEST_CASE("a moulded shape is one row with its name, its whole length and its own price before the stock's") {
  for (const auto& [own, told] : {std::pair(0.0, 31.0), {40.0, 40.0}}) {
    const OneMoulded m(own);
    const auto is_shape = [](const OrderRow& row) { return row.kind == ItemKind::moulded_shape; };
    REQUIRE(std::count_if(m.list.rows.begin(), m.list.rows.end(), is_shape) == 1);
    const OrderRow& row = *std::find_if(m.list.rows.begin(), m.list.rows.end(), is_shape);
    CHECK(row.shape == "swan");
    CHECK(row.stock == "moulded 38");
    CHECK(row.length->mm() == Approx(whole_length(swan()).mm()));
    CHECK(row.needed == 1);
    CHECK(row.price == told);
    CHECK(m.list.sticks.empty());
  }
}

TEST_CASE("a line of a moulded shape takes two clamps, and its sheet tells the cuts and every spring") {
  const OneMoulded m(0);
  const CutSheet& sheet = m.sheets[0];
  REQUIRE(sheet.standing == Standing::order);
  REQUIRE(sheet.pieces.size() == 1);
  CHECK(sheet.pieces[0].kind == PieceKind::moulded);
  CHECK(sheet.pieces[0].shape->reversed);
  CHECK(sheet.clamps.size() == 2);
  // Run through from the far end: the bend of 90 deg first, sprung by 2, then that of 60, by -4, its plane
  // by 3.
  REQUIRE(sheet.bends.rows.size() == 2);
  CHECK(Angle::rad(sheet.bends.rows[0].bend_rad).deg() == Approx(92));
  CHECK(Angle::rad(sheet.bends.rows[1].bend_rad).deg() == Approx(56));
  REQUIRE(sheet.sprung.size() == 2);
  CHECK(sheet.sprung[0].bend.deg() == Approx(2));
  CHECK(sheet.sprung[1].bend.deg() == Approx(-4));
  CHECK(sheet.sprung[1].turn.deg() == Approx(3));
  // Straights, arcs as fitted and what goes over the necks make the cut length.
  double sum = 56 + sheet.bends.last_straight_mm;
  for (const BendRow& row : sheet.bends.rows) sum += row.feed_mm + row.radius_mm * row.bend_rad;
  CHECK(sum == Approx(sheet.pieces[0].cut.mm()));
}

TEST_CASE(
    "springs are those of the bends between the cuts, or none where shape and line do not go together") {
  const MouldedShape shape = swan();
  const Sprung s{0, 3, false, 50, 50, {0.01, -0.02, 0.03}, {0.04, -0.05}};
  const BendTable table = bend_table(laid(shape, s));
  const std::vector<SprungBend> found =
      sprung_bends(shape, {"swan", 0, whole_length(shape).mm(), false}, table);
  REQUIRE(found.size() == 3);
  for (std::size_t i = 0; i < 3; ++i) CHECK(found[i].bend.rad() == Approx(s.bend_rad[i]));
  CHECK(found[0].turn.rad() == 0);
  for (std::size_t i = 0; i < 2; ++i) CHECK(found[i + 1].turn.rad() == Approx(s.turn_rad[i]));
  CHECK(sprung_bends(shape, {"swan", 250, whole_length(shape).mm(), false}, table).empty());
}
