// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/tape_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "solver/input/family_yaml.h"
#include "solver/input/shape_yaml.h"
#include "solver/input/tape_words.h"

namespace hosefit {
namespace {

class TapeReader {
 public:
  TapeReader(InputFile& file, ProblemLog& log)
      : file_(file), log_(log), sheet_(MapView(file, file.root, "").map("tape")) {}

  void read() {
    const std::vector<MapView> datums = sheet_.maps("datums"), points = sheet_.maps("points");
    if (!sheet_.ok() || !names_are_fresh(datums, points)) return;
    for (const MapView& datum : datums) {
      ends_[datum.text("name")] = {true, net_.datums.size()};
      net_.datums.push_back({datum.text("name"), datum.point_mm("at"), datum.accuracy().mm()});
    }
    for (const MapView& point : points) {
      ends_[point.text("name")] = {false, net_.points.size()};
      net_.points.push_back({point.text("name"), std::nullopt});
      if (point.has("near")) net_.points.back().near_mm = point.point_mm("near");
    }
    bool fine = true;
    for (std::size_t p = 0; p < points.size(); ++p) {
      fine = readings(points[p], p, "tapes", TapeKind::distance) && fine;
      fine = readings(points[p], p, "drops", TapeKind::drop) && fine;
    }
    if (fine) solve_all(points);
  }

 private:
  bool names_are_fresh(const std::vector<MapView>& datums, const std::vector<MapView>& points) {
    std::vector<MapView> all = datums;
    all.insert(all.end(), points.begin(), points.end());
    return refuse_repeated(all, "name", "a datum or point", log_);
  }

  bool readings(const MapView& point, std::size_t index, std::string_view key, TapeKind kind) {
    const Length usual = sheet_.length("accuracy", default_accuracy(MeasuredBy::tape));
    std::vector<std::string> names;
    for (const auto& [name, end] : ends_)
      if (name != point.text("name")) names.push_back(name);
    bool fine = true;
    for (const MapView& in : point.maps(key)) {
      const auto end = ends_.find(in.text("to"));
      if (end == ends_.end() || (!end->second.datum && end->second.index == index)) {
        in.refuse(log_, "to",
                  end == ends_.end() ? fmt::format("no datum or point has the name \"{}\"{}", in.text("to"),
                                                   did_you_mean(in.text("to"), names))
                                     : "a tape from a point to itself; name the other end");
        fine = false;
        continue;
      }
      net_.readings.push_back(
          {kind, index, end->second, in.length("reads").mm(), in.length("accuracy", usual).mm()});
      at_.push_back(in);
    }
    return fine;
  }

  void solve_all(const std::vector<MapView>& points) {
    file_.tape = {net_, solve(net_)};
    const TapeSolution& found = file_.tape.solution;
    for (const TapeRefusal& refusal : found.refusals) {
      const std::string text = tape_refusal_words(file_.tape, refusal);
      const bool of_near =
          refusal.fault == TapeFault::near_between || refusal.fault == TapeFault::near_excluded;
      if (refusal.readings.empty())
        points[refusal.point].refuse(log_, of_near ? "near" : "name", text);
      else
        at_[refusal.readings.front()].refuse(log_, "reads", text);
    }
    if (!found.refusals.empty()) return;
    for (std::size_t p = 0; p < net_.points.size(); ++p) file_.taped[net_.points[p].name] = found.places[p];
  }

  InputFile& file_;
  ProblemLog& log_;
  MapView sheet_;
  TapeNetwork net_;
  std::map<std::string, TapeEnd> ends_;
  std::vector<MapView> at_;  // as net_.readings
};

class TapeUses {
 public:
  TapeUses(const InputFile& file, ProblemLog& log) : file_(file), log_(log) {
    const MapView in(file, file.root, "");
    points_ = names_of(in.map("tape").maps("points"));
    fan_on_engine_ = in.map("fan").text("carrier") == "engine";
  }

  void look(const YamlNode& node, const std::string& path) {
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      if (node.kind != YamlNode::Kind::mapping) {
        look(node.items[i], fmt::format("{}[{}]", path, i));
        continue;
      }
      const std::string& key = node.keys[i].text;
      const std::string below = path.empty() ? key : path + "." + key;
      if (key == "taped" && node.items.size() == 1)
        check(node.items[i], below);
      else
        look(node.items[i], below);
    }
  }

 private:
  void check(const YamlNode& node, const std::string& path) {
    const auto refuse = [&](std::string text) {
      log_.add(file_.source, node.line, node.column, path, std::move(text));
    };
    if (!node.ok) return;
    if (file_.kind != FileKind::vehicle)
      return refuse("only a vehicle file has taped points; give coordinates in the part's own frame");
    if (path.ends_with("at.at.taped"))
      return refuse("a taped point brings its own accuracy; write at: {taped: NAME}");
    if (path.starts_with("on_engine") || (fan_on_engine_ && path.starts_with("fan")))
      return refuse(
          "this is written in the engine's frame, and taped points are places in the vehicle; give "
          "coordinates from the crank centreline at the block's front face");
    if (std::find(points_.begin(), points_.end(), node.text) == points_.end())
      refuse(fmt::format("no point of tape.points has the name \"{}\"{}", node.text,
                         did_you_mean(node.text, points_)));
  }

  const InputFile& file_;
  ProblemLog& log_;
  std::vector<std::string> points_;
  bool fan_on_engine_ = false;
};

}  // namespace

void read_tape(InputFile& file, ProblemLog& log) {
  if (file.root.kind != YamlNode::Kind::mapping) return;
  if (file.kind == FileKind::vehicle && find(file.root, "tape") != nullptr) TapeReader(file, log).read();
  TapeUses(file, log).look(file.root, "");
}

}  // namespace hosefit
