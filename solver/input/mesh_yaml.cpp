// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "solver/input/mesh_file.h"
#include "solver/input/text_words.h"

namespace hosefit {
namespace {

// Spots nearer to one line than this share of their extent let the scan turn about it: 5 mm of tape on spots
// 50 mm off a line of 1 m turn it by 6 degrees. Common practice, no source.
constexpr double kLeastOffLine = 0.05;
// Spots nearer to one plane than this do not tell a scan from its mirror image.
constexpr double kLeastOffPlane = 0.05;
// A spot may be off by this share of the largest distance between spots, or by twice its own accuracy. Ten
// times more would let a mistyped hand's breadth pass in a bay. Common practice, no source.
constexpr double kMostShareOff = 0.02;
constexpr double kMarkedlyBetter = 0.5;

double mm_per(const std::string& unit) {
  return unit == "cm" ? 10.0 : unit == "m" ? 1000.0 : unit == "in" ? 25.4 : 1.0;
}

// True when `path`, links followed, lies in `folder`.
bool lies_in(const std::filesystem::path& path, const std::filesystem::path& folder) {
  std::error_code error;
  const auto real_path = std::filesystem::weakly_canonical(path, error);
  if (error) return false;
  const auto real_folder =
      std::filesystem::weakly_canonical(folder.empty() ? std::filesystem::path(".") : folder, error);
  if (error) return false;
  return std::mismatch(real_folder.begin(), real_folder.end(), real_path.begin(), real_path.end()).first ==
         real_folder.end();
}

bool leads_out(const std::string& folder, const std::string& written) {
  const std::filesystem::path relative(written);
  const bool climbs =
      std::any_of(relative.begin(), relative.end(), [](const auto& part) { return part == ".."; });
  return written.find_first_of("\n\\") != std::string::npos || relative.is_absolute() || climbs ||
         !lies_in(std::filesystem::path(folder) / relative, folder);
}

Result<std::string> mesh_bytes(const std::string& path) {
  std::error_code error;
  if (std::filesystem::exists(path, error) && !std::filesystem::is_directory(path, error) &&
      !std::filesystem::is_regular_file(path, error))
    return Problems{{{path, 0, 0}, "", "want a plain file", ""}};  // a pipe would be waited for without end
  return read_bytes(path, kMostMeshBytes);
}

struct Spots {
  std::vector<SpotPair> pairs;
  std::vector<double> accuracy_mm;
};

Spots read_spots(const MapView& in) {
  Spots out;
  for (const MapView& map : in.maps("align")) {
    const Measured<Vec3> at = map.measured_point("at");
    const std::vector<double> scan = map.numbers("in_scan");
    if (!map.ok() || scan.size() != 3) continue;
    out.pairs.push_back({map.text("name"), {scan[0], scan[1], scan[2]}, at.value});
    out.accuracy_mm.push_back(at.accuracy.mm());
  }
  return out;
}

bool names_differ(const MapView& in, const Spots& spots, ProblemLog& log) {
  std::set<std::string> names;
  bool fine = true;
  for (std::size_t i = 0; i < spots.pairs.size(); ++i)
    if (!names.insert(spots.pairs[i].name).second) {
      in.refuse_item(
          log, "align", i,
          fmt::format("there is a spot \"{}\" already; give it another name", spots.pairs[i].name));
      fine = false;
    }
  return fine;
}

double most_off_mm(const Alignment& found, double accuracy_mm) {
  return std::max(kMostShareOff * found.spread_mm, 2 * accuracy_mm);
}

// Why a fit that is off cannot be; empty when nothing better than the figures can be said.
std::string likely_cause(const Spots& spots, const Alignment& found, ScanScale scale) {
  if (scale == ScanScale::free) return "";
  const Alignment free = align(spots.pairs, ScanScale::free, 1);
  if (free.rms_mm > kMarkedlyBetter * found.rms_mm) return "";
  return fmt::format(
      "; with a scale {:.4g} times as large they would be within {:.1f} mm: is the unit right?",
      free.scale_mm / found.scale_mm, free.residuals[free.worst].off_mm);
}

bool sound(const MapView& in, const Spots& spots, const Spread& spread, const Alignment& found,
           ScanScale scale, ProblemLog& log) {
  const double worst_mm = found.residuals[found.worst].off_mm;
  if (found.scale_mm <= 0 || !std::isfinite(found.scale_mm) || !std::isfinite(worst_mm)) {
    in.refuse(log, "align", "these spots give no scale; check them");
    return false;
  }
  if (spread.off_plane > kLeastOffPlane && worst_mm > spots.accuracy_mm[found.worst] &&
      found.mirrored_rms_mm < kMarkedlyBetter * found.rms_mm) {
    in.refuse(log, "align",
              fmt::format("the mirror image of the scan fits better ({:.1f} mm against {:.1f} mm); turn the "
                          "sign of one axis in both the scan and `in_scan`, or see whether two spots are "
                          "changed over",
                          found.mirrored_rms_mm, found.rms_mm));
    return false;
  }
  bool fine = true;
  for (std::size_t i = 0; i < spots.pairs.size(); ++i) {
    const double most_mm = most_off_mm(found, spots.accuracy_mm[i]);
    const double off_mm = found.residuals[i].off_mm;
    if (off_mm <= most_mm) continue;
    fine = false;
    if (i == found.worst)
      in.refuse_item(
          log, "align", i,
          fmt::format("\"{}\" is {:.1f} mm off once the scan is put in its place, the farthest of "
                      "all; want at most {:.1f} mm (2 % of the {:.0f} mm between the spots, or twice "
                      "its accuracy); measure it again and find it again in the scan{}",
                      spots.pairs[i].name, off_mm, most_mm, found.spread_mm,
                      likely_cause(spots, found, scale)));
  }
  return fine;
}

std::optional<Alignment> read_alignment(const MapView& in, const std::string& unit, ProblemLog& log) {
  const Spots spots = read_spots(in);
  if (spots.pairs.size() < 3 || !names_differ(in, spots, log)) return std::nullopt;
  const Spread spread = how_spread(spots.pairs);
  if (spread.off_line < kLeastOffLine) {
    in.refuse(
        log, "align",
        fmt::format("the spots lie nearly in one line ({:.1f} % of their extent off it, want {:.0f} %); "
                    "take one well to the side",
                    100 * spread.off_line, 100 * kLeastOffLine));
    return std::nullopt;
  }
  const ScanScale scale = unit == "unknown" ? ScanScale::free : ScanScale::fixed;
  Alignment found = align(spots.pairs, scale, mm_per(unit));
  if (!sound(in, spots, spread, found, scale, log)) return std::nullopt;
  return found;
}

// The file's numbers were multiplied by `mm_per_unit` when it was read.
TriangleMesh in_place(TriangleMesh mesh, const Alignment& found, double mm_per_unit) {
  for (Vec3& v : mesh.vertices_mm) v = found.pose.point(found.scale_mm / mm_per_unit * v);
  return mesh;
}

}  // namespace

const MeshShelf::Entry& MeshShelf::get(const std::string& folder, const std::string& written,
                                       const std::string& unit) {
  const auto [it, fresh] = entries_.try_emplace(folder + "\n" + written + "\n" + unit);
  Entry& entry = it->second;
  if (!fresh) return entry;
  entry.folder = folder;
  entry.shown_name = written;
  if (leads_out(folder, written)) {
    entry.why = "the path leads out of the folder of this file; put the mesh beside it";
    return entry;
  }
  Result<std::string> bytes = mesh_bytes((std::filesystem::path(folder) / written).string());
  if (!bytes) {
    entry.why = fmt::format("{}: {}", written, bytes.problems().front().text);
    return entry;
  }
  entry.bytes = *std::move(bytes);
  auto mesh = read_mesh(entry.bytes, mm_per(unit));
  if (auto* why = std::get_if<std::string>(&mesh)) {
    entry.why = fmt::format("{}: {}", written, *why);
    return entry;
  }
  MendedMesh mended = mend(std::move(std::get<TriangleMesh>(mesh)));
  if (mended.mesh.triangles.empty()) {
    entry.why = fmt::format("{}: no triangle of it has an area", written);
    return entry;
  }
  entry.faults = mended.faults;
  entry.closed = mended.closed;
  entry.mesh = std::make_shared<const TriangleMesh>(std::move(mended.mesh));
  return entry;
}

std::optional<ReadMesh> read_mesh_shape(const MapView& in, MeshShelf& shelf, ProblemLog& log) {
  const std::string folder = std::filesystem::path(in.file().source.path).parent_path().string();
  const std::string file = in.text("file");
  const std::string unit = in.text("unit");
  const MeshShelf::Entry& entry = shelf.get(folder, file, unit);
  if (entry.mesh == nullptr) {
    in.refuse(log, "file", entry.why);
    return std::nullopt;
  }
  const bool closed = in.boolean("closed", entry.closed);
  if (closed && !entry.closed) {
    in.refuse(log, "closed",
              "the mesh is not watertight; mend it, or say closed: false and it counts as a sheet");
    return std::nullopt;
  }
  if (closed && in.has("seen_from")) {
    in.refuse(log, "seen_from", "the mesh is watertight and therefore solid; only a sheet has sides");
    return std::nullopt;
  }
  std::shared_ptr<const TriangleMesh> mesh = entry.mesh;
  auto notes = std::make_shared<MeshNotes>(MeshNotes{mesh->triangles.size(), entry.faults, std::nullopt});
  ReadMesh out{{file, mesh}, closed, SeenFrom::front, nullptr, {}};
  if (in.has("align")) {
    notes->alignment = read_alignment(in, unit, log);
    if (!notes->alignment) return std::nullopt;
    TriangleMesh placed = in_place(*mesh, *notes->alignment, mm_per(unit));
    const AxisBox box = bounds(placed);
    if (!usable(box.min()) || !usable(box.max())) {
      in.refuse(log, "align", "the scan would reach more than 20 m off; check the spots");
      return std::nullopt;
    }
    out.shape.mesh = std::make_shared<const TriangleMesh>(std::move(placed));
    out.off = Length::mm(std::max(notes->alignment->residuals[notes->alignment->worst].off_mm,
                                  notes->alignment->per_coordinate_mm));
  }
  if (const std::string side = in.text("seen_from"); side == "both") {
    out.seen_from = SeenFrom::both;
  } else if (side == "back") {
    TriangleMesh turned = *out.shape.mesh;
    for (auto& t : turned.triangles) std::swap(t[1], t[2]);
    out.shape.mesh = std::make_shared<const TriangleMesh>(std::move(turned));
  }
  out.notes = std::move(notes);
  return out;
}

}  // namespace hosefit
