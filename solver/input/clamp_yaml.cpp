// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/clamp_yaml.h"

#include <fmt/format.h>

#include "solver/input/shape_yaml.h"

namespace hosefit {
namespace {

void check_clamp(const MapView& in, const ClampSize& size, ProblemLog& log) {
  if (size.most <= size.least)
    in.refuse(
        log, "most",
        fmt::format("want more than the least of {:g} mm, found {:g} mm", size.least.mm(), size.most.mm()));
  if (size.torque_spread_nm >= size.torque_new_nm)
    in.refuse(log, "torque_spread_nm",
              fmt::format("want less than the torque of {:g} N.m, found {:g} N.m", size.torque_new_nm,
                          size.torque_spread_nm));
  if (size.torque_reused_nm > size.torque_new_nm)
    in.refuse(log, "torque_reused_nm",
              fmt::format("want at most that on new hose, {:g} N.m, found {:g} N.m", size.torque_new_nm,
                          size.torque_reused_nm));
}

}  // namespace

std::vector<ClampSize> read_clamps(const InputFile& file, ProblemLog& log) {
  std::vector<ClampSize> out;
  const std::vector<MapView> items = MapView(file, file.root, "").maps("clamps");
  refuse_repeated(items, "id", "a clamp size", log);
  for (const MapView& in : items) {
    if (!in.ok()) continue;
    ClampSize size;
    size.id = in.text("id");
    size.kind = in.choice("kind", kClampKinds, ClampKind::worm_drive);
    size.standard = in.text("standard");
    size.code = in.text("code");
    size.least = in.length("least");
    size.most = in.length("most");
    size.band = in.length("band");
    size.torque_new_nm = in.number("torque_nm");
    size.torque_spread_nm = in.number("torque_spread_nm");
    size.torque_reused_nm = in.number("torque_reused_nm");
    size.provenance = read_provenance(in.map("provenance"));
    size.torque_provenance = read_provenance(in.map("torque_provenance"));
    size.torque_note = in.text("torque_note");
    size.place = in.place();
    check_clamp(in, size, log);
    out.push_back(std::move(size));
  }
  return out;
}

std::vector<Reducer> read_reducers(const InputFile& file, ProblemLog& log) {
  std::vector<Reducer> out;
  const std::vector<MapView> items = MapView(file, file.root, "").maps("reducers");
  refuse_repeated(items, "id", "a reducer", log);
  for (const MapView& in : items) {
    if (!in.ok()) continue;
    Reducer reducer;
    reducer.id = in.text("id");
    reducer.kind = in.choice("kind", kReducerKinds, ReducerKind::stepped_joiner);
    reducer.description = in.text("description");
    reducer.wide = in.length("wide");
    reducer.narrow = in.length("narrow");
    reducer.length = in.length("length");
    reducer.price = in.number("price");
    reducer.provenance = read_provenance(in.map("provenance"));
    reducer.place = in.place();
    if (reducer.narrow >= reducer.wide)
      in.refuse(log, "narrow",
                fmt::format("want less than the wide end of {:g} mm, found {:g} mm", reducer.wide.mm(),
                            reducer.narrow.mm()));
    out.push_back(std::move(reducer));
  }
  return out;
}

}  // namespace hosefit
