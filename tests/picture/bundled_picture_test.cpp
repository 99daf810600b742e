// SPDX-License-Identifier: GPL-3.0-or-later
#include <fstream>
#include <sstream>

#include "solver/picture/picture.h"
#include "solver/report/reasons.h"
#include "tests/picture/picture_difference.h"
#include "tests/scenario/bundled.h"

using namespace hosefit;

namespace {

// One job and one answer, kept for the whole test.
struct Answer {
  Prepared prepared;
  CandidateResult result;
  Scene scene;
};

Answer answer(const std::string& vehicle, const std::string& pump) {
  Prepared prepared(bundled_job(vehicle));
  CandidateResult result = best_of(prepared, pump, question_of(prepared.job()).height.mm());
  const auto bay = bay_of(prepared.job(), result);
  REQUIRE(bay);
  Scene scene = scene_of(prepared, *bay, result);
  return {std::move(prepared), std::move(result), std::move(scene)};
}

PictureOptions options(std::optional<Side> side, Size size) {
  PictureOptions out;
  out.side = side;
  out.size = size;
  out.threads = Threads{2};
  return out;
}

Picture picture(const Answer& from, const PictureOptions& how) {
  auto out = picture_of(from.scene, caption_of(from.prepared.job(), from.result, how.unit), how);
  REQUIRE(out);
  return *std::move(out);
}

std::vector<std::optional<Side>> all_views() {
  std::vector<std::optional<Side>> out(kSides.begin(), kSides.end());
  out.emplace_back(std::nullopt);
  return out;
}

bool has_text(const Picture& p, const std::string& part) {
  for (const PlacedLabel& label : p.notes.labels)
    if (p.notes.texts[label.wish].find(part) != std::string::npos) return true;
  return false;
}

void labels_are_sound(const Answer& from) {
  for (const Size size : {Size{480, 300}, Size{640, 900}, Size{800, 500}, Size{1600, 1000}})
    for (const auto& side : all_views()) {
      if (size.width == 1600 && side && *side != Side::three_quarter) continue;  // large ones take seconds
      CAPTURE(size.width, size.height, side ? word(*side) : "close");
      const Picture p = picture(from, options(side, size));
      const Sheet sheet = sheet_of(size);
      CHECK(p.notes.labels.size() >= (side ? 4U : 3U));  // close up there may be one line and what it is near
      for (std::size_t i = 0; i < p.notes.labels.size(); ++i) {
        CHECK(holds(sheet.drawing, p.notes.labels[i].box));
        for (std::size_t k = 0; k < i; ++k)
          CHECK_FALSE(overlap(p.notes.labels[i].box, p.notes.labels[k].box));
      }
      CHECK(p.notes.labels.front().wish == 0);  // the deciding spot is always told
      CHECK(p.notes.scale.box.width() == Approx(p.notes.scale.length_mm * p.camera.px_per_mm));
      CHECK(p.notes.scale.box.right < size.width);
      CHECK(sheet.small.size_px >= 7.5);
      if (size.width == 1600) CHECK(sheet.small.size_px >= 11);
    }
}

void approve_picture(const std::string& name, const Picture& p) {
  const std::string file = std::string(HOSEFIT_ROOT_DIR) + "/tests/golden/pictures/" + name + ".png";
  const char* const accept = std::getenv("HOSEFIT_APPROVE");
  if (accept != nullptr && std::string_view(accept) == "1") {
    std::ofstream(file, std::ios::binary) << p.png;
    return;
  }
  std::ifstream in(file, std::ios::binary);
  INFO("approved picture " << file << " (HOSEFIT_APPROVE=1 writes it)");
  REQUIRE(in.good());
  std::ostringstream bytes;
  bytes << in.rdbuf();
  const auto approved = image_of_png(bytes.str());
  REQUIRE(approved);
  const PictureDifference d = difference(*approved, p.image);
  INFO("mean " << d.mean << " of 255, share of pixels off " << d.share_off);
  CHECK(is_same(d));
}

const Size kSmall{480, 300};

void approve_views(const Answer& from, const std::string& name) {
  for (const auto& side : {std::optional(Side::three_quarter), std::optional(Side::top),
                           std::optional(Side::left), std::optional<Side>()})
    approve_picture(name + "." + std::string(side ? word(*side) : "close"),
                    picture(from, options(side, kSmall)));
}

Scene with_moved(Scene scene, const std::string& name, const Vec3& by_mm) {
  int moved = 0;
  for (SceneItem& item : scene.items)
    if (item.name == name && item.kind == SceneKind::part) {
      for (Vec3& v : item.mesh.vertices_mm) v += by_mm;
      ++moved;
    }
  REQUIRE(moved == 1);
  return scene;
}

}  // namespace

TEST_CASE("labels of the pickup lie within every picture and never overlap", "[whole]") {
  labels_are_sound(answer("harrow_half_ton", "long left"));
}

TEST_CASE("labels of the coupe lie within every picture and never overlap", "[whole]") {
  labels_are_sound(answer("linnet_coupe", "low right"));
}

TEST_CASE("the pictures of the pickup are the approved ones, and a part moved by 5 mm is noticed",
          "[golden][whole]") {
  Answer pickup = answer("harrow_half_ton", "long left");
  approve_views(pickup, "harrow_half_ton");
  const Picture before = picture(pickup, options(Side::left, kSmall));
  CHECK(is_same(difference(before.image, picture(pickup, options(Side::left, kSmall)).image)));
  for (const char* name : {"battery", "compressor", "alternator"}) {
    CAPTURE(name);
    const Scene moved = with_moved(pickup.scene, name, {5, 0, 0});
    const auto after = picture_of(moved, caption_of(pickup.prepared.job(), pickup.result, LengthUnit::mm),
                                  options(Side::left, kSmall));
    CHECK_FALSE(is_same(difference(before.image, after->image)));
  }
}

TEST_CASE("the pictures of the coupe are the approved ones", "[golden][whole]") {
  approve_views(answer("linnet_coupe", "low right"), "linnet_coupe");
}

TEST_CASE("a picture of a bay is the same for one thread and four, byte for byte", "[whole]") {
  const Answer pickup = answer("harrow_half_ton", "long left");
  PictureOptions how = options(Side::three_quarter, kSmall);
  how.threads = Threads{1};
  const std::string one = picture(pickup, how).png;
  how.threads = Threads{4};
  CHECK((picture(pickup, how).png == one));
}

TEST_CASE("what is not proved is called and drawn so", "[whole]") {
  const Answer open = answer("harrow_half_ton", "left outlet");
  REQUIRE(open.result.verdict.fit == Fit::undecided);
  const Caption caption = caption_of(open.prepared.job(), open.result, LengthUnit::mm);
  CHECK(caption.verdict.find("undecided") != std::string::npos);
  CHECK(caption.verdict.find("its") == std::string::npos);
  const Picture p = picture(open, options(Side::left, {1600, 1000}));
  CHECK(has_text(p, "upper: no way found"));

  // The same routes with their proofs taken away: no line may keep its spare gap or its colour.
  CandidateResult unproved =
      best_of(open.prepared, "long left", question_of(open.prepared.job()).height.mm());
  REQUIRE(unproved.verdict.fit == Fit::fits);
  const auto bay = bay_of(open.prepared.job(), unproved);
  unproved.proof.lines.clear();
  const Scene scene = scene_of(open.prepared, *bay, unproved);
  for (const SceneLine& line : scene.lines) {
    CHECK(line.routed);
    CHECK(line.spare == SpareClass::not_proved);
    CHECK_FALSE(line.least_spare_mm);
  }
  const auto bare = picture_of(scene, caption, options(Side::left, {1600, 1000}));
  CHECK(has_text(*bare, "lower: not proved"));
  CHECK_FALSE(has_text(*bare, "to spare"));
}

TEST_CASE("a hostile name is told safely on the picture", "[whole]") {
  Answer pickup = answer("harrow_half_ton", "long left");
  for (SceneItem& item : pickup.scene.items)
    if (item.name == "battery") item.name = "bat\x1b[31m\ntery\xff";
  const Picture p = picture(pickup, options(Side::top, {1600, 1000}));
  for (const std::string& text : p.notes.texts)
    for (const char c : text) CHECK((static_cast<unsigned char>(c) >= 0x20));
}
