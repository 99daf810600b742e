// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/table_parts.h"

namespace hosefit {

ValueRule size_up_to(double most_mm, std::string_view why) {
  return length_value({.above = 0, .at_most = most_mm, .reason = why});
}
ValueRule size_or_none_up_to(double most_mm, std::string_view why) {
  return length_value({.at_least = 0, .at_most = most_mm, .reason = why});
}
ValueRule gap_value() {
  return length_value({.at_least = 0, .at_most = 500, .reason = "wider gaps are typing mistakes"});
}
KeyRule description_key() {
  return {"description", true, text_value(), "A sentence for the reader."};
}
KeyRule name_key(std::string_view doc) {
  return {"name", true, name_value(), doc};
}

KeyRule id_key() {
  return {"id", true, name_value(), "Its name in this and other files."};
}

namespace {

ValueRule way_value() {
  return length_value({.at_least = 0, .at_most = 60, .reason = "an engine that goes further is loose"});
}

}  // namespace

std::vector<KeyRule> motion_keys() {
  return {
      {"roll_deg", true, angle_value({.at_least = 0, .at_most = 10, .reason = "a sound mount holds more"}),
       "To either side about the roll axis."},
      {"lift", true, way_value(), "Up and down."},
      {"forward", true, way_value(), "Under braking."},
      {"rearward", true, way_value(), "Under drive."},
      {"sideways", true, way_value(), "To either side."},
      {"axis_below_crank", true,
       length_value({.at_least = -300, .at_most = 600, .reason = "mounts stand near the crank"}),
       "Of the roll axis, which runs along the crank."}};
}

MapRule list_file(FileKind kind, std::string_view what, MapTable item, std::string_view key,
                  std::size_t most) {
  return {what, word(kind),
          with_file_head(kind, {{key, true, list_of(map_of(item), 1, most),
                                 "The entries, in the order they are shown."}})};
}

}  // namespace hosefit
