// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/labels.h"

#include <catch2/catch.hpp>

#include "solver/base/dice.h"
#include "solver/picture/drawing.h"

using namespace hosefit;

TEST_CASE("labels lie within the area and never overlap, whatever is wished") {
  for (std::uint64_t task = 0; task < 60; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{11}, task);
    const PixelBox area{0, 60, dice.between(300, 1600), dice.between(250, 900)};
    std::vector<LabelWish> wishes;
    for (int i = 0; i < 25; ++i) {
      LabelWish wish;
      wish.width_px = dice.between(30, 400);
      wish.height_px = dice.between(12, 26);
      wish.anchor_px = {dice.between(area.left, area.right), dice.between(area.top, area.bottom)};
      wishes.push_back(wish);
    }
    const std::vector<PixelBox> taken{{100, 100, 160, 140}};
    const auto placed = place_labels(wishes, area, taken, {}, 12);
    CHECK(placed.size() >= 4);
    for (std::size_t i = 0; i < placed.size(); ++i) {
      CHECK(holds(area, placed[i].box));
      CHECK_FALSE(overlap(placed[i].box, taken[0]));
      CHECK(placed[i].box.width() == Approx(wishes[placed[i].wish].width_px));
      for (std::size_t k = 0; k < i; ++k) CHECK_FALSE(overlap(placed[i].box, placed[k].box));
    }
  }
}

TEST_CASE("a label keeps off what is cluttered where it can") {
  const PixelBox area{0, 0, 400, 300};
  Clutter right_half;
  right_half.cell_px = 10;
  right_half.columns = 40;
  right_half.rows = 30;
  right_half.weight.assign(1200, 0.0F);
  for (std::size_t i = 0; i < right_half.weight.size(); ++i)
    if (i % 40 >= 20) right_half.weight[i] = 1;
  LabelWish wish;
  wish.width_px = 80;
  wish.height_px = 20;
  wish.anchor_px = {205, 150};
  const auto placed = place_labels({wish}, area, {}, right_half, 12);
  REQUIRE(placed.size() == 1);
  CHECK(placed[0].box.right <= 200);
}

TEST_CASE("a picture comes back from its PNG as it was") {
  Image image;
  image.size = {37, 11};
  for (int i = 0; i < 37 * 11 * 3; ++i) image.rgb.push_back(static_cast<std::uint8_t>(i * 7));
  const auto back = image_of_png(Drawing(image).png());
  REQUIRE(back);
  CHECK((back->rgb == image.rgb));
  CHECK_FALSE(image_of_png("not a picture"));
}

TEST_CASE("text that is too wide ends in an ellipsis within its limit") {
  Image paper;
  paper.size = {300, 40};
  paper.rgb.assign(300 * 40 * 3, 255);
  Drawing drawing(paper);
  const std::string text = "a very long name of a part that nobody can pronounce";
  REQUIRE(drawing.text_size(text, Font{}).x() > 200);
  drawing.text(text, Font{}, 10, 10, 150, {0, 0, 0}, 0);
  const Image image = drawing.image();
  int inside = 0, outside = 0;
  for (int y = 0; y < 40; ++y)
    for (int x = 0; x < 300; ++x) {
      const bool ink = image.rgb[3 * static_cast<std::size_t>(y * 300 + x)] < 128;
      inside += ink && x < 162;
      outside += ink && x >= 162;
    }
  CHECK(inside > 100);
  CHECK(outside == 0);
}
