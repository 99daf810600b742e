// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>
#include <nlohmann/json.hpp>
#include <numbers>
#include <sstream>

#include "solver/recheck/fingerprint.h"
#include "solver/recheck/line_checks.h"
#include "solver/recheck/recheck.h"
#include "tests/recheck/recorded.h"

using namespace hosefit;
using nlohmann::json;

namespace {

const Recorded& pickup() {
  static const Recorded recorded("harrow_half_ton", {{"long left", 316}});
  return recorded;
}
const Recorded& coupe() {
  static const Recorded recorded("linnet_coupe", {{"left outlet", 290}});
  return recorded;
}

recheck::Report rechecked(const Recorded& recorded, const std::string& vehicle, const std::string& text) {
  const Result<recheck::Record> record = recheck::read_record("proof.json", text);
  REQUIRE(record);
  return recheck::recheck_record(recorded.job(vehicle), *record);
}

// A folder with a copy of the coupe, its family and the data, and a record made of them there.
struct CopiedJob {
  std::filesystem::path root =
      std::filesystem::temp_directory_path() / ("hosefit_recheck_" + std::to_string(::getpid()));
  json record = json::parse(coupe().text);

  CopiedJob() {
    const std::filesystem::path source = HOSEFIT_ROOT_DIR;
    std::filesystem::remove_all(root);
    std::filesystem::create_directories(root / "proof");
    std::filesystem::copy(source / "vehicles/linnet_coupe", root / "vehicle");
    std::filesystem::copy(source / "pumps", root / "pumps", std::filesystem::copy_options::recursive);
    std::filesystem::copy(source / "solver/data", root / "data");
    record["folders"] = {
        {"vehicle", "../vehicle"}, {"pumps", (root / "pumps").string()}, {"data", "../data"}};
    write();
  }
  ~CopiedJob() { std::filesystem::remove_all(root); }
  void write() const { std::ofstream(root / "proof/proof.json") << record.dump(); }
  std::string bytes(const std::string& file) const {
    std::ifstream in(root / file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  // A change of the input that the record goes along with.
  void edit(const std::string& file, const std::string& name, const std::string& from,
            const std::string& to) {
    std::string text = bytes(file);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    std::ofstream(root / file, std::ios::binary) << text;
    for (json& entry : record["files"])
      if (entry["name"] == name) entry["sha256"] = recheck::sha256(text);
    write();
  }
  Result<recheck::Report> recheck() const { return recheck::recheck_folder({(root / "proof").string()}); }
  std::string problem() const {
    const auto report = recheck();
    REQUIRE_FALSE(report);
    return report.problems().front().place.file + ": " + report.problems().front().path + ": " +
           report.problems().front().text;
  }
};

}  // namespace

TEST_CASE(
    "what is proved to fit in the bundled vehicles is confirmed, with the same tightest gap on every line",
    "[whole]") {
  for (const auto& [recorded, vehicle] :
       {std::pair(&pickup(), "harrow_half_ton"), {&coupe(), "linnet_coupe"}}) {
    const recheck::Report report = rechecked(*recorded, vehicle, recorded->text);
    INFO(recheck::tell(report));
    CHECK(report.answer == recheck::Answer::confirmed);
    REQUIRE(report.candidates.size() == 1);
    const CandidateResult& first = recorded->choice.candidates[0];
    REQUIRE(report.candidates[0].lines.size() == first.proof.lines.size());
    for (std::size_t i = 0; i < first.proof.lines.size(); ++i) {
      REQUIRE_FALSE(first.proof.lines[i].gaps.empty());
      const GapRecord& gap = first.proof.lines[i].gaps.front();
      const auto& tightest = report.candidates[0].lines[i].tightest;
      REQUIRE(tightest);
      const double spare = tightest->found_mm - tightest->required_mm;
      CHECK(spare <= gap.found_mm - gap.required_mm + 0.01);
      CHECK(spare >= gap.proved_mm - gap.required_mm - 0.01);
    }
  }
}

TEST_CASE("every kind of false record is refuted with its sentence") {
  using Tamper = std::function<void(json&)>;
  const auto line = [](json& record, std::size_t i) -> json& { return record["candidates"][0]["lines"][i]; };
  const std::vector<std::pair<std::string, Tamper>> ways{
      {"breaks off by",
       [&](json& r) {
         line(r, 0)["centreline"][0]["straight"]["to"][2] =
             line(r, 0)["centreline"][0]["straight"]["to"][2].get<double>() + 0.05;
       }},
      {"off the neck radiator",
       [&](json& r) { line(r, 0)["centreline"].erase(line(r, 0)["centreline"].size() - 1); }},
      {"does not hold this line", [&](json& r) { r["candidates"][0]["lines"].erase(4); }},
      {"holds this line twice", [&](json& r) { r["candidates"][0]["lines"].push_back(line(r, 1)); }},
      {"that is not wanted", [&](json& r) { line(r, 4)["name"] = "another"; }},
      {"did not consider chassis: radiator core", [&](json& r) { r["candidates"][0]["obstacles"].erase(0); }},
      {"which the input does not place",
       [&](json& r) {
         r["candidates"][0]["obstacles"].push_back({{"body", "chassis"}, {"name", "ghost"}});
       }},
      {"does not go on the neck", [&](json& r) { line(r, 0)["stock"] = "straight_5_8"; }},
      {"holds no stock", [&](json& r) { line(r, 0)["stock"] = "straight_9"; }},
      {"is stock of make", [&](json& r) { line(r, 0)["make"] = "corrugated_hose"; }},
      {"wanted is", [&](json& r) { std::swap(line(r, 0)["from"], line(r, 0)["to"]); }},
      {"tells a diameter of", [&](json& r) { line(r, 0)["sections"][0]["outside_diameter_mm"] = 20; }},
      {"the diameters recorded end at", [&](json& r) { line(r, 3)["sections"].back()["to_mm"] = 3; }},
      {"is pushed", [&](json& r) { line(r, 1)["engagement_from_mm"] = 9; }},
      {"names no piece", [&](json& r) { line(r, 2)["pieces"] = json::array(); }},
      {"the line takes",
       [&](json& r) {
         json& p = line(r, 1)["pieces"][0]["cut_mm"];
         p = p.get<double>() - 3;
       }},
      {"the record tells",
       [&](json& r) {
         json& g = line(r, 0)["gaps"][0]["found_mm"];
         g = g.get<double>() + 5;
         line(r, 0)["gaps"][0]["proved_mm"] = g;
       }},
      {"says nothing of", [&](json& r) { line(r, 0)["gaps"].erase(0); }},
      {"tells a required lead", [&](json& r) { line(r, 0)["lead_from_mm"] = 1; }},
      {"holds no pump", [&](json& r) { r["candidates"][0]["pump"] = "tall"; }},
      {"cannot be fixed at a clock", [&](json& r) { r["candidates"][0]["housing_clock_deg"] = 33; }},
      {"the intake is built from", [&](json& r) { r["candidates"][0]["height_mm"] = 100; }},
      {"wrong way", [&](json& r) { r["candidates"][0]["drive"] = "short low-mount"; }},
      {" mm apart, ", [&](json& r) { r["candidates"][0]["height_mm"] = 280; }},
      {"off the pump's pulley", [&](json& r) { r["candidates"][0]["drive"] = "short low-mount"; }},
      {"leaves the known space", [&](json& r) { line(r, 0)["sections"][0]["outside_diameter_mm"] = 400; }},
      {" mm short", [&](json& r) { r["candidates"][0]["height_mm"] = 316 - 30; }},
      {"no straight and no arc", [&](json& r) { line(r, 0)["centreline"][1]["arc"]["angle_rad"] = 0; }},
      {"the centreline is empty", [&](json& r) { line(r, 0)["centreline"] = json::array(); }},
  };
  for (const auto& [sentence, tamper] : ways) {
    json record = json::parse(pickup().text);
    tamper(record);
    const recheck::Report report = rechecked(pickup(), "harrow_half_ton", record.dump());
    INFO("wanted: " << sentence << "\n" << recheck::tell(report));
    CHECK(report.answer == recheck::Answer::refuted);
    CHECK(recheck::tell(report).find(sentence) != std::string::npos);
  }
}

TEST_CASE("a line of a moulded shape is confirmed, and refuted once its piece is told otherwise") {
  const json whole = json::parse(coupe().text);
  std::size_t moulded = 0;
  const json& lines = whole["candidates"][0]["lines"];
  while (moulded < lines.size() && lines[moulded]["make"] != "moulded_shape") ++moulded;
  REQUIRE(moulded < lines.size());
  REQUIRE(lines[moulded]["pieces"].size() == 1);
  REQUIRE(lines[moulded]["pieces"][0].contains("shape"));
  using Tamper = std::function<void(json&)>;
  const std::vector<std::pair<std::string, Tamper>> ways{
      {"does not say which moulded shape", [](json& p) { p.erase("shape"); }},
      {"holds no shape goose", [](json& p) { p["shape"]["name"] = "goose"; }},
      {"has a radius of|bends, the line|straight for|sprung by|goes through the bend|are not on the shape",
       [](json& p) { p["shape"]["name"] = "U wide"; }},
      {"straight for", [](json& p) { p["shape"]["from_mm"] = p["shape"]["from_mm"].get<double>() + 0.5; }},
      {"straight for", [](json& p) { p["shape"]["to_mm"] = p["shape"]["to_mm"].get<double>() - 0.5; }},
      {"are not on the shape", [](json& p) { p["shape"]["to_mm"] = 5000; }},
      {"the piece is cut to", [](json& p) { p["cut_mm"] = p["cut_mm"].get<double>() + 1; }},
      {"mm long, the record says", [](json& p) { p["bought_mm"] = 0; }},
      {"is one piece of", [](json& p) { p["stock"] = "moulded_1_1_4"; }}};
  for (const auto& [sentences, tamper] : ways) {
    json record = whole;
    tamper(record["candidates"][0]["lines"][moulded]["pieces"][0]);
    const recheck::Report report = rechecked(coupe(), "linnet_coupe", record.dump());
    const std::string told = recheck::tell(report);
    INFO("wanted one of: " << sentences << "\n" << told);
    CHECK(report.answer == recheck::Answer::refuted);
    bool found = false;
    std::stringstream all(sentences);
    for (std::string one; std::getline(all, one, '|');) found = found || told.find(one) != std::string::npos;
    CHECK(found);
  }
  json unknown = whole;
  unknown["candidates"][0]["lines"][moulded]["pieces"][0]["shape"]["mirrored"] = true;
  CHECK_FALSE(recheck::read_record("proof.json", unknown.dump()));
}

TEST_CASE("a record is confirmed in another place, and refused once a file has changed, gone or come") {
  CopiedJob copied;
  const auto first = copied.recheck();
  REQUIRE(first);
  INFO(recheck::tell(*first));
  CHECK(first->answer == recheck::Answer::confirmed);
  std::ofstream(copied.root / "data/stock.yaml", std::ios::app) << "# a word\n";
  CHECK(copied.problem().find("data/stock.yaml: : this file has changed since the record was made") !=
        std::string::npos);
  std::filesystem::remove(copied.root / "data/stock.yaml");
  CHECK(copied.problem().find("cannot be read") != std::string::npos);
  std::filesystem::copy(std::string(HOSEFIT_ROOT_DIR) + "/solver/data/stock.yaml",
                        copied.root / "data/stock.yaml");
  CHECK(copied.recheck());
  std::ofstream(copied.root / "vehicle/stock.yaml") << "hosefit: stock\n";
  CHECK(copied.problem().find("vehicle/stock.yaml: : the record was made without this file") !=
        std::string::npos);
  std::filesystem::remove(copied.root / "vehicle/stock.yaml");
  copied.record["files"].push_back({{"name", "vehicle/bay.stl"}, {"sha256", ""}, {"bytes", 1}});
  copied.write();
  CHECK(copied.problem().find("names it no more") != std::string::npos);
}

TEST_CASE("what the recheck does not know of the input is told, and never confirmed") {
  const auto asked = [](const std::string& file, const std::string& name, const std::string& from,
                        const std::string& to, const std::string& sentence) {
    CopiedJob copied;
    copied.edit(file, name, from, to);
    const auto report = copied.recheck();
    REQUIRE(report);
    INFO(from << " -> " << to << "\n" << recheck::tell(*report));
    CHECK(report->answer == recheck::Answer::cannot_tell);
    CHECK(recheck::tell(*report).find(sentence) != std::string::npos);
  };
  const std::string v = "vehicle/vehicle.yaml", l = "data/limits.yaml";
  asked(v, v, "shape: {capsule: {from: [-10, -400, 572]", "shape: {sausage: {from: [-10, -400, 572]",
        "does not know this shape");
  asked(v, v, "{name: hood latch, hazard: sharp_edge,", "{name: hood latch, hazard: sharp_edge, swings: 20,",
        "this key is not known");
  asked(v, v, "gap: 20, by:", "gap: 20, below: 3, by:", "this key is not known");
  asked(v, v, "hazard: steering, gap", "hazard: steerage, gap", "no row of the table");
  asked(v, v, "{name: front loom, hazard: electrics", "{name: front loom, hazard: magnets",
        "holds no gap for");
  asked(v, v, "tilt_deg: 2.5", "tilt_deg: 2.5\n  yaw_deg: 1", "yaw_deg");
  asked(l, l, "at_rest: 6,", "at_rest: 6, when_hot: 9,", "when_hot");
  asked(v, v, "mounts: firm", "mounts: jelly", "does not know \"jelly\"");
  asked(v, v, "mounts: firm",
        "mounts: firm\n  motion: {roll_deg: 1, lift: 1, forward: 1, rearward: 1, sideways: 1, "
        "axis_below_crank: 9, "
        "pitch_deg: 1, by: A. Fitter, reason: measured}",
        "pitch_deg");
  asked(l, l, "mounts: rubber, roll_deg: 4", "mounts: rubber, yaw_deg: 1, roll_deg: 4", "yaw_deg");
  asked(v, v, "name: Linnet coupe", "name: &n Linnet coupe", "references");
}

namespace {

// An STL text file of a block; `holes` leaves its first triangle away.
std::string block_stl(const Vec3& low, const Vec3& high, bool hole) {
  std::string out = "solid block\n";
  const TriangleMesh mesh = tessellate(BoxShape{Pose::translation((low + high) / 2), (high - low) / 2}, 0.1);
  for (std::size_t i = hole ? 1 : 0; i < mesh.triangles.size(); ++i) {
    out += "facet normal 0 0 0\nouter loop\n";
    for (const auto corner : mesh.triangles[i]) {
      const Vec3& v = mesh.vertices_mm[corner];
      out += "vertex " + std::to_string(v.x()) + " " + std::to_string(v.y()) + " " + std::to_string(v.z()) +
             "\n";
    }
    out += "endloop\nendfacet\n";
  }
  return out + "endsolid block\n";
}

const std::string kFirewall = "{box: {min: [880, -560, 100], max: [900, 560, 690]}}";

Result<recheck::Report> with_mesh_firewall(const std::string& stl,
                                           const std::string& shape = "{mesh: {file: wall.stl, unit: mm}}") {
  CopiedJob copied;
  std::ofstream(copied.root / "vehicle/wall.stl", std::ios::binary) << stl;
  copied.record["files"].push_back(
      {{"name", "vehicle/wall.stl"}, {"sha256", recheck::sha256(stl)}, {"bytes", stl.size()}});
  copied.edit("vehicle/vehicle.yaml", "vehicle/vehicle.yaml", kFirewall, shape);
  return copied.recheck();
}

}  // namespace

TEST_CASE(
    "an obstacle drawn as a mesh is measured as the solid it is, and a line inside a hollow one is refuted") {
  const auto same = with_mesh_firewall(block_stl({880, -560, 100}, {900, 560, 690}, false));
  REQUIRE(same);
  INFO(recheck::tell(*same));
  CHECK(same->answer == recheck::Answer::confirmed);

  const auto nearer = with_mesh_firewall(block_stl({780, -560, 100}, {900, 560, 690}, false));
  REQUIRE(nearer);
  CHECK(nearer->answer == recheck::Answer::refuted);
  CHECK(recheck::tell(*nearer).find("chassis: firewall") != std::string::npos);

  // Around everything: no surface is near, and yet nothing is free. With a triangle missing it is a sheet.
  const Vec3 low(-5000, -5000, -5000), high(5000, 5000, 5000);
  const auto inside = with_mesh_firewall(block_stl(low, high, false));
  REQUIRE(inside);
  CHECK(inside->answer == recheck::Answer::refuted);
  CHECK(recheck::tell(*inside).find("runs inside chassis: firewall") != std::string::npos);
  const auto sheet = with_mesh_firewall(block_stl(low, high, true));
  REQUIRE(sheet);
  CHECK(recheck::tell(*sheet).find("runs inside") == std::string::npos);
  const auto untrue =
      with_mesh_firewall(block_stl(low, high, true), "{mesh: {file: wall.stl, unit: mm, closed: true}}");
  REQUIRE(untrue);
  CHECK(untrue->answer == recheck::Answer::cannot_tell);
  CHECK(recheck::tell(*untrue).find("not watertight") != std::string::npos);
  const auto broken = with_mesh_firewall("solid block\nfacet\nvertex 1 2 nan\n");
  REQUIRE(broken);
  CHECK(broken->answer == recheck::Answer::cannot_tell);
}

TEST_CASE("a mesh or a record that is a link out of its folder is not read") {
  CopiedJob copied;
  const std::string stl = block_stl({880, -560, 100}, {900, 560, 690}, false);
  std::ofstream(copied.root / "wall.stl", std::ios::binary) << stl;
  std::filesystem::create_symlink("../wall.stl", copied.root / "vehicle/wall.stl");
  copied.record["files"].push_back(
      {{"name", "vehicle/wall.stl"}, {"sha256", recheck::sha256(stl)}, {"bytes", stl.size()}});
  copied.edit("vehicle/vehicle.yaml", "vehicle/vehicle.yaml", kFirewall,
              "{mesh: {file: wall.stl, unit: mm}}");
  const auto linked = copied.recheck();
  REQUIRE(linked);
  CHECK(linked->answer == recheck::Answer::cannot_tell);
  CHECK(recheck::tell(*linked).find("leads out of the folder") != std::string::npos);
  std::filesystem::rename(copied.root / "proof/proof.json", copied.root / "elsewhere.json");
  std::filesystem::create_symlink("../elsewhere.json", copied.root / "proof/proof.json");
  CHECK(copied.problem().find("this is a link") != std::string::npos);
}

TEST_CASE("a changed limit, neck or obstacle of the input is measured, whatever the record says", "[whole]") {
  const auto refuted = [](const std::string& from, const std::string& to, const std::string& sentence) {
    CopiedJob copied;
    copied.edit("vehicle/vehicle.yaml", "vehicle/vehicle.yaml", from, to);
    const auto report = copied.recheck();
    REQUIRE(report);
    INFO(from << " -> " << to << "\n" << recheck::tell(*report));
    CHECK(report->answer == recheck::Answer::refuted);
    CHECK(recheck::tell(*report).find(sentence) != std::string::npos);
  };
  refuted("hazard: steering, gap: 20", "hazard: smooth_metal, gap: 90", "90 mm required");
  refuted("at: {at: [40.3, -276.4, 295.2]", "at: {at: [40.3, -276.4, 295.5]", "off the neck radiator.inlet");
  refuted("min: [-20, -505, 55], max: [745, 505, 800]", "min: [60, -505, 55], max: [745, 505, 800]",
          "leaves the known space");
  refuted(
      "to: radiator.inlet, duty: hot, grade: one_way, makes: [straight_hose, moulded_shape, "
      "elbows_and_straights, bent_tube, corrugated_hose]",
      "to: radiator.inlet, duty: hot, grade: one_way, makes: [straight_hose]", "does not allow the make");
  const std::string own =
      "mounts: firm\n  motion: {roll_deg: 2, lift: 5, forward: 80, rearward: 80, sideways: 4, "
      "axis_below_crank: 110, "
      "by: A. Fitter, reason: measured}";
  refuted("mounts: firm", own, "is drawn tight");
  CopiedJob copied;
  copied.edit("data/limits.yaml", "data/limits.yaml",
              "hazard: smooth_metal, same_carrier: false, at_rest: 15, after_motion: 10",
              "hazard: smooth_metal, same_carrier: false, at_rest: 15, after_motion: 60");
  const auto wider = copied.recheck();
  REQUIRE(wider);
  INFO(recheck::tell(*wider));
  CHECK(wider->answer == recheck::Answer::refuted);
  CHECK(recheck::tell(*wider).find("60 mm required after motion") != std::string::npos);
}

TEST_CASE("records that are cut short, hostile or none at all are refused with their place") {
  const std::string& good = pickup().text;
  const auto refused = [](const std::string& text) {
    const auto record = recheck::read_record("proof.json", text);
    REQUIRE_FALSE(record);
    const Problem& p = record.problems().front();
    CHECK(p.text.ends_with("; have `hosefit pick --proof` write it anew"));
    return p.place.file + ":" + std::to_string(p.place.line) + ":" + std::to_string(p.place.column) + ": " +
           p.path + ": " + p.text;
  };
  for (std::size_t at = 0; at < good.size() - 2; at += 1 + good.size() / 300) refused(good.substr(0, at));
  CHECK(refused(good.substr(0, good.size() / 2)).find("cut short") != std::string::npos);
  CHECK(refused("[\n1,\n2 3]").find("proof.json:3:") != std::string::npos);
  CHECK(refused("{}").find("hosefit: is missing") != std::string::npos);
  CHECK(refused(R"({"hosefit": "sheet", "format": 2})").find("no proof record") != std::string::npos);
  CHECK(refused(R"({"hosefit": "proof", "format": 1})").find("reads format 4, found 1") != std::string::npos);
  CHECK(refused(std::string(100000, '[')).find("cut short") != std::string::npos);
  json record = json::parse(good);
  record["candidates"][0]["lines"][2]["centreline"][0]["straight"]["to"][1] = "near";
  CHECK(refused(record.dump()).find("candidates[0].lines[2].centreline[0].straight.to: want a number") !=
        std::string::npos);
  record = json::parse(good);
  record["candidates"][0]["lines"][2]["centreline"][0]["straight"]["to"][1] = 1e300;
  CHECK(refused(record.dump()).find("straight.to: want a number of at most") != std::string::npos);
  record = json::parse(good);
  record["candidates"][0]["lines"][1]["clamps"][0]["nek"] = "pump.outlet";
  CHECK(refused(record.dump()).find("clamps[0].nek: this key is not known") != std::string::npos);
  CHECK(refused(R"({"hosefit": "proof", "format": 4, "format": 4})").find("format stands twice") !=
        std::string::npos);
  CHECK(refused("{\n \"hosefit\": \"proof\",\n \"format\": 1\n}").starts_with("proof.json:3:12: format: "));
  CHECK(refused("{\n \"hosefit\": 1e999\n}").starts_with("proof.json:2:13: : this number is beyond"));
  record = json::parse(good);
  record["candidates"][0]["lines"] = {{"upper", 1}};
  CHECK(refused(record.dump()).find("candidates[0].lines: want a list") != std::string::npos);
}

TEST_CASE("a folder without a record and one that leads out of the families are refused") {
  const auto none = recheck::recheck_folder({"/nowhere/at/all"});
  REQUIRE_FALSE(none);
  CHECK(none.problems().front().text.find("no proof record here") != std::string::npos);
  CopiedJob copied;
  copied.record["family"] = "../dunlin";
  copied.write();
  CHECK(copied.problem().find("want the name of a folder") != std::string::npos);
}

TEST_CASE("control bytes in names reach no terminal, and what is not checked is always told") {
  json record = json::parse(pickup().text);
  record["candidates"][0]["lines"][0]["name"] = "up\x1b[31mper";
  const std::string told = recheck::tell(rechecked(pickup(), "harrow_half_ton", record.dump()));
  CHECK(told.find('\x1b') == std::string::npos);
  CHECK(told.find("Not rechecked: in motion a line and its clamps against that line itself") !=
        std::string::npos);
}

TEST_CASE("where the two proofs disagree it is said what to do, and only there") {
  const std::string what = "the two proofs disagree";
  json record = json::parse(coupe().text);
  record["candidates"][0]["lines"][4]["name"] = "another";
  const recheck::Report refuted = rechecked(coupe(), "linnet_coupe", record.dump());
  REQUIRE(refuted.answer == recheck::Answer::refuted);
  CHECK(recheck::tell(refuted).find(what) != std::string::npos);
  const recheck::Report confirmed = rechecked(coupe(), "linnet_coupe", coupe().text);
  REQUIRE(confirmed.answer == recheck::Answer::confirmed);
  CHECK(recheck::tell(confirmed).find(what) == std::string::npos);
}

TEST_CASE("a record without candidates confirms nothing") {
  json record = json::parse(pickup().text);
  record["candidates"] = json::array();
  CHECK(rechecked(pickup(), "harrow_half_ton", record.dump()).answer == recheck::Answer::cannot_tell);
}

TEST_CASE("a line that runs into itself or folds is refuted, one that turns round is not") {
  const auto looped = [](double angle_rad, double radius_mm, double outside_mm) {
    static recheck::RecordedLine line;
    static recheck::Stock stock;
    recheck::Tube tube;
    line = {};
    const recheck::V3 end(300, 0, 0), centre(300, radius_mm, 0);
    const recheck::ArcPiece arc{end, centre, recheck::V3::UnitZ(), angle_rad};
    const double length = radius_mm * angle_rad;
    const recheck::V3 out = recheck::at(arc, length);
    line.curve = {recheck::StraightPiece{recheck::V3::Zero(), end}, arc,
                  recheck::StraightPiece{out, out + 300 * recheck::direction(arc, length)}};
    tube.recorded = &line;
    tube.stock = &stock;
    tube.length_mm = recheck::length_mm(line.curve);
    double s = 0;
    for (const recheck::CurvePiece& piece : line.curve) {
      recheck::Stretch stretch;
      stretch.piece = piece;
      stretch.from_mm = s;
      stretch.to_mm = s += recheck::length_mm(piece);
      stretch.radius_mm = outside_mm / 2;
      tube.stretches.push_back(stretch);
    }
    recheck::Effort effort;
    const auto faults = recheck::self_faults(tube, effort);
    return faults.empty() ? std::string("holds") : faults.front().text;
  };
  const double turn = std::numbers::pi / 180;
  CHECK(looped(270 * turn, 100, 40).find("into itself") != std::string::npos);  // crosses its own beginning
  CHECK(looped(180 * turn, 100, 40) == "holds");
  CHECK(looped(180 * turn, 22.1, 40) == "holds");                              // legs 44.2 mm apart
  CHECK(looped(200 * turn, 30, 40).find("into itself") != std::string::npos);  // legs run together
  CHECK(looped(90 * turn, 21, 40).find("folds") != std::string::npos);
}
