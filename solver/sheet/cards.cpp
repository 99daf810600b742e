// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

constexpr std::string_view kNoSource =
    "Common practice, no source. Where the makers of engine, vehicle, radiator or cap say otherwise, do what "
    "they say; work on brakes, steering and lifting needs the licence that local codes ask for.";

Paragraph do_not_use() {
  return {Tone::bad, "Not before a set is proved to fit: what follows is for a finished job only."};
}

SheetCard order_rows(const SheetDesk& desk) {
  SheetTable table{"Hoses, clamps and small parts", {"part", "which", "buy", "for"}, {}};
  for (const OrderRow& row : desk.order.rows) {
    std::string lines;
    for (const std::string& line : row.lines) lines += (lines.empty() ? "" : ", ") + safe_text(line);
    std::string what = item_words(row);
    if (const std::string apart = apart_words(row); !apart.empty()) what += "; " + apart;
    table.rows.push_back(
        {plain_word(word(row.kind)), safe_text(what), spare_words(row), lines.empty() ? "-" : lines});
  }
  SheetCard card{"Hoses and clamps", {}};
  for (const std::string& line : desk.order.lines_left_out)
    card.blocks.push_back(Paragraph{
        Tone::bad,
        fmt::format("Left out: {}. Not proved, so nothing of it is in this list.", safe_text(line))});
  if (table.rows.empty())
    card.blocks.push_back(Paragraph{Tone::plain, "Nothing has to be bought."});
  else
    card.blocks.push_back(table);
  card.blocks.push_back(
      Paragraph{Tone::quiet,
                "Spares: one clamp in ten of each size, at least one (common practice, no "
                "source). Types and classes are named in the words of an open standard; that "
                "claims no conformity of any hose. hosefit size tells where to cut."});
  return card;
}

SheetCard parts_to_get(const SheetDesk& desk) {
  SheetList list;
  for (const std::string& change : desk.chosen.changes) list.items.push_back(safe_text(change));
  if (list.items.empty())
    return {"Engine parts", {Paragraph{Tone::plain, "None: all four parts are fitted already."}}};
  return {"Engine parts", {list}};
}

std::string cap_words(const CoolantData& coolant) {
  return fmt::format("{:.0f} kPa ({:.0f} psi)", coolant.cap_gauge.kpa(), coolant.cap_gauge.psi());
}

std::string hose_ends_words(int joints) {
  const std::string which =
      joints == 0 ? std::string(
                        "this sheet settles no hose, so see that every end of the hoses that are "
                        "fitted sits behind its bead")
                  : fmt::format("see that all {} clamped hose ends sit behind their beads", joints);
  return fmt::format(
      "Engine cold, battery disconnected: {}, clamps at their torque, and that no hose touches "
      "belt, fan or sharp edge.",
      which);
}

std::vector<JobStep> before_filling(const SheetDesk& desk) {
  return {
      {hose_ends_words(desk.chosen.comparison.joints), belt_caution()},
      {"See that no hose lies nearer to the exhaust than this sheet says, and that heat sleeves are on.",
       exhaust_caution(desk.job().vehicle.coolant.fluid)},
      {"Turn the steering from stop to stop and open the throttle by hand from shut to fully open; watch "
       "every hose near them.",
       steering_caution()},
      {"Bring the filler to the highest point of the system, front of the vehicle up if need be. Heater on "
       "hot.",
       "CAUTION: never work under a vehicle that only a jack holds. Rated stands or ramps, wheels "
       "chocked."}};
}

std::vector<JobStep> filling(const SheetDesk& desk) {
  const CoolantData& coolant = desk.job().vehicle.coolant;
  const Engine& engine = desk.job().family.engine;
  return {
      {fmt::format("Fill slowly, bleed screws and vents open, until coolant comes without bubbles; shut them "
                   "from the lowest up. On file here: {}. The engine maker's word on coolant decides.",
                   coolant_words(coolant)),
       glycol_caution(coolant.fluid)},
      {"Squeeze the large hoses by hand several times, engine stopped and cold, and top up.", ""},
      {fmt::format("Pressure test cold with a hand pump to no more than the cap's rating, on file as {}. "
                   "Wait ten minutes: no drop, no weeping joint.",
                   cap_words(coolant)),
       "CAUTION: let the pressure off at the pump before anything is opened."},
      {fmt::format(
           "Run the engine at idle until the thermostat opens (on file: begins at {:.0f} \u00b0C, {:.0f} "
           "\u00b0F) and both large hoses are warm. Watch the gauge all the time; stop when it climbs "
           "past its usual place, and look for trapped air. Cap on or off: as the maker says.",
           engine.thermostat_starts.celsius(), engine.thermostat_starts.fahrenheit()),
       scald_caution() + " Fan and belts now turn: stand clear of them."},
      {"Let it cool fully, best overnight, and top up to the mark. Look at every joint again.",
       scald_caution()}};
}

std::string torque_step(const SheetDesk& desk) {
  std::string out;
  std::vector<std::string> told;
  for (const OrderRow& row : desk.order.rows) {
    if (!row.clamp) continue;
    const std::string words = fmt::format("{} size {}: {}", safe_text(row.clamp->standard),
                                          safe_text(row.clamp->code), torque_words(*row.clamp));
    bool known = false;
    for (const std::string& other : told) known = known || other == words;
    if (known) continue;
    told.push_back(words);
    out += (out.empty() ? " " : "; ") + words;
  }
  return "Cold: bring every clamp back to its torque." + (out.empty() ? std::string{} : out + ".");
}

// Where a hose would rub first.
SheetList tight_places(const SheetDesk& desk) {
  SheetList out;
  for (std::size_t i = 0; i < desk.job().vehicle.lines.size(); ++i)
    if (const GapRecord* gap = proved_tightest(desk.chosen, i))
      out.items.push_back(
          fmt::format("{} at {}", safe_text(desk.job().vehicle.lines[i].name), both_gap_words(*gap)));
  return out;
}

std::vector<JobStep> service_steps(const SheetDesk& desk) {
  const CoolantFluid fluid = desk.job().vehicle.coolant.fluid;
  const std::string glycol = glycol_caution(fluid);
  return {
      {torque_step(desk), scald_caution()},
      {"Look for rub marks at the tight places listed below. A dab of paint there at fitting shows contact.",
       "CAUTION: that the engine's motion keeps clear is not proved. A rub mark is a stop: re-route or "
       "shield "
       "before the next drive."},
      {"Turn the steering from stop to stop and work the throttle: nothing may touch.", steering_caution()},
      {"Look at belts, their line and tension, and at the fan.", belt_caution()},
      {"Look at hoses and sleeves near the exhaust for hard, glazed or scorched places.",
       exhaust_caution(fluid)},
      {fluid == CoolantFluid::water
           ? "Check the level, cold. Plain water: have it changed for what the engine "
             "maker asks for."
           : "Check the level and the frost protection, cold.",
       glycol},
      {"Feel every hose, cold: soft, swollen, oily or cracked ones are replaced.", ""}};
}

}  // namespace

SheetSection order_section(const SheetDesk& desk) {
  SheetSection out{"order", "Parts to order", {}};
  if (!desk.fits()) {
    out.cards.push_back(
        {"",
         {Paragraph{Tone::bad,
                    "ORDER NOTHING FROM THIS SHEET: the set on it is not proved to fit, and single "
                    "hoses are no use while the whole does not."}}});
    return out;
  }
  if (!desk.order.order_now)
    out.cards.push_back({"",
                         {Paragraph{Tone::bad,
                                    "DO NOT ORDER ALL OF IT: some lines are not proved; they are "
                                    "named below and not in the list."}}});
  out.cards.push_back(parts_to_get(desk));
  out.cards.push_back(order_rows(desk));
  return out;
}

SheetSection fill_section(const SheetDesk& desk) {
  SheetSection out{"fill-and-bleed", "Fill and bleed card", {}};
  SheetCard first{"Before filling", {}}, second{"Filling", {}};
  if (!desk.fits()) first.blocks.push_back(do_not_use());
  first.blocks.push_back(Paragraph{Tone::quiet, std::string(kNoSource)});
  first.blocks.push_back(JobSteps{before_filling(desk)});
  second.blocks.push_back(JobSteps{filling(desk)});
  out.cards = {first, second};
  return out;
}

SheetSection service_section(const SheetDesk& desk) {
  SheetSection out{"first-service", "First service card", {}};
  SheetCard card{"After the first three to five warm-ups, again after about 800 km (500 miles)", {}};
  if (!desk.fits()) card.blocks.push_back(do_not_use());
  card.blocks.push_back(Paragraph{Tone::quiet, std::string(kNoSource)});
  card.blocks.push_back(JobSteps{service_steps(desk)});
  SheetCard places{"Tight places to look at", {}};
  if (SheetList list = tight_places(desk); !list.items.empty())
    places.blocks.push_back(list);
  else
    places.blocks.push_back(Paragraph{Tone::plain, "None is told: no hose is proved."});
  places.blocks.push_back(SignLine{"First service done by, date"});
  out.cards = {card, places};
  return out;
}

}  // namespace hosefit
