// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/record.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "solver/recheck/refusals.h"

namespace hosefit::recheck {
namespace {

using Json = nlohmann::json;

constexpr double kFarthest_mm = 1e5;
constexpr std::size_t kMostEntries = 5000;  // of one list
constexpr std::size_t kMostName = 400;

// One object of the record, with its path for messages.
class Part {
 public:
  Part(const Json& json, std::string path, const std::string& file, Refusals& refusals)
      : json_(json), path_(std::move(path)), file_(file), refusals_(refusals) {
    if (!json_.is_object()) refuse("", "want an object");
  }

  std::string text(const char* key) const {
    const Json* value = want(key);
    if (value == nullptr) return {};
    if (!value->is_string() || value->get_ref<const std::string&>().size() > kMostName) {
      refuse(key, "want a text");
      return {};
    }
    return value->get<std::string>();
  }
  double number(const char* key) const {
    const Json* value = want(key);
    return value == nullptr ? 0 : number_of(*value, key);
  }
  V3 place(const char* key) const {
    V3 out = V3::Zero();
    const Json* value = want(key);
    if (value == nullptr) return out;
    if (!value->is_array() || value->size() != 3) {
      refuse(key, "want three numbers");
      return out;
    }
    for (std::size_t i = 0; i < 3; ++i) out[static_cast<Eigen::Index>(i)] = number_of((*value)[i], key);
    return out;
  }
  bool has(const char* key) const { return json_.is_object() && json_.contains(key); }
  Part part(const char* key) const {
    static const Json empty = Json::object();
    const Json* value = want(key);
    return {value == nullptr ? empty : *value, under(key), file_, refusals_};
  }
  std::vector<Part> parts(const char* key) const {
    std::vector<Part> out;
    const Json* value = want(key);
    if (value == nullptr) return out;
    if (!value->is_array() || value->size() > kMostEntries) {
      refuse(key, fmt::format("want a list of at most {}", kMostEntries));
      return out;
    }
    for (std::size_t i = 0; i < value->size(); ++i)
      out.emplace_back((*value)[i], fmt::format("{}[{}]", under(key), i), file_, refusals_);
    return out;
  }
  void refuse(std::string_view key, std::string text) const {
    refusals_.add({file_, 0, 0}, under(key), std::move(text));
  }

 private:
  std::string under(std::string_view key) const {
    return path_.empty() ? std::string(key) : key.empty() ? path_ : fmt::format("{}.{}", path_, key);
  }
  const Json* want(const char* key) const {
    if (!json_.is_object()) return nullptr;
    const auto found = json_.find(key);
    if (found != json_.end()) return &*found;
    refuse(key, "is missing");
    return nullptr;
  }
  double number_of(const Json& value, const char* key) const {
    const double number = value.is_number() ? value.get<double>() : std::nan("");
    if (std::isfinite(number) && std::abs(number) <= kFarthest_mm) return number;
    refuse(key, fmt::format("want a number of at most {}", kFarthest_mm));
    return 0;
  }

  const Json& json_;
  std::string path_;
  const std::string& file_;
  Refusals& refusals_;
};

CurvePiece curve_piece(const Part& in) {
  if (in.has("straight") == in.has("arc")) in.refuse("", "want one of straight and arc");
  if (in.has("arc")) {
    const Part arc = in.part("arc");
    return ArcPiece{arc.place("start"), arc.place("centre"), arc.place("normal"), arc.number("angle_rad")};
  }
  const Part straight = in.part("straight");
  return StraightPiece{straight.place("from"), straight.place("to")};
}

RecordedLine line_of(const Part& in) {
  RecordedLine line;
  line.name = in.text("name");
  line.from = in.text("from");
  line.to = in.text("to");
  line.make = in.text("make");
  line.stock = in.text("stock");
  line.engagement_from_mm = in.number("engagement_from_mm");
  line.engagement_to_mm = in.number("engagement_to_mm");
  line.lead_from_mm = in.number("lead_from_mm");
  line.lead_to_mm = in.number("lead_to_mm");
  for (const Part& piece : in.parts("centreline")) line.curve.push_back(curve_piece(piece));
  for (const Part& s : in.parts("sections"))
    line.sections.push_back({s.number("from_mm"), s.number("to_mm"), s.number("outside_diameter_mm")});
  for (const Part& p : in.parts("pieces"))
    line.pieces.push_back({p.text("stock"), p.text("what"), p.number("cut_mm"), p.number("bought_mm")});
  for (const Part& g : in.parts("gaps")) {
    const bool to_line = g.has("line");
    line.gaps.push_back({g.text(to_line ? "line" : "body"), to_line ? std::string() : g.text("obstacle"),
                         g.number("required_mm"), g.number("found_mm"), g.number("proved_mm")});
  }
  for (const Part& c : in.parts("clamps")) line.clamps.push_back({c.text("neck"), c.number("clock_rad")});
  return line;
}

RecordedCandidate candidate_of(const Part& in) {
  RecordedCandidate candidate;
  candidate.pump = in.text("pump");
  candidate.drive = in.text("drive");
  candidate.housing = in.text("housing");
  candidate.intake = in.text("intake");
  candidate.clock_deg = in.number("housing_clock_deg");
  candidate.height_mm = in.number("height_mm");
  for (const Part& o : in.parts("obstacles")) candidate.obstacles.push_back({o.text("body"), o.text("name")});
  for (const Part& line : in.parts("lines")) candidate.lines.push_back(line_of(line));
  return candidate;
}

Problems one(const std::string& file, int line, int column, std::string text) {
  return {{{file, line, column}, "", std::move(text), ""}};
}

Problems not_json(const std::string& file, const std::string& bytes, std::size_t at) {
  const auto end = bytes.begin() + static_cast<std::ptrdiff_t>(std::min(at, bytes.size()));
  const int line = 1 + static_cast<int>(std::count(bytes.begin(), end, '\n'));
  const auto begin = std::find(std::make_reverse_iterator(end), bytes.rend(), '\n').base();
  return one(file, line, static_cast<int>(end - begin),
             at >= bytes.size() ? "the record is cut short; have `hosefit pick --proof` write it anew"
                                : "this is no JSON from here on; have `hosefit pick --proof` write it anew");
}

}  // namespace

Result<Record> read_record(const std::string& shown, const std::string& bytes) {
  Json json;
  try {
    json = Json::parse(bytes);
  } catch (const Json::parse_error& error) {
    return not_json(shown, bytes, error.byte);
  } catch (const Json::exception&) {
    return one(shown, 0, 0, "the record holds a number beyond what can be computed with");
  }
  Refusals refusals;
  const Part in(json, "", shown, refusals);
  if (!refusals.any() && in.text("hosefit") != "proof")
    in.refuse("hosefit", "want \"proof\": this is no proof record");
  if (!refusals.any())
    if (const double format = in.number("format"); format != 1)
      in.refuse("format", fmt::format("this program reads format 1, found {}", format));
  if (refusals.any()) return refusals.list();
  Record record;
  const Part folders = in.part("folders");
  record.vehicle_folder = folders.text("vehicle");
  record.pumps_folder = folders.text("pumps");
  record.data_folder = folders.text("data");
  record.family = in.text("family");
  for (const Part& file : in.parts("files")) record.files.push_back({file.text("name"), file.text("sha256")});
  for (const Part& candidate : in.parts("candidates")) record.candidates.push_back(candidate_of(candidate));
  if (refusals.any()) return refusals.list();
  return record;
}

}  // namespace hosefit::recheck
