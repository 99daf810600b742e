// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_drawing.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/base/dice.h"
#include "solver/paper/radiator_layout.h"
#include "solver/paper/radiator_views.h"
#include "tests/paper/boxes_apart.h"
#include "tests/paper/pdf_strokes.h"
#include "tests/paper/radiator_job.h"

using namespace hosefit;

namespace {

double width_of(double height, std::string_view words) {
  return 0.6 * height * static_cast<double>(words.size());
}

const Vec2 kField(212, 170);  // beside the words of an A4 sheet

RadiatorMatter matter_of(const RadiatorCase& c) {
  Result<RadiatorMatter> matter = radiator_matter(c.job, c.result);
  REQUIRE(matter);
  return *std::move(matter);
}

RadiatorDrawing drawing_of(const RadiatorCase& c, const DrawingOptions& options) {
  Result<RadiatorDrawing> drawing = radiator_drawing(c.job, c.result, options);
  REQUIRE(drawing);
  return *std::move(drawing);
}

const DimensionLine& dimension(const ViewLayout& view, Side side, const std::string& words) {
  const auto found = std::find_if(
      view.dimensions.begin(), view.dimensions.end(),
      [&](const DimensionLine& line) { return line.side == side && line.dimension.words == words; });
  REQUIRE(found != view.dimensions.end());
  return *found;
}

void check_nothing_overlaps(const ViewLayout& view) {
  std::vector<Eigen::AlignedBox2d> words;
  for (const DimensionLine& line : view.dimensions) words.push_back(line.words_box());
  for (const NeckInView& neck : view.necks) words.push_back(neck.label.box);
  if (view.as_written) words.push_back(view.as_written->box);
  for (std::size_t a = 0; a < words.size(); ++a) {
    CHECK(view.box.contains(words[a]));
    for (std::size_t b = a + 1; b < words.size(); ++b) {
      CAPTURE(a, b, view.dimensions.size(), view.necks.size());
      CHECK(apart(words[a], words[b]));
    }
  }
}

// Necks on a grid of 130 mm, so that there is room for their numbers between them.
RadiatorCase thrown(std::uint64_t round) {
  Dice dice(RunSeed{5}, round);
  RadiatorCase c = moved_case();
  Vehicle& v = c.job.vehicle;
  const std::uint64_t more = dice.below(4);
  for (std::uint64_t i = 0; i < more; ++i) {
    const double y = -390 + 130.0 * static_cast<double>(dice.below(7));
    const Vec3 at(40 + dice.between(0, 60), y, 310 + 130.0 * static_cast<double>(i) + dice.between(0, 40));
    v.necks.push_back(box_job::neck("radiator." + std::to_string(i), at,
                                    Vec3(1, dice.between(-1, 1), dice.between(-1, 1)).normalized()));
    v.radiator.necks.push_back(v.necks.back().name);
  }
  return c;
}

}  // namespace

TEST_CASE("each neck is dimensioned from the nearer sides of its view, to scale") {
  const RadiatorMatter matter = matter_of(radiator_case());
  const RadiatorLayout layout = radiator_layout(matter, 10, LengthUnit::mm, width_of);
  // The top neck lies right and high, the bottom neck left and low.
  CHECK(dimension(layout.rear, Side::above, "350.0").high() == Approx(35));
  CHECK(dimension(layout.rear, Side::right, "400.0").high() == Approx(40));
  CHECK(dimension(layout.rear, Side::below, "150.0").high() == Approx(15));
  CHECK(dimension(layout.rear, Side::left, "100.0").high() == Approx(10));
  CHECK(dimension(layout.rear, Side::below, "500.0").level >
        dimension(layout.rear, Side::below, "150.0").level);
  CHECK(dimension(layout.rear, Side::left, "500.0").high() == Approx(50));
  CHECK(dimension(layout.side, Side::above, "70.0").low() == Approx(-7));
  CHECK(dimension(layout.side, Side::below, "70.0").low() == Approx(-7));
  CHECK(dimension(layout.side, Side::below, "60.0").high() == Approx(6));
  CHECK(layout.rear.dimensions.size() == 6);
  CHECK(layout.side.dimensions.size() == 3);
  for (const DimensionLine& line : layout.rear.dimensions) CHECK(line.low() == 0);
  const RadiatorLayout inches = radiator_layout(matter, 10, LengthUnit::inch, width_of);
  CHECK(dimension(inches.rear, Side::above, "350.0 [13.78]").high() == Approx(35));
}

TEST_CASE("both views stand at one height, the one from the right at the right of the other") {
  const RadiatorLayout layout = radiator_layout(matter_of(radiator_case()), 10, LengthUnit::mm, width_of);
  CHECK(layout.rear_at.y() == layout.side_at.y());
  CHECK(layout.side_at.x() + layout.side.box.min().x() > layout.rear_at.x() + layout.rear.box.max().x());
  // What stands out of the face points to the view from the engine (third angle).
  CHECK(layout.side.necks[0].end.x() < layout.side.necks[0].root.x());
  CHECK(layout.side.necks[0].end == Vec2(-7, 40));
  CHECK(layout.rear.necks[0].end == Vec2(35, 40));
}

TEST_CASE("outlines are those of the solids, farther ones first") {
  const RadiatorLayout layout = radiator_layout(matter_of(moved_case()), 10, LengthUnit::mm, width_of);
  const std::vector<Patch>& patches = layout.rear.patches;
  REQUIRE(patches.size() > 3);
  CHECK(std::is_sorted(patches.begin(), patches.end(),
                       [](const Patch& a, const Patch& b) { return a.near_mm < b.near_mm; }));
  const Eigen::AlignedBox2d core = box_of(patches.front().outline);
  CHECK((core.min() - Vec2(0, 0)).norm() < 1e-9);
  CHECK((core.max() - Vec2(50, 50)).norm() < 1e-9);
  // The root, 21 mm about (410, 400).
  const Eigen::AlignedBox2d root = box_of(patches[1].outline);
  CHECK((root.center() - Vec2(41, 40)).norm() < 0.002);
  CHECK(root.sizes().x() == Approx(4.2).epsilon(0.001));
  REQUIRE_FALSE(layout.rear.before.empty());
  CHECK((box_of(layout.rear.before.front().outline).center() - Vec2(35, 40)).norm() < 0.002);
  CHECK(layout.rear.necks[0].before.value() == Vec2(35, 40));
}

TEST_CASE("a hull holds its points, and has no corner too many") {
  const Outline hull = convex_hull({{0, 0}, {2, 0}, {1, 0}, {2, 2}, {0, 2}, {1, 1}, {2, 2}});
  CHECK(hull.size() == 4);
  CHECK(convex_hull({{1, 1}, {1, 1}, {3, 3}, {2, 2}}).size() == 2);
  const ViewAxes from_z{Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()};
  // A ball's outline is its circle; a disc at 60 deg is half as wide.
  CHECK(box_of(outline_of(SphereShape{{5, 6, 7}, 10}, from_z)).sizes().x() == Approx(20).epsilon(0.001));
  const Vec3 aslant(std::sin(1.0471975512), 0, 0.5);
  CHECK(box_of(disc_outline(Vec3::Zero(), aslant, 10, from_z)).sizes().x() == Approx(10).epsilon(0.002));
  CHECK(nearest(SphereShape{{5, 6, 7}, 10}, from_z) == Approx(17).epsilon(0.001));
}

TEST_CASE("the largest scale of the series that goes into the field is taken") {
  const RadiatorMatter matter = matter_of(radiator_case());
  const auto layout = largest_layout(matter, kField, LengthUnit::mm, width_of);
  REQUIRE(layout);
  CHECK(layout->scale == 5);  // the core of 500 mm is 250 mm at 1:2, and 100 mm at 1:5
  CHECK(layout->size.x() <= kField.x());
  CHECK(layout->size.y() <= kField.y());
  CHECK(radiator_layout(matter, 2, LengthUnit::mm, width_of).size.x() > kField.x());
  CHECK(largest_layout(matter, {2000, 2000}, LengthUnit::mm, width_of)->scale == 1);
  CHECK_FALSE(largest_layout(matter, {20, 20}, LengthUnit::mm, width_of));
}

TEST_CASE("words of thrown radiators stand clear of each other, and nearly all go on one sheet") {
  constexpr int kRounds = 60;
  int drawn = 0;
  for (std::uint64_t round = 0; round < kRounds; ++round) {
    CAPTURE(round);
    const RadiatorMatter matter = matter_of(thrown(round));
    for (const LengthUnit unit : {LengthUnit::mm, LengthUnit::inch}) {
      const auto layout = largest_layout(matter, kField, unit, width_of);
      if (!layout) continue;
      ++drawn;
      check_nothing_overlaps(layout->rear);
      check_nothing_overlaps(layout->side);
    }
  }
  CHECK(drawn >= 2 * kRounds * 9 / 10);
}

TEST_CASE("dimension lines in the file are as long as what they tell, over the scale") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const RadiatorDrawing drawing = drawing_of(moved_case(), {paper, LengthUnit::mm, "1.2.3"});
    const PdfStrokes pdf = pdf_strokes(drawing.pdf);
    REQUIRE(pdf.pages.size() == 1);
    CHECK((pdf.pages[0] - Vec2(size_mm(paper).y(), size_mm(paper).x())).norm() < 0.05);
    const auto drawn = [&](const Vec2& along, double pen) {
      return std::count_if(pdf.strokes.begin(), pdf.strokes.end(), [&](const PdfStroke& s) {
        return ((s.to - s.from).cwiseAbs() - along / drawing.scale).norm() < 0.02 &&
               std::abs(s.pen - pen) < 0.01;
      });
    };
    CHECK(drawn({410, 0}, 0.18) == 1);  // the moved neck from A, and not where it is written
    CHECK(drawn({350, 0}, 0.18) == 0);
    CHECK(drawn({0, 400}, 0.18) == 1);
    CHECK(drawn({150, 0}, 0.18) == 1);
    CHECK(drawn({500, 0}, 0.18) == 1);
    CHECK(drawn({500, 0}, 0.35) == 2);  // two edges of the core
    CHECK(drawn({scale_bar_mm(drawing.scale), 0}, 0.6) == 1);
  }
}

TEST_CASE("the bar under the views has a round length that can be measured") {
  for (const int scale : kScales) {
    const double real = scale_bar_mm(scale);
    CHECK(real / scale >= 30);
    CHECK(real / scale <= 80);
  }
  CHECK(scale_bar_mm(5) == 200);
  CHECK(scale_bar_mm(10) == 500);
}

TEST_CASE("a table that does not go beside the views goes on sheets of its own") {
  RadiatorCase c = radiator_case();
  CHECK(drawing_of(c, {}).pages == 1);
  for (int i = 0; i < 8; ++i) {
    c.job.vehicle.necks.push_back(
        box_job::neck("radiator." + std::to_string(i), {40, -200.0 + 50 * i, 550}, Vec3::UnitX()));
    c.job.vehicle.radiator.necks.push_back(c.job.vehicle.necks.back().name);
  }
  const RadiatorDrawing many = drawing_of(c, {});
  CHECK(many.pages >= 2);
  CHECK(pdf_strokes(many.pdf).pages.size() == static_cast<std::size_t>(many.pages));
}

TEST_CASE("what is not proved is told apart in the file, and the same question gives the same bytes") {
  RadiatorCase c = moved_case();
  const DrawingOptions options{Paper::a4, LengthUnit::inch, "1.2.3"};
  const std::string proved = drawing_of(c, options).pdf;
  CHECK(proved == drawing_of(moved_case(), options).pdf);
  c.result.verdict.fit = Fit::undecided;
  CHECK(proved != drawing_of(c, options).pdf);
}
