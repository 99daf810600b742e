// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/job_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "solver/input/vehicle_yaml.h"
#include "solver/model/bay.h"
#include "solver/model/inside.h"

namespace hosefit {
namespace {

using Names = std::vector<std::string>;

bool has(const Names& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}
bool was_read(const InputFile& file) {
  return file.root.kind == YamlNode::Kind::mapping;
}
bool duty_needs_heater(std::string_view duty) {
  return duty == "heater_feed" || duty == "heater_return";
}

void resolve(const MapView& in, std::string_view key, const Names& known, std::string_view what,
             bool known_is_complete, ProblemLog& log) {
  if (!in.ok() || !in.has(key) || !known_is_complete || has(known, in.text(key))) return;
  in.refuse(
      log, key,
      fmt::format("no {} has the name \"{}\"{}", what, in.text(key), did_you_mean(in.text(key), known)));
}

// The necks that one pump offers, that of its seat among them.
Names offered_by(const MapView& pump) {
  Names names = names_of(pump.maps("necks"));
  names.push_back(fmt::format("pump.{}", pump.map("seat").text("place")));
  return names;
}

class JobCheck {
 public:
  JobCheck(const JobFiles& files, const JobPaths& paths, const Vehicle& vehicle, const Family& family,
           ProblemLog& log)
      : files_(files),
        paths_(paths),
        vehicle_(vehicle),
        family_(family),
        log_(log),
        in_(files.vehicle, files.vehicle.root, ""),
        pumps_(entries(files.family.pumps, "pumps")) {}

  void lines() {
    const Names known = ends();
    const bool complete = was_read(files_.family.engine) && was_read(files_.family.pumps);
    std::map<std::string, MapView> line_at;  // neck -> the line it ends
    for (const MapView& line : in_.maps("lines")) {
      if (!line.ok()) continue;
      for (const std::string_view key : {"from", "to"}) {
        resolve(line, key, known, "neck", complete, log_);
        every_pump_has(line, key);
      }
      if (line.text("from") == line.text("to"))
        line.refuse(log_, "to", fmt::format("the line joins the neck {} with itself", line.text("to")));
      else
        necks_used_once(line, line_at);
      stock_of(line);
      if (duty_needs_heater(line.text("duty")) && in_.has("coolant") && !in_.map("coolant").has("heater"))
        line.refuse(log_, "duty", "a heater line needs coolant.heater, the resistance of the heater's core");
    }
  }

  void parts_in_hand() {
    const FamilyFiles& f = files_.family;
    const MapView in_hand = in_.map("in_hand");
    const Names pumps = names_of(pumps_), drives = names_of(entries(f.drives, "drives")),
                housings = names_of(entries(f.housings, "housings")),
                intakes = names_of(entries(f.intakes, "intakes"));
    resolve(in_hand, "pump", pumps, "pump", was_read(f.pumps), log_);
    resolve(in_hand, "drive", drives, "drive", was_read(f.drives), log_);
    resolve(in_hand, "housing", housings, "housing", was_read(f.housings), log_);
    resolve(in_hand, "intake", intakes, "intake", was_read(f.intakes), log_);
    Names all = pumps;
    for (const Names* more : {&drives, &housings, &intakes})
      all.insert(all.end(), more->begin(), more->end());
    const bool complete =
        was_read(f.pumps) && was_read(f.drives) && was_read(f.housings) && was_read(f.intakes);
    const Names owned = in_hand.texts("owned");
    for (std::size_t i = 0; i < owned.size(); ++i)
      if (complete && in_hand.ok() && !has(all, owned[i]))
        in_hand.refuse_item(
            log_, "owned", i,
            fmt::format("no part has the name \"{}\"{}", owned[i], did_you_mean(owned[i], all)));
    if (!paths_.intake)
      resolve(in_.map("question"), "intake", intakes, "intake", was_read(f.intakes), log_);
    else if (was_read(f.intakes) && !has(intakes, *paths_.intake))
      on_command_line("intake", fmt::format("no intake has the name \"{}\"{}", *paths_.intake,
                                            did_you_mean(*paths_.intake, intakes)));
  }

  void hoses_in_hand() {
    const std::vector<MapView> items = stock_items();
    const Names known = names_of(items, "id");
    for (const MapView& hose : in_.map("in_hand").maps("hoses")) {
      resolve(hose, "stock", known, "stock item", stock_was_read(), log_);
      for (const MapView& item : items)
        if (hose.ok() && item.ok() && item.text("id") == hose.text("stock")) owned_of_make(hose, item);
    }
  }

  void height() {
    const std::string name = paths_.intake ? *paths_.intake : in_.map("question").text("intake");
    for (const MapView& intake : entries(files_.family.intakes, "intakes")) {
      if (!intake.ok() || intake.text("name") != name) continue;
      const Length low = intake.length("least_height");
      const Length high = intake.length("most_height");
      const Length asked = paths_.height ? *paths_.height : in_.map("question").length("height");
      if (high < low || (asked >= low && asked <= high)) continue;
      const std::string text = fmt::format("want {:g} to {:g} mm, the range of intake \"{}\", found {:g} mm",
                                           low.mm(), high.mm(), name, asked.mm());
      if (paths_.height)
        on_command_line("height", text);
      else if (in_.map("question").ok() && in_.has("question"))
        in_.map("question").refuse(log_, "height", text);
    }
  }

  void necks_outside_block() {
    if (!in_.map("engine").ok() || !in_.has("engine")) return;
    const Pose engine = engine_pose(vehicle_);
    for (const MapView& neck : chassis_necks(files_.vehicle)) {
      if (!neck.ok()) continue;
      const Vec3 end = engine.point_inverse(neck.measured_point("at").value);
      for (const Obstacle& o : family_.engine.body->obstacles)
        if (is_inside(o, end, 0.5))
          neck.refuse(log_, "at",
                      fmt::format("the neck's end lies inside \"{}\" of the engine where engine.at puts it; "
                                  "check both points",
                                  o.name));
    }
  }

  void shelf_ids() {
    if (files_.shelf) {
      ids_are_fresh(*files_.shelf, files_.stock, "stock", "stock");
      ids_are_fresh(*files_.shelf, files_.stock, "reducers", "stock");
    }
    if (files_.clamp_shelf) ids_are_fresh(*files_.clamp_shelf, files_.clamps, "clamps", "clamps");
  }

 private:
  Names ends() const {
    Names names = names_of(chassis_necks(files_.vehicle));
    for (const std::string& tee : names_of(in_.maps("tees"))) names.push_back(tee);
    const Names engine = names_of(entries(files_.family.engine, "necks"));
    names.insert(names.end(), engine.begin(), engine.end());
    for (const MapView& pump : pumps_)
      for (const std::string& name : offered_by(pump))
        if (!has(names, name)) names.push_back(name);
    return names;
  }

  void every_pump_has(const MapView& line, std::string_view key) {
    const std::string name = line.text(key);
    Names without;
    for (const MapView& pump : pumps_)
      if (pump.ok() && !has(offered_by(pump), name))
        without.push_back(fmt::format("\"{}\"", pump.text("name")));
    if (!name.starts_with("pump.") || without.empty() || without.size() == pumps_.size()) return;
    line.refuse(log_, key,
                fmt::format("every pump of the family must have the neck {}; {} {} not", name,
                            fmt::join(without, ", "), without.size() == 1 ? "has" : "have"));
  }

  void necks_used_once(const MapView& line, std::map<std::string, MapView>& line_at) {
    const auto from = line_at.find(line.text("from"));
    const auto to = line_at.find(line.text("to"));
    if (from != line_at.end() && to != line_at.end() && from->second.path() == to->second.path()) {
      line.refuse(log_, "from",
                  fmt::format("this line and \"{}\" join the same two necks, a ring; keep one",
                              from->second.text("name")));
      return;
    }
    for (const std::string_view key : {"from", "to"}) {
      const auto [it, fresh] = line_at.try_emplace(line.text(key), line);
      if (!fresh)
        line.refuse(log_, key,
                    fmt::format("the neck {} ends the line \"{}\" already; a neck takes one hose",
                                line.text(key), it->second.text("name")));
    }
  }

  void ids_are_fresh(const InputFile& shelf, const InputFile& general, std::string_view list,
                     std::string_view kind) {
    const Names known = names_of(entries(general, list), "id");
    for (const MapView& item : entries(shelf, list))
      if (item.ok() && has(known, item.text("id")))
        item.refuse(log_, "id",
                    fmt::format("the general {} file has a \"{}\" already; choose another id", kind,
                                item.text("id")));
  }

  std::vector<MapView> stock_items() const {
    std::vector<MapView> items = files_.shelf ? entries(*files_.shelf, "stock") : std::vector<MapView>{};
    for (const MapView& item : entries(files_.stock, "stock")) items.push_back(item);
    return items;
  }
  bool stock_was_read() const { return was_read(files_.stock) && (!files_.shelf || was_read(*files_.shelf)); }

  void owned_of_make(const MapView& hose, const MapView& item) {
    const std::string make = item.text("make");
    if (make == word(Make::bent_tube))
      return hose.refuse(log_, "stock", "a bent tube fits one route only; give hose, not tube");
    if (make == word(Make::moulded_shape))
      return hose.refuse(
          log_, "stock",
          "which moulded shape it is cannot be told here; give it as a shape of a stock.yaml beside the "
          "vehicle file, and set that stock for the line");
    const bool elbow = make == word(Make::elbows_and_straights);
    if (elbow && !hose.has("angle_deg"))
      return hose.refuse(log_, "stock", "an elbow needs angle_deg, by how much it turns the flow");
    if (!elbow && hose.has("angle_deg"))
      return hose.refuse(log_, "angle_deg", fmt::format("only an elbow has an angle; this is {}", make));
  }

  void stock_of(const MapView& line) {
    if (!line.has("stock")) return;
    const std::vector<MapView> items = stock_items();
    resolve(line, "stock", names_of(items, "id"), "stock item", stock_was_read(), log_);
    const Names makes = line.has("makes") ? line.texts("makes") : in_.texts("makes");
    for (const MapView& item : items)
      if (item.ok() && item.text("id") == line.text("stock") && !has(makes, item.text("make")))
        line.refuse(log_, "stock",
                    fmt::format("this stock is for make {}, which is not among the makes of the line ({})",
                                item.text("make"), fmt::join(makes, ", ")));
  }

  void on_command_line(std::string path, std::string text) {
    log_.add_unplaced("command line", std::move(path), std::move(text));
  }

  const JobFiles& files_;
  const JobPaths& paths_;
  const Vehicle& vehicle_;
  const Family& family_;
  ProblemLog& log_;
  MapView in_;
  std::vector<MapView> pumps_;
};

}  // namespace

void check_job(const JobFiles& files, const JobPaths& paths, const Vehicle& vehicle, const Family& family,
               ProblemLog& log) {
  JobCheck check(files, paths, vehicle, family, log);
  check.lines();
  check.parts_in_hand();
  check.hoses_in_hand();
  check.height();
  check.necks_outside_block();
  check.shelf_ids();
}

}  // namespace hosefit
