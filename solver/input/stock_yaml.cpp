// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/stock_yaml.h"

#include <fmt/format.h>

#include <array>
#include <map>
#include <tuple>

#include "solver/input/shape_yaml.h"

namespace hosefit {
namespace {

constexpr std::array kRunners{Runner::hose, Runner::clamp, Runner::rigid_part};

struct NeededByMake {
  Make make;
  std::string_view key;
};
constexpr std::array kNeeded{NeededByMake{Make::elbows_and_straights, "angles_deg"},
                             NeededByMake{Make::elbows_and_straights, "leg"},
                             NeededByMake{Make::corrugated_hose, "lengths"},
                             NeededByMake{Make::corrugated_hose, "cuff"},
                             NeededByMake{Make::bent_tube, "cuff"},
                             NeededByMake{Make::bent_tube, "coupler_outside"},
                             NeededByMake{Make::bent_tube, "coupler_gap"}};

// What a moulded stock cannot have beside its shapes.
constexpr std::array<std::string_view, 11> kNotOfShapes{
    "radii",       "angles_deg", "most_bend_deg", "straight_between", "leg", "cuff", "coupler_outside",
    "coupler_gap", "lengths",    "cuff_trim",     "corrugation_pitch"};
constexpr Length kLeastBetween = Length::mm(1.0);  // nearer bends are one to whoever makes the mould

template <class T>
void check_ascending(const MapView& in, std::string_view key, const std::vector<T>& values, ProblemLog& log) {
  for (std::size_t i = 1; i < values.size(); ++i)
    if (values[i] <= values[i - 1])
      return in.refuse_item(log, key, i, "want each larger than the one before");
}

// One value for each bend, and so many more or less.
void check_count(const MapView& in, std::string_view key, std::size_t found, std::size_t wanted,
                 std::size_t bends, ProblemLog& log) {
  if (found == wanted) return;
  const std::string text =
      fmt::format("want {} for {} bend{} in `radii`, found {}", wanted, bends, bends == 1 ? "" : "s", found);
  if (in.has(key))
    in.refuse(log, key, text);
  else
    in.refuse(log, fmt::format("{}: {}", key, text));
}

void check_shape(const MapView& in, const MouldedShape& shape, const Stock& stock, ProblemLog& log) {
  const std::size_t bends = shape.radii.size();
  check_count(in, "straights", shape.straights.size(), bends + 1, bends, log);
  check_count(in, "angles_deg", shape.angles.size(), bends, bends, log);
  check_count(in, "turns_deg", shape.turns.size(), bends - 1, bends, log);
  for (std::size_t i = 1; i + 1 < shape.straights.size(); ++i)
    if (shape.straights[i] < kLeastBetween)
      in.refuse_item(log, "straights", i,
                     fmt::format("want at least {:g} mm between two bends, found {:g} mm; bends that go on "
                                 "without a straight are one",
                                 kLeastBetween.mm(), shape.straights[i].mm()));
  for (std::size_t i = 0; i < bends; ++i)
    if (2 * shape.radii[i] <= stock.outside_diameter)
      in.refuse_item(log, "radii", i,
                     fmt::format("want more than half the outside diameter of {:g} mm, found {:g} mm; the "
                                 "radius is that of the centreline",
                                 stock.outside_diameter.mm(), shape.radii[i].mm()));
}

std::vector<MouldedShape> read_shapes(const MapView& in, const Stock& stock, ProblemLog& log) {
  std::vector<MouldedShape> out;
  const std::vector<MapView> items = in.maps("shapes");
  refuse_repeated(items, "name", "a moulded shape", log);
  for (const MapView& item : items) {
    if (!item.ok()) continue;
    MouldedShape shape;
    shape.name = item.text("name");
    shape.straights = item.lengths("straights");
    shape.radii = item.lengths("radii");
    shape.angles = item.angles("angles_deg");
    shape.turns = item.angles("turns_deg");
    shape.price = item.number("price");
    shape.place = item.place();
    check_shape(item, shape, stock, log);
    out.push_back(std::move(shape));
  }
  return out;
}

void check_moulded(const MapView& in, const Stock& stock, ProblemLog& log) {
  const bool moulded = stock.make == Make::moulded_shape;
  if (!moulded && in.has("shapes"))
    in.refuse(
        log, "shapes",
        fmt::format("only make {} has shapes; this is {}", word(Make::moulded_shape), word(stock.make)));
  if (!moulded) return;
  for (const std::string_view key : kNotOfShapes)
    if (in.has(key))
      in.refuse(log, key, fmt::format("not with make {}: each of its shapes says it", word(stock.make)));
}

void check_make(const MapView& in, const Stock& stock, ProblemLog& log) {
  for (const NeededByMake& needed : kNeeded)
    if (needed.make == stock.make && !in.has(needed.key))
      in.refuse(log, needed.key, fmt::format("needed with make {}", word(stock.make)));
  if (stock.make != Make::bent_tube && stock.radii.size() > 1)
    in.refuse_item(
        log, "radii", 1,
        fmt::format("want one least radius for make {}; a list of dies is for bent_tube", word(stock.make)));
  if (stock.make != Make::bent_tube && stock.outside_diameter <= stock.bore)
    in.refuse(log, "outside_diameter",
              fmt::format("want more than the bore of {:g} mm, found {:g} mm", stock.bore.mm(),
                          stock.outside_diameter.mm()));
  if (stock.make == Make::bent_tube && in.has("coupler_outside") && stock.coupler_outside <= stock.bore)
    in.refuse(log, "coupler_outside",
              fmt::format("want more than the coupler's bore of {:g} mm, found {:g} mm", stock.bore.mm(),
                          stock.coupler_outside.mm()));
  if (2 * stock.wall >= stock.outside_diameter)
    in.refuse(log, "wall",
              fmt::format("two walls fill the outside diameter of {:g} mm", stock.outside_diameter.mm()));
  if (stock.cuff_trim > stock.cuff)
    in.refuse(log, "cuff_trim", fmt::format("more than the cuff of {:g} mm", stock.cuff.mm()));
}

}  // namespace

std::vector<Stock> read_stock(const InputFile& file, ProblemLog& log) {
  std::vector<Stock> out;
  const std::vector<MapView> items = MapView(file, file.root, "").maps("stock");
  refuse_repeated(items, "id", "a stock item", log);
  for (const MapView& in : items) {
    if (!in.ok()) continue;
    Stock s;
    s.id = in.text("id");
    s.make = in.choice("make", kMakes, Make::straight_hose);
    s.description = in.text("description");
    s.bore = in.length("bore");
    s.outside_diameter = in.length("outside_diameter");
    s.wall = in.length("wall");
    s.radii = in.lengths("radii");
    s.angles = in.angles("angles_deg");
    s.most_bend = in.angle("most_bend_deg");
    s.straight_between = in.length("straight_between");
    s.leg = in.length("leg");
    s.cuff = in.length("cuff");
    s.coupler_outside = in.length("coupler_outside");
    s.coupler_gap = in.length("coupler_gap");
    s.lengths = in.lengths("lengths");
    s.cuff_trim = in.length("cuff_trim");
    s.bore_roughness_mm = in.number("bore_roughness_mm", s.bore_roughness_mm);
    s.corrugation_pitch = in.length("corrugation_pitch");
    s.price = in.number("price");
    s.shapes = read_shapes(in, s, log);
    s.provenance = read_provenance(in.map("provenance"));
    s.place = in.place();
    check_moulded(in, s, log);
    check_ascending(in, "radii", s.radii, log);
    check_ascending(in, "angles_deg", s.angles, log);
    check_ascending(in, "lengths", s.lengths, log);
    check_make(in, s, log);
    out.push_back(std::move(s));
  }
  return out;
}

std::optional<GapTable> read_limits(const InputFile& file, ProblemLog& log) {
  const MapView root(file, file.root, "");
  std::map<std::tuple<Runner, Hazard, bool>, int> line_of;
  std::vector<GapRow> rows;
  const std::vector<MapView> items = root.maps("gaps");
  bool fine = refuse_repeated(items, "id", "a gap", log);
  for (const MapView& in : items) {
    fine = fine && in.ok();
    if (!in.ok()) continue;
    const GapRow row{in.text("id"),
                     in.choice("runner", kRunners, Runner::hose),
                     in.choice("hazard", kHazards, Hazard::smooth_metal),
                     in.boolean("same_carrier", false),
                     in.length("at_rest"),
                     in.length("after_motion"),
                     read_provenance(in.map("provenance"))};
    const auto [it, fresh] = line_of.try_emplace({row.runner, row.hazard, row.same_carrier}, in.place().line);
    if (!fresh) {
      in.refuse(log, fmt::format("{} past {} with same_carrier {} stands in line {} already; keep one",
                                 word(row.runner), word(row.hazard), row.same_carrier, it->second));
      fine = false;
    }
    rows.push_back(row);
  }
  if (!file.root.ok) return std::nullopt;  // a row that was refused would be told missing as well
  for (const Runner runner : kRunners)
    for (const Hazard hazard : kHazards)
      for (const bool same : {false, true})
        if (!line_of.contains({runner, hazard, same})) {
          root.refuse(
              log, "gaps",
              fmt::format(
                  "the row for {} past {} with same_carrier {} is missing; the table must be complete",
                  word(runner), word(hazard), same));
          fine = false;
        }
  if (!fine) return std::nullopt;
  return GapTable(std::move(rows));
}

EngineMotion read_motion(const MapView& in) {
  EngineMotion motion;
  motion.roll = in.angle("roll_deg");
  motion.lift = in.length("lift");
  motion.forward = in.length("forward");
  motion.rearward = in.length("rearward");
  motion.sideways = in.length("sideways");
  motion.axis_below_crank = in.length("axis_below_crank");
  return motion;
}

std::vector<MountsMotion> read_mounts(const InputFile& file, ProblemLog& log) {
  const std::vector<MapView> items = MapView(file, file.root, "").maps("mounts");
  refuse_repeated(items, "mounts", "a kind of mount", log);
  std::vector<MountsMotion> out;
  for (const MapView& in : items) {
    if (!in.ok()) continue;
    MountsMotion row{
        in.choice("mounts", std::array{Mounts::rubber, Mounts::firm, Mounts::solid}, Mounts::rubber),
        read_motion(in)};
    row.motion.provenance = read_provenance(in.map("provenance"));
    out.push_back(std::move(row));
  }
  return out;
}

}  // namespace hosefit
