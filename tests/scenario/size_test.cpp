// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "solver/report/size_report.h"
#include "solver/route/joints.h"
#include "tests/scenario/bundled.h"
#include "tests/support/approve.h"

using namespace hosefit;

namespace {

struct Sized {
  Prepared prepared;
  CandidateResult best;
  std::vector<CutSheet> sheets;
  OrderList list;
};

Sized sized(Job job) {
  Sized out{Prepared(std::move(job)), {}, {}, {}};
  const Choice choice = choice_at(out.prepared, question_of(out.prepared.job()).height.mm());
  out.best = choice.candidates[choice.ranking.at(0).best];
  out.sheets = cut_sheets(out.prepared.job(), out.best);
  out.list = order_list(out.prepared.job(), out.best, out.sheets);
  return out;
}

const Stock& stock_of(const Job& job, const std::string& id) {
  for (const Stock& stock : job.stock)
    if (stock.id == id) return stock;
  FAIL("no stock " << id);
  return job.stock.front();
}

void hold_laws(const Sized& s) {
  for (const CutSheet& sheet : s.sheets) {
    REQUIRE(sheet.route);
    CAPTURE(sheet.line, sheet.route->stock);
    const Route& route = *sheet.route;
    const Stock& stock = stock_of(s.prepared.job(), route.stock);
    double sum = 0;
    for (const CutPiece& piece : sheet.pieces) {
      sum += piece.kind == PieceKind::joiner ? kJoinerGap_mm
             : piece.kind == PieceKind::tube ? piece.cut.mm() - 2 * stock.cuff.mm()
                                             : piece.cut.mm();
      if (piece.kind != PieceKind::elbow) continue;
      CHECK(piece.leg_from <= piece.leg_as_sold + Length::mm(1e-6));
      CHECK(piece.leg_to <= piece.leg_as_sold + Length::mm(1e-6));
    }
    CHECK(
        sum ==
        Approx(length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm).margin(1e-6));
    CHECK(static_cast<int>(sheet.clamps.size()) == route.joints);
    for (const ClampPlace& place : sheet.clamps) {
      REQUIRE(place.size);
      CHECK(covers(*place.size, place.installed_outside));
      CHECK(place.from_end);
    }
    // Points and radii make the centreline again.
    FilletChain chain;
    chain.points_mm = sheet.intersections_mm;
    for (const Length radius : sheet.radii) chain.radii_mm.push_back(radius.mm());
    const auto again = centreline_of(chain);
    REQUIRE(again);
    CHECK(length_mm(*again) == Approx(length_mm(route.centreline)).margin(1e-6));
    for (double s_mm = 0; s_mm < length_mm(route.centreline); s_mm += 20)
      CHECK((point_at(*again, s_mm) - point_at(route.centreline, s_mm)).norm() < 1e-6);
  }
}

void approve_size(const std::string& vehicle) {
  const Sized s = sized(bundled_job(vehicle));
  hold_laws(s);
  CHECK(s.list.order_now);
  TextLook look;
  look.width = 110;
  approve(vehicle + ".size.approved.txt",
          size_text({s.prepared.job(), s.best, s.sheets, s.list, "test"}, look));
}

}  // namespace

TEST_CASE("the order list of the pickup is the approved one and keeps its laws", "[golden]") {
  approve_size("harrow_half_ton");
}

TEST_CASE("the order list of the coupe is the approved one and keeps its laws", "[golden]") {
  approve_size("linnet_coupe");
}

TEST_CASE("the feeds, turns and bends of a tube make it again") {
  Job job = bundled_job("linnet_coupe");
  job.motion = {};  // tubes between engine and radiator hold at rest only
  for (std::size_t line = 0; line < 2; ++line) job.vehicle.lines[line].makes = {Make::bent_tube};
  const Sized s = sized(std::move(job));
  int tubes = 0;
  for (const CutSheet& sheet : s.sheets) {
    if (!sheet.route || sheet.route->make != Make::bent_tube) continue;
    ++tubes;
    const Stock& stock = stock_of(s.prepared.job(), sheet.route->stock);
    const Centreline& whole = sheet.route->centreline;
    const Centreline tube = part_of(whole, stock.coupler_gap.mm(), length_mm(whole) - stock.coupler_gap.mm());
    // Bent by its table from its first end, along X with its first bend plane wherever it starts.
    Vec3 at = start_point(tube), along = start_direction(tube);
    Vec3 normal = Vec3::Zero();
    for (const Piece& piece : tube.pieces)
      if (const auto* arc = std::get_if<Arc>(&piece); arc != nullptr && normal.isZero()) normal = arc->normal;
    for (const BendRow& row : sheet.bends.rows) {
      at += row.feed_mm * along;
      normal = std::cos(row.rotate_rad) * normal + std::sin(row.rotate_rad) * along.cross(normal);
      const Vec3 inwards = normal.cross(along);
      at += row.radius_mm * (std::sin(row.bend_rad) * along + (1 - std::cos(row.bend_rad)) * inwards);
      along = std::cos(row.bend_rad) * along + std::sin(row.bend_rad) * inwards;
    }
    at += sheet.bends.last_straight_mm * along;
    CHECK((at - end_point(tube)).norm() < 1e-6);
  }
  CHECK(tubes > 0);
}
