// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/load_job.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "solver/input/clamp_yaml.h"
#include "solver/input/fingerprint.h"
#include "solver/input/job_check.h"
#include "solver/input/stock_yaml.h"
#include "solver/input/tape_yaml.h"
#include "solver/input/tee_yaml.h"
#include "solver/input/vehicle_yaml.h"

namespace hosefit {
namespace {

namespace fs = std::filesystem;

std::string under(const std::string& folder, std::string_view file) {
  return (fs::path(folder) / file).string();
}

// A tree that stands for a file that could not be read.
YamlNode unreadable() {
  YamlNode node;
  node.ok = false;
  return node;
}

InputFile open_file(const std::string& path, FileKind kind, ProblemLog& log) {
  InputFile file{source_text(path, ""), kind, unreadable()};
  Result<std::string> bytes = read_bytes(path, kMostYamlBytes);
  if (!bytes) {
    for (const Problem& p : bytes.problems()) log.add(p);
    return file;
  }
  file.source = source_text(path, *std::move(bytes));
  if (auto root = read_yaml(file.source, log))
    file.root = *std::move(root);
  else
    return file;
  if (!check_tree(file, log)) file.root = unreadable();
  read_tape(file, log);
  return file;
}

std::vector<std::string> folders_in(const std::string& folder) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator it(folder.empty() ? "." : folder, error), end; !error && it != end;
       it.increment(error))
    if (it->is_directory(error)) names.push_back(it->path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

bool is_plain_folder_name(const std::string& name) {
  return !name.empty() && name.find_first_of("/\\") == std::string::npos && name != "." && name != "..";
}

bool family_is_there(const JobPaths& paths, const std::string& family) {
  std::error_code error;
  return is_plain_folder_name(family) && fs::is_directory(fs::path(paths.pumps_folder) / family, error);
}

void refuse_family(const JobPaths& paths, const std::string& family, const InputFile& vehicle,
                   ProblemLog& log) {
  const std::string text = fmt::format("no engine family \"{}\" in {}{}", family, paths.pumps_folder,
                                       did_you_mean(family, folders_in(paths.pumps_folder)));
  if (paths.family) return log.add_unplaced("command line", "family", text);
  MapView(vehicle, vehicle.root, "").map("engine").refuse(log, "family", text);
}

FamilyFiles open_family(const JobPaths& paths, const InputFile& vehicle, const std::string& family,
                        ProblemLog& log) {
  const auto open = [&](FileKind kind) {
    const std::string path = under(under(paths.pumps_folder, family), fmt::format("{}.yaml", word(kind)));
    return family_is_there(paths, family) ? open_file(path, kind, log)
                                          : InputFile{source_text(path, ""), kind, unreadable()};
  };
  if (!family.empty() && !family_is_there(paths, family)) refuse_family(paths, family, vehicle, log);
  return {open(FileKind::engine), open(FileKind::pumps), open(FileKind::drives), open(FileKind::housings),
          open(FileKind::intakes)};
}

bool vehicle_is_there(const JobPaths& paths, ProblemLog& log) {
  std::error_code error;
  if (fs::is_directory(paths.vehicle_folder.empty() ? "." : paths.vehicle_folder, error)) return true;
  fs::path folder(paths.vehicle_folder);
  if (folder.filename().empty()) folder = folder.parent_path();
  log.add_unplaced(
      paths.vehicle_folder, "",
      fmt::format("no such vehicle folder{}",
                  did_you_mean(folder.filename().string(), folders_in(folder.parent_path().string()))));
  return false;
}

void add_file(Sha256& sum, std::string_view name, std::string_view bytes) {
  sum.add(fmt::format("{}\n{}\n", name, bytes.size()));
  sum.add(bytes);
}

std::string fingerprint(const JobFiles& files, const MeshShelf& meshes) {
  Sha256 sum;
  const FamilyFiles& f = files.family;
  for (const InputFile* file : {&files.vehicle, &f.engine, &f.pumps, &f.drives, &f.housings, &f.intakes})
    add_file(sum, word(file->kind), file->source.bytes);
  if (files.shelf) add_file(sum, "shelf", files.shelf->source.bytes);
  add_file(sum, "stock", files.stock.source.bytes);
  add_file(sum, "limits", files.limits.source.bytes);
  if (files.clamp_shelf) add_file(sum, "clamp shelf", files.clamp_shelf->source.bytes);
  add_file(sum, "clamps", files.clamps.source.bytes);
  std::vector<const MeshShelf::Entry*> sorted;
  for (const auto& [key, entry] : meshes.all()) sorted.push_back(&entry);
  std::sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) {
    return std::tie(a->shown_name, a->bytes) < std::tie(b->shown_name, b->bytes);
  });
  for (const MeshShelf::Entry* entry : sorted) add_file(sum, entry->shown_name, entry->bytes);
  return sum.hexadecimal();
}

FileRead file_read(std::string name, std::string_view bytes) {
  Sha256 sum;
  sum.add(bytes);
  return {std::move(name), sum.hexadecimal(), bytes.size()};
}

std::vector<FileRead> files_read(const JobFiles& files, const MeshShelf& meshes) {
  const FamilyFiles& f = files.family;
  std::vector<FileRead> out{file_read("vehicle/vehicle.yaml", files.vehicle.source.bytes),
                            file_read("data/stock.yaml", files.stock.source.bytes),
                            file_read("data/limits.yaml", files.limits.source.bytes)};
  for (const InputFile* file : {&f.engine, &f.pumps, &f.drives, &f.housings, &f.intakes})
    out.push_back(file_read(fmt::format("family/{}.yaml", word(file->kind)), file->source.bytes));
  if (files.shelf) out.push_back(file_read("vehicle/stock.yaml", files.shelf->source.bytes));
  const std::string vehicle_folder = fs::path(files.vehicle.source.path).parent_path().string();
  for (const auto& [key, entry] : meshes.all())
    out.push_back(
        file_read((entry.folder == vehicle_folder ? "vehicle/" : "family/") + entry.shown_name, entry.bytes));
  const auto by_name = [](const FileRead& a, const FileRead& b) { return a.name < b.name; };
  const auto same = [](const FileRead& a, const FileRead& b) { return a.name == b.name; };
  std::sort(out.begin(), out.end(), by_name);
  out.erase(std::unique(out.begin(), out.end(), same), out.end());  // one mesh may be named in two units
  return out;
}

JobFiles open_files(const JobPaths& paths, ProblemLog& log) {
  JobFiles files;
  files.vehicle = open_file(under(paths.vehicle_folder, "vehicle.yaml"), FileKind::vehicle, log);
  const MapView engine = MapView(files.vehicle, files.vehicle.root, "").map("engine");
  files.family = open_family(paths, files.vehicle, paths.family.value_or(engine.text("family")), log);
  const auto open_shelf = [&](std::string_view name, FileKind kind) {
    std::error_code error;
    const std::string shelf = under(paths.vehicle_folder, name);
    return fs::exists(shelf, error) ? std::optional(open_file(shelf, kind, log)) : std::nullopt;
  };
  files.shelf = open_shelf("stock.yaml", FileKind::stock);
  files.clamp_shelf = open_shelf("clamps.yaml", FileKind::clamps);
  files.stock = open_file(under(paths.data_folder, "stock.yaml"), FileKind::stock, log);
  files.clamps = open_file(under(paths.data_folder, "clamps.yaml"), FileKind::clamps, log);
  files.limits = open_file(under(paths.data_folder, "limits.yaml"), FileKind::limits, log);
  return files;
}

// The shop's own figures, or those of the mounts; the table holds every kind (read_mounts, and its size in
// the tables).
EngineMotion motion_of(const Vehicle& vehicle, const std::vector<MountsMotion>& mounts) {
  if (vehicle.motion) return *vehicle.motion;
  for (const MountsMotion& row : mounts)
    if (row.mounts == vehicle.mounts) return row.motion;
  return {};
}

template <class Read>
auto shelf_first(const Read& read, const std::optional<InputFile>& shelf, const InputFile& general,
                 ProblemLog& log) {
  auto all = shelf ? read(*shelf, log) : decltype(read(general, log)){};
  for (auto& item : read(general, log)) all.push_back(std::move(item));
  return all;
}

}  // namespace

Result<Job> load_job(const JobPaths& paths) {
  Result<JobAndFiles> both = load_job_and_files(paths);
  if (!both) return both.problems();
  return (*std::move(both)).job;
}

Result<JobAndFiles> load_job_and_files(const JobPaths& paths) {
  ProblemLog log;
  if (!vehicle_is_there(paths, log)) return log.sorted();
  const JobFiles files = open_files(paths, log);
  MeshShelf meshes;
  const ReadTools tools{log, meshes};
  Vehicle vehicle = read_vehicle(files.vehicle, tools);
  if (paths.family) vehicle.family = *paths.family;
  Family family = read_family(vehicle.family, files.family, tools);
  std::vector<Stock> stock = shelf_first(read_stock, files.shelf, files.stock, log);
  std::vector<Reducer> reducers = shelf_first(read_reducers, files.shelf, files.stock, log);
  std::vector<ClampSize> clamps = shelf_first(read_clamps, files.clamp_shelf, files.clamps, log);
  std::optional<GapTable> gaps = read_limits(files.limits, log);
  const std::vector<MountsMotion> mounts = read_mounts(files.limits, log);
  check_job(files, paths, vehicle, family, log);
  std::optional<WrittenTee> tee = read_tee(MapView(files.vehicle, files.vehicle.root, ""), vehicle, log);
  if (!log.empty()) return log.sorted();
  if (tee) {
    vehicle.lines = split_at_tee(vehicle.lines, tee->on, tee->tee);
    vehicle.tee = std::move(tee->tee);
  }
  const EngineMotion motion = motion_of(vehicle, mounts);
  Job job{std::move(vehicle), std::move(family),          std::move(stock),
          *std::move(gaps),   fingerprint(files, meshes), motion,
          std::move(clamps),  std::move(reducers)};
  for (const GapSetByShop& gap : job.vehicle.gaps)
    job.gaps.set_by_shop(gap.runner, gap.hazard, gap.same_carrier, gap.gap, gap.provenance);
  if (paths.intake) job.vehicle.question.intake = *paths.intake;
  if (paths.height) job.vehicle.question.height = *paths.height;
  return JobAndFiles{std::move(job), files_read(files, meshes)};
}

}  // namespace hosefit
