// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/recheck.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "solver/recheck/line_checks.h"
#include "solver/recheck/motion_checks.h"
#include "solver/recheck/neck_places.h"
#include "solver/recheck/tees.h"

namespace hosefit::recheck {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostRecordBytes = std::size_t{32} << 20;

Problems problem(const std::string& file, std::string text) {
  return {{{file, 0, 0}, "", std::move(text), ""}};
}

Result<Record> open_record(const std::string& folder) {
  const std::string path = (fs::path(folder) / kRecordName).string();
  std::error_code error;
  if (!fs::exists(path, error))
    return problem(path, "there is no proof record here; `hosefit pick VEHICLE --proof FOLDER` writes one");
  if (fs::is_symlink(path, error))
    return problem(path, "this is a link; put the record itself here, or name the folder that it lies in");
  if (!fs::is_regular_file(path, error)) return problem(path, "this is no file, and a proof record is one");
  if (fs::file_size(path, error) > kMostRecordBytes || error)
    return problem(path, fmt::format("larger than the {} MiB that are read", kMostRecordBytes >> 20));
  std::ifstream in(path, std::ios::binary);
  std::string bytes(std::istreambuf_iterator<char>(in), {});
  if (!in || in.bad()) return problem(path, "this file cannot be read");
  return read_record(path, bytes);
}

JobFolders folders_of(const Places& places, const Record& record) {
  const auto where = [&](const std::optional<std::string>& asked, const std::string& told) {
    return asked ? fs::path(*asked) : fs::path(places.proof_folder) / told;  // an absolute one replaces it
  };
  return {where(places.vehicle_folder, record.vehicle_folder).string(),
          (where(places.pumps_folder, record.pumps_folder) / record.family).string(),
          where(places.data_folder, record.data_folder).string()};
}

bool is_plain_name(const std::string& name) {
  return !name.empty() && name != "." && name != ".." && name.find_first_of("/\\") == std::string::npos;
}

const Stock* stock_named(const Job& job, const std::string& id) {
  for (const Stock& stock : job.stock)
    if (stock.id == id) return &stock;
  return nullptr;
}

// That a recorded line is the one wanted and may be made that way.
void check_identity(const Line& wanted, const RecordedLine& recorded, const Stock& stock,
                    std::vector<Fault>& faults) {
  if (recorded.from != wanted.from || recorded.to != wanted.to)
    faults.push_back({fmt::format("the record leads it from {} to {}, wanted is {} to {}", recorded.from,
                                  recorded.to, wanted.from, wanted.to)});
  if (recorded.make != stock.make)
    faults.push_back(
        {fmt::format("{} is stock of make {}, the record says {}", stock.id, stock.make, recorded.make)});
  if (std::find(wanted.makes.begin(), wanted.makes.end(), stock.make) == wanted.makes.end())
    faults.push_back({fmt::format("the input does not allow the make {} for this line", stock.make)});
  if (wanted.stock && *wanted.stock != stock.id)
    faults.push_back({fmt::format("the input asks for {} and the record takes {}", *wanted.stock, stock.id)});
}

// The considered obstacles are exactly those of the input.
void check_obstacles(const Bay& bay, const RecordedCandidate& recorded, std::vector<Fault>& faults) {
  std::vector<std::pair<std::string, std::string>> told, wanted;
  for (const RecordedObstacle& o : recorded.obstacles) told.emplace_back(o.body, o.name);
  for (const PlacedObstacle& o : bay.obstacles) wanted.emplace_back(o.body, o.name);
  std::sort(told.begin(), told.end());
  std::sort(wanted.begin(), wanted.end());
  for (const auto& [body, name] : wanted)
    if (!std::binary_search(told.begin(), told.end(), std::pair(body, name)))
      faults.push_back({fmt::format("the record did not consider {}: {}", body, name)});
  for (const auto& [body, name] : told)
    if (!std::binary_search(wanted.begin(), wanted.end(), std::pair(body, name)))
      faults.push_back(
          {fmt::format("the record considers {}: {}, which the input does not place", body, name)});
  if (told.size() != wanted.size() && faults.empty())
    faults.push_back({"the record considers an obstacle twice"});
}

class CandidateCheck {
 public:
  CandidateCheck(const Job& job, const RecordedCandidate& recorded) : job_(job), recorded_(recorded) {}

  CandidateAnswer answer(Asked asked) {
    out_.pump = recorded_.pump;
    out_.drive = recorded_.drive;
    out_.housing = recorded_.housing;
    out_.intake = recorded_.intake;
    out_.clock_deg = recorded_.clock_deg;
    out_.height_mm = recorded_.height_mm;
    const Chosen chosen = choose(job_, recorded_, out_.faults);
    if (chosen.pump != nullptr) {
      bay_ = place(job_, chosen, recorded_, out_.faults);
      out_.obstacles = bay_.obstacles.size();
      for (const PlacedNeck& placed : bay_.necks)
        if (placed.elsewhere)
          out_.moved_necks.push_back({placed.neck.name, placed.neck.end_mm, placed.neck.outward});
      for (const RecordedTee& tee : recorded_.tees)
        out_.tees.push_back({tee.name, tee.middle_mm, tee.clock_deg});
      check_obstacles(bay_, recorded_, out_.faults);
      for (Fault& fault : tube_faults(job_, bay_)) out_.faults.push_back(std::move(fault));
      for (Fault& fault : clashes(bay_, job_.gaps, job_.fan_on_engine))
        out_.faults.push_back(std::move(fault));
      check_lines();
      conclude();
      if (asked == Asked::in_motion_too && out_.answer == Answer::confirmed) check_motion();
    }
    conclude();
    return std::move(out_);
  }

 private:
  void check_lines() {
    for (const RecordedLine& line : recorded_.lines)
      if (std::none_of(bay_.lines.begin(), bay_.lines.end(),
                       [&](const PlacedLine& placed) { return placed.line->name == line.name; }))
        out_.faults.push_back({fmt::format("the record holds a line {} that is not wanted", line.name)});
    for (std::size_t i = 0; i < bay_.lines.size(); ++i) begin_line(i);
    for (Fault& fault : tee_faults(job_, bay_, tubes_)) out_.faults.push_back(std::move(fault));
    for (std::size_t k = 0; k < tubes_.size(); ++k) measure(tubes_[k], out_.lines[answer_of_[k]]);
    if (effort_.spent())
      out_.faults.push_back(
          {"the lines are too long or too crowded to be measured within the recheck's limits", {}, true});
  }

  // All that needs no other line; then the tube is ready to be measured.
  void begin_line(std::size_t index) {
    const Line& wanted = *bay_.lines[index].line;
    LineAnswer answer;
    answer.name = wanted.name;
    const RecordedLine* recorded = nullptr;
    for (const RecordedLine& line : recorded_.lines) {
      if (line.name != wanted.name) continue;
      if (recorded != nullptr) answer.faults.push_back({"the record holds this line twice"});
      recorded = &line;
    }
    const Stock* stock = recorded == nullptr ? nullptr : stock_named(job_, recorded->stock);
    if (recorded == nullptr) {
      answer.faults.push_back({"the record does not hold this line"});
    } else if (stock == nullptr) {
      answer.faults.push_back({fmt::format("the input holds no stock {}", recorded->stock)});
    } else {
      answer.make = stock->make;
      answer.stock = stock->id;
      check_identity(wanted, *recorded, *stock, answer.faults);
      std::vector<Fault> broken = curve_faults(recorded->curve);
      if (broken.empty()) {
        tubes_.push_back(tube_of(bay_, index, *recorded, *stock));
        answer_of_.push_back(out_.lines.size());
        answer.length_mm = tubes_.back().length_mm;
      }
      for (Fault& fault : broken) answer.faults.push_back(std::move(fault));
    }
    out_.lines.push_back(std::move(answer));
  }

  void measure(const Tube& tube, LineAnswer& answer) {
    const auto add = [&](std::vector<Fault> faults) {
      for (Fault& fault : faults) answer.faults.push_back(std::move(fault));
    };
    add(end_faults(bay_, tube));
    add(stock_faults(bay_, tube));
    add(grade_faults(bay_, tube));
    add(known_space_faults(job_.known_space, tube));
    GapsFound gaps = measure_gaps(bay_, job_.gaps, tube, tubes_, effort_);
    answer.tightest = std::move(gaps.tightest);
    add(std::move(gaps.faults));
    add(self_faults(tube, effort_));
    ClampsFound clamps = clamp_faults({bay_, job_.gaps, tubes_}, tube, effort_);
    answer.clamps = clamps.measured;
    answer.tightest_clamp = std::move(clamps.tightest);
    answer.clips = tube.recorded->clips.size();
    add(clip_faults(bay_, tube));
    add(std::move(clamps.faults));
  }

  // Precondition: everything holds at rest.
  void check_motion() {
    const auto figures = mounts_figures(job_);
    if (!figures) return out_.faults.push_back({"the input does not say how far the engine goes", {}, true});
    out_.motion = figures_words(*figures);
    const EngineWays ways = engine_ways(engine_frame(job_), *figures);
    const Moving moving{bay_, job_.gaps, ways};
    MotionEffort effort;
    out_.faults = parts_motion_faults(moving, job_.fan_on_engine, effort);
    std::vector<std::vector<MovingLine>> lines;
    std::vector<std::vector<SweptLine>> swept;
    for (std::size_t k = 0; k < tubes_.size(); ++k) {
      lines.push_back(moving_parts(bay_, tubes_[k], ways));
      LineInMotionFound found = line_motion_faults(moving, lines[k], effort);
      LineAnswer& answer = out_.lines[answer_of_[k]];
      answer.faults = std::move(found.faults);
      if (found.tightest)
        answer.in_motion = TightestInMotion{*found.tightest, place_words(found.tightest_at)};
    }
    for (const auto& parts : lines) {
      swept.emplace_back();
      for (const MovingLine& part : parts) swept.back().push_back({&part, swept_mm(part, ways)});
    }
    for (std::size_t a = 0; a < lines.size(); ++a)
      for (std::size_t b = a + 1; b < lines.size(); ++b)
        for (Fault& fault : lines_motion_faults(moving, swept[a], swept[b], effort))
          out_.lines[answer_of_[a]].faults.push_back(std::move(fault));
    if (effort.spent())
      out_.faults.push_back({"motion is too much to be worked out within the recheck's limits", {}, true});
  }

  void conclude() {
    bool refuted = false, undecided = false;
    const auto look = [&](const std::vector<Fault>& faults) {
      for (const Fault& fault : faults) (fault.undecided ? undecided : refuted) = true;
    };
    look(out_.faults);
    for (const LineAnswer& line : out_.lines) look(line.faults);
    out_.answer = refuted ? Answer::refuted : undecided ? Answer::cannot_tell : Answer::confirmed;
  }

  const Job& job_;
  const RecordedCandidate& recorded_;
  CandidateAnswer out_;
  Bay bay_;
  std::vector<Tube> tubes_;
  std::vector<std::size_t> answer_of_;  // of each tube, into out_.lines
  Effort effort_;
};

Answer answer_of(const Report& report) {
  const auto any = [&](Answer answer) {
    return std::any_of(report.candidates.begin(), report.candidates.end(),
                       [&](const CandidateAnswer& c) { return c.answer == answer; });
  };
  if (any(Answer::refuted)) return Answer::refuted;
  return report.candidates.empty() || any(Answer::cannot_tell) ? Answer::cannot_tell : Answer::confirmed;
}

}  // namespace

Report recheck_record(const Job& job, const Record& record, Asked asked) {
  Report report;
  for (const RecordedCandidate& candidate : record.candidates)
    report.candidates.push_back(CandidateCheck(job, candidate).answer(asked));
  report.answer = answer_of(report);
  return report;
}

Result<Report> recheck_folder(const Places& places) {
  const Result<Record> record = open_record(places.proof_folder);
  if (!record) return record.problems();
  if (!is_plain_name(record->family))
    return problem((fs::path(places.proof_folder) / kRecordName).string(),
                   "family: want the name of a folder");
  JobRead job = read_job(folders_of(places, *record), *record);
  if (!job.missing.empty()) return job.missing;
  if (!job.changed.empty()) return job.changed;
  if (!job.not_understood.empty()) {
    Report report;
    report.not_understood = std::move(job.not_understood);
    return report;
  }
  return recheck_record(*job.job, *record);
}

}  // namespace hosefit::recheck
