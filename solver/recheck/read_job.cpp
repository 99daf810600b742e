// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <utility>

#include "solver/recheck/fingerprint.h"
#include "solver/recheck/read_shapes.h"
#include "solver/recheck/tape.h"

namespace hosefit::recheck {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostYamlBytes = std::size_t{16} << 20;
constexpr std::string_view kAnew = "have `hosefit pick --proof` write the record anew";

bool read_whole(const std::string& path, std::size_t most, std::string& out) {
  std::error_code error;
  if (!fs::is_regular_file(path, error) || fs::file_size(path, error) > most || error) return false;
  std::ifstream in(path, std::ios::binary);
  out.assign(std::istreambuf_iterator<char>(in), {});
  return !in.bad() && out.size() <= most;
}

// A file of the job read as YAML; its head is taken.
YamlFile open(const std::string& name, const std::string& kind, Files& files, Refusals& not_understood) {
  YamlFile file;
  file.path = files.path(name);
  file.base = name.substr(0, name.find('/'));
  const std::string bytes = files.bytes(name, kMostYamlBytes);
  if (files.missing.any() || files.changed.any()) return file;
  file.root = read_yaml(file.path, bytes, not_understood);
  Table head(file, file.root, "", not_understood);
  if (head.word("hosefit") != kind) head.refuse("hosefit", fmt::format("want {}", kind));
  if (head.number("format") != 1) head.refuse("format", "the recheck knows format 1 only");
  if (head.has("units") && head.one_of("units", {"mm", "in"}) == "in") file.unit = LengthUnit::inch;
  if (kind == "vehicle") work_out_tape(file, not_understood);
  return file;
}

Table body_of(const YamlFile& file, Refusals& refusals) {
  Table in(file, file.root, "", refusals);
  for (const char* key : {"hosefit", "format", "units", "measured"}) in.set_aside(key);
  return in;
}

void read_all(Files& files, Job& job, Refusals& not_understood) {
  const auto use = [&](const std::string& name, const std::string& kind, const auto& reader) {
    const YamlFile file = open(name, kind, files, not_understood);
    if (!files.missing.any() && !files.changed.any() && !not_understood.any())
      reader(body_of(file, not_understood));
  };
  use("vehicle/vehicle.yaml", "vehicle", [&](const Table& in) { read_vehicle(in, files, job); });
  use("family/engine.yaml", "engine", [&](const Table& in) { read_engine(in, files, job); });
  use("family/pumps.yaml", "pumps", [&](const Table& in) { read_pumps(in, files, job); });
  use("family/drives.yaml", "drives", [&](const Table& in) { read_drives(in, files, job); });
  use("family/housings.yaml", "housings", [&](const Table& in) { read_housings(in, files, job); });
  use("family/intakes.yaml", "intakes", [&](const Table& in) { read_intakes(in, files, job); });
  if (files.exists("vehicle/stock.yaml"))
    use("vehicle/stock.yaml", "stock", [&](const Table& in) { read_stock(in, job); });
  use("data/stock.yaml", "stock", [&](const Table& in) { read_stock(in, job); });
  use("data/limits.yaml", "limits", [&](const Table& in) { read_limits(in, job); });
  use("vehicle/vehicle.yaml", "vehicle", [&](const Table& in) { apply_shop_gaps(in, job); });
}

}  // namespace

Files::Files(JobFolders folders, const std::vector<RecordedFile>& recorded) : folders_(std::move(folders)) {
  for (const RecordedFile& file : recorded) recorded_[file.name] = file.sha256;
}

std::string Files::path(const std::string& name) const {
  const std::size_t slash = name.find('/');
  const std::string base = name.substr(0, slash);
  const std::string& folder = base == "vehicle"  ? folders_.vehicle
                              : base == "family" ? folders_.family
                                                 : folders_.data;
  return (fs::path(folder) / name.substr(slash + 1)).string();
}

bool Files::exists(const std::string& name) const {
  std::error_code error;
  return fs::exists(path(name), error);
}

bool Files::lies_beside(const std::string& name) const {
  std::error_code error;
  const fs::path file = fs::weakly_canonical(path(name), error);
  const fs::path folder = fs::weakly_canonical(fs::path(path(name.substr(0, name.find('/') + 1))), error);
  const fs::path way = file.lexically_relative(folder);
  return !error && !way.empty() && *way.begin() != "..";
}

std::string Files::bytes(const std::string& name, std::size_t most_bytes) {
  std::string out;
  const std::string where = path(name);
  const bool told = std::exchange(read_[name], true);  // what is wrong with it is told once
  if (told && (missing.any() || changed.any())) return {};
  if (!read_whole(where, most_bytes, out)) {
    missing.add(
        {where, 0, 0}, "",
        fmt::format("this file of the input cannot be read; bring it back, say with --vehicle, --pumps or "
                    "--data where it lies now, or {}",
                    kAnew));
    return {};
  }
  if (name.ends_with(".yaml") && out.starts_with("\xEF\xBB\xBF")) out.erase(0, 3);  // no part of the text
  const auto known = recorded_.find(name);
  if (known == recorded_.end()) {
    changed.add({where, 0, 0}, "",
                fmt::format("the record was made without this file; take it away, or {}", kAnew));
    return {};
  }
  if (known->second == sha256(out)) return out;
  changed.add(
      {where, 0, 0}, "",
      fmt::format("this file has changed since the record was made; bring the old one back, or {}", kAnew));
  return {};
}

void Files::refuse_unread() {
  for (const auto& [name, sum] : recorded_)
    if (!read_.contains(name))
      changed.add(
          {path(name), 0, 0}, "",
          fmt::format("the record was made with this file, and the input names it no more; {}", kAnew));
}

JobRead read_job(const JobFolders& folders, const Record& record) {
  Files files(folders, record.files);
  Refusals not_understood;
  Job job;
  job.family = record.family;
  read_all(files, job, not_understood);
  if (!not_understood.any() && !files.missing.any() && !files.changed.any()) files.refuse_unread();
  JobRead out{std::nullopt, files.missing.list(), files.changed.list(), not_understood.list()};
  if (out.missing.empty() && out.changed.empty() && out.not_understood.empty()) out.job = std::move(job);
  return out;
}

}  // namespace hosefit::recheck
