// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <string>
#include <vector>

#include "solver/recheck/job.h"
#include "solver/recheck/yaml_values.h"

namespace hosefit::recheck {

/// What the job's files are read with: bytes come through here only, each held against its fingerprint.
class Files {
 public:
  Files(JobFolders folders, const std::vector<RecordedFile>& recorded);
  /// Of "vehicle/...", "family/..." or "data/..."; empty after a refusal in `missing` or `changed`.
  std::string bytes(const std::string& name, std::size_t most_bytes);
  bool exists(const std::string& name) const;
  std::string path(const std::string& name) const;
  bool lies_beside(const std::string& name) const;  ///< in that folder, links followed
  /// Recorded files that were not read; to be told once all is read.
  void refuse_unread();

  Refusals missing, changed;

  struct Mesh {
    std::shared_ptr<const TriangleGrid> grid;
    bool watertight = false;
    std::string why;  ///< when there is no grid
  };
  const Mesh& mesh(const YamlFile& from, const std::string& file, double mm_per_unit);

 private:
  JobFolders folders_;
  std::map<std::string, std::string> recorded_;
  std::map<std::string, bool> read_;
  std::map<std::pair<std::string, double>, Mesh> meshes_;
};

std::optional<Solid> read_solid(Table in, Files& files);
std::optional<Obstacle> read_obstacle(Table& in, Files& files);
std::vector<Obstacle> read_obstacles(Table& in, const char* key, Files& files);
Neck read_neck(Table in);
std::vector<Neck> read_necks(Table& in, const char* key);
/// Necks that may say `choose`.
std::vector<Neck> read_chassis_necks(Table& in, const char* key);
/// What goes along with necks are obstacles of the chassis, each with one neck. Asked once all are read.
void refuse_false_companions(Table& in, const Job& job);

void read_vehicle(Table in, Files& files, Job& job);
void read_engine(Table in, Files& files, Job& job);
void read_pumps(Table in, Files& files, Job& job);
void read_drives(Table in, Files& files, Job& job);
void read_housings(Table in, Files& files, Job& job);
void read_intakes(Table in, Files& files, Job& job);
void read_stock(Table in, Job& job);
void read_limits(Table in, Job& job);
/// After the limits: what the shop set in their place.
void apply_shop_gaps(Table in, Job& job);

}  // namespace hosefit::recheck
