// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/record.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "solver/recheck/record_places.h"
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
  std::size_t count(const char* key) const {
    const double value = number(key);
    if (value >= 0 && value <= double{kMostEntries} && value == std::floor(value))
      return static_cast<std::size_t>(value);
    refuse(key, fmt::format("want a whole number from 0 to {}", kMostEntries));
    return 0;
  }
  bool yes(const char* key) const {
    const Json* value = want(key);
    if (value != nullptr && value->is_boolean()) return value->get<bool>();
    if (value != nullptr) refuse(key, "want true or false");
    return false;
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
  std::vector<double> numbers(const char* key) const {
    std::vector<double> out;
    const Json* value = want(key);
    if (value == nullptr) return out;
    if (!value->is_array() || value->size() > kMostEntries) {
      refuse(key, fmt::format("want a list of at most {} numbers", kMostEntries));
      return out;
    }
    for (const Json& item : *value) out.push_back(number_of(item, key));
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
  /// A key that is none of these is refused: it may be a known one misspelt.
  const Part& only(std::initializer_list<std::string_view> known) const {
    if (json_.is_object())
      for (const auto& [key, value] : json_.items())
        if (std::find(known.begin(), known.end(), key) == known.end()) refuse(key, "this key is not known");
    return *this;
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
  in.only({"straight", "arc"});
  if (in.has("straight") == in.has("arc")) in.refuse("", "want one of straight and arc");
  if (in.has("arc")) {
    const Part arc = in.part("arc");
    arc.only({"start", "centre", "normal", "angle_rad"});
    return ArcPiece{arc.place("start"), arc.place("centre"), arc.place("normal"), arc.number("angle_rad")};
  }
  const Part straight = in.part("straight");
  straight.only({"from", "to"});
  return StraightPiece{straight.place("from"), straight.place("to")};
}

RecordedGap gap_of(const Part& in) {
  in.only({"body", "obstacle", "line", "required_mm", "found_mm", "proved_mm"});
  const bool to_line = in.has("line");
  return {in.text(to_line ? "line" : "body"), to_line ? std::string() : in.text("obstacle"),
          in.number("required_mm"), in.number("found_mm"), in.number("proved_mm")};
}

RecordedClamp clamp_of(const Part& in) {
  in.only({"neck", "piece", "at_start", "from_end_mm", "clock_rad", "spare_mm"});
  return {in.has("neck") ? std::optional(in.text("neck")) : std::nullopt,
          in.count("piece"),
          in.yes("at_start"),
          in.number("from_end_mm"),
          in.number("clock_rad"),
          in.number("spare_mm")};
}

RecordedClip clip_of(const Part& in) {
  in.only({"at_mm", "carrier", "body", "obstacle"});
  RecordedClip clip{in.number("at_mm"), in.text("carrier"), in.text("body"), in.text("obstacle")};
  if (clip.carrier != "engine" && clip.carrier != "chassis") in.refuse("carrier", "want engine or chassis");
  return clip;
}

RecordedShape shape_of(const Part& in) {
  in.only({"name", "from_mm", "to_mm", "reversed"});
  return {in.text("name"), in.number("from_mm"), in.number("to_mm"), in.yes("reversed")};
}

RecordedLine line_of(const Part& in) {
  in.only({"name", "from", "to", "make", "stock", "engagement_from_mm", "engagement_to_mm", "lead_from_mm",
           "lead_to_mm", "centreline", "sections", "pieces", "gaps", "clamps", "clips"});
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
  for (const Part& s : in.parts("sections")) {
    s.only({"from_mm", "to_mm", "outside_diameter_mm"});
    line.sections.push_back({s.number("from_mm"), s.number("to_mm"), s.number("outside_diameter_mm")});
  }
  for (const Part& p : in.parts("pieces")) {
    p.only({"stock", "what", "cut_mm", "bought_mm", "shape"});
    line.pieces.push_back({p.text("stock"), p.text("what"), p.number("cut_mm"), p.number("bought_mm"),
                           p.has("shape") ? std::optional(shape_of(p.part("shape"))) : std::nullopt});
  }
  for (const Part& g : in.parts("gaps")) line.gaps.push_back(gap_of(g));
  for (const Part& c : in.parts("clamps")) line.clamps.push_back(clamp_of(c));
  for (const Part& c : in.parts("clips")) line.clips.push_back(clip_of(c));
  return line;
}

RecordedCandidate candidate_of(const Part& in) {
  in.only({"pump", "drive", "housing", "intake", "housing_clock_deg", "height_mm", "necks", "tees",
           "obstacles", "lines"});
  RecordedCandidate candidate;
  candidate.pump = in.text("pump");
  candidate.drive = in.text("drive");
  candidate.housing = in.text("housing");
  candidate.intake = in.text("intake");
  candidate.clock_deg = in.number("housing_clock_deg");
  candidate.height_mm = in.number("height_mm");
  for (const Part& n : in.parts("necks"))
    candidate.necks.push_back(
        {n.only({"name", "slide_mm", "turn_deg"}).text("name"), n.numbers("slide_mm"), n.number("turn_deg")});
  if (in.has("tees"))
    for (const Part& t : in.parts("tees"))
      candidate.tees.push_back({t.only({"name", "middle", "along", "clock_deg"}).text("name"),
                                t.place("middle"), t.place("along"), t.number("clock_deg")});
  for (const Part& o : in.parts("obstacles"))
    candidate.obstacles.push_back({o.only({"body", "name"}).text("body"), o.text("name")});
  for (const Part& line : in.parts("lines")) candidate.lines.push_back(line_of(line));
  return candidate;
}

Record record_of(const Part& in) {
  in.only({"hosefit", "format", "program", "family", "folders", "files", "candidates"});
  Record record;
  const Part folders = in.part("folders");
  folders.only({"vehicle", "pumps", "data"});
  record.vehicle_folder = folders.text("vehicle");
  record.pumps_folder = folders.text("pumps");
  record.data_folder = folders.text("data");
  record.family = in.text("family");
  for (const Part& file : in.parts("files"))
    record.files.push_back({file.only({"name", "sha256", "bytes"}).text("name"), file.text("sha256")});
  for (const Part& candidate : in.parts("candidates")) record.candidates.push_back(candidate_of(candidate));
  return record;
}

constexpr std::string_view kCure = "; have `hosefit pick --proof` write it anew";

Problems one(Place place, const std::string& text) {
  return {{std::move(place), "", text + std::string(kCure), ""}};
}

Problems not_json(const std::string& file, const std::string& bytes, std::size_t at) {
  return one(place_of(file, bytes, at > 0 ? at - 1 : 0),
             at > bytes.size() ? "the record is cut short" : "this is no JSON from here on");
}

// The library tells such a number between quotes, and no place.
Problems beyond(const std::string& file, const std::string& bytes, const std::string& said) {
  const std::size_t open = said.find('\''), close = said.rfind('\'');
  const std::string number = open < close ? said.substr(open + 1, close - open - 1) : "";
  const std::size_t at = number.empty() ? std::string::npos : bytes.find(number);
  return one(at == std::string::npos ? Place{file, 0, 0} : place_of(file, bytes, at),
             "this number is beyond what can be computed with");
}

// Two values under one key: which of them counts depends on who reads.
class KeyTwice {
 public:
  std::string found;

  bool see(Json::parse_event_t event, const Json& value) {
    if (event == Json::parse_event_t::object_start) open_.emplace_back();
    if (event == Json::parse_event_t::object_end) open_.pop_back();
    if (event == Json::parse_event_t::key) {
      const auto& key = value.get_ref<const std::string&>();
      if (!open_.back().insert(key).second && found.empty()) found = key;
    }
    return true;
  }

 private:
  std::vector<std::set<std::string>> open_;
};

}  // namespace

Result<Record> read_record(const std::string& shown, const std::string& bytes) {
  Json json;
  KeyTwice twice;
  try {
    json = Json::parse(bytes,
                       [&](int, Json::parse_event_t event, Json& value) { return twice.see(event, value); });
  } catch (const Json::parse_error& error) {
    return not_json(shown, bytes, error.byte);
  } catch (const Json::exception& error) {
    return beyond(shown, bytes, error.what());
  }
  if (!twice.found.empty())
    return one({shown, 0, 0}, fmt::format("the key {} stands twice in one object", twice.found));
  Refusals refusals;
  const Part in(json, "", shown, refusals);
  if (!refusals.any() && in.text("hosefit") != "proof")
    in.refuse("hosefit", "want \"proof\": this is no proof record");
  if (!refusals.any())
    if (const double format = in.number("format"); format != 4)
      in.refuse("format", fmt::format("this program reads format 4, found {}", format));
  Record record;
  if (!refusals.any()) record = record_of(in);
  if (!refusals.any()) return record;
  Problems problems = refusals.list();
  for (Problem& problem : problems) {
    problem.place = place_of_path(shown, bytes, problem.path);
    problem.text += kCure;
  }
  return problems;
}

}  // namespace hosefit::recheck
