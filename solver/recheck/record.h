// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solver/base/result.h"
#include "solver/recheck/space.h"

/// A proof record as read; its format is told in recheck.h. Nothing in it is believed: it says where the
/// lines are meant to run and what was found, and the recheck finds out for itself.
namespace hosefit::recheck {

struct StraightPiece {
  V3 from_mm, to_mm;
};
struct ArcPiece {
  V3 start_mm, centre_mm, normal;
  double angle_rad;
};
using CurvePiece = std::variant<StraightPiece, ArcPiece>;

struct RecordedSection {
  double from_mm = 0, to_mm = 0, outside_mm = 0;
};
/// Of a moulded shape: its name and its two cuts, along it as sold.
struct RecordedShape {
  std::string name;
  double from_mm = 0, to_mm = 0;
  bool reversed = false;
};
struct RecordedPiece {
  std::string stock, what;
  double cut_mm = 0, bought_mm = 0;
  std::optional<RecordedShape> shape = {};
};
struct RecordedGap {
  std::string body, obstacle;  ///< obstacle empty: `body` is the name of another line
  double required_mm = 0, found_mm = 0, proved_mm = 0;
};
struct RecordedClamp {
  std::optional<std::string> neck;  ///< empty inside the run
  std::size_t piece = 0;
  bool at_start = true;
  double from_end_mm = 0, clock_rad = 0, spare_mm = 0;
};
struct RecordedClip {
  double at_mm = 0;     ///< along the line
  std::string carrier;  ///< engine or chassis
  std::string body, obstacle;
};
struct RecordedLine {
  std::string name, from, to, make, stock;
  double engagement_from_mm = 0, engagement_to_mm = 0;
  double lead_from_mm = 0, lead_to_mm = 0;
  std::vector<CurvePiece> curve;
  std::vector<RecordedSection> sections;
  std::vector<RecordedPiece> pieces;
  std::vector<RecordedGap> gaps;
  std::vector<RecordedClamp> clamps;
  std::vector<RecordedClip> clips;
};
struct RecordedObstacle {
  std::string body, name;
};
struct RecordedNeck {
  std::string name;
  std::vector<double> slide_mm;
  double turn_deg = 0;
};
struct RecordedTee {
  std::string name;
  V3 middle_mm = V3::Zero(), along = V3::Zero();
  double clock_deg = 0;
};
struct RecordedCandidate {
  std::string pump, drive, housing, intake;
  double clock_deg = 0, height_mm = 0;
  std::vector<RecordedNeck> necks;
  std::vector<RecordedTee> tees;
  std::vector<RecordedObstacle> obstacles;
  std::vector<RecordedLine> lines;
};
struct RecordedFile {
  std::string name, sha256;  ///< name: "vehicle/...", "family/..." or "data/..."
};
struct Record {
  std::string vehicle_folder, pumps_folder, data_folder, family;
  std::vector<RecordedFile> files;
  std::vector<RecordedCandidate> candidates;
};

/// `shown` is the file's name in messages.
Result<Record> read_record(const std::string& shown, const std::string& bytes);

}  // namespace hosefit::recheck
