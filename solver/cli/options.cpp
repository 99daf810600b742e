// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/options.h"

#include <fmt/format.h>

#include <array>

#include "solver/report/page.h"

namespace hosefit {
namespace {

constexpr unsigned kPick = static_cast<unsigned>(Command::pick);
constexpr unsigned kCheck = static_cast<unsigned>(Command::check);
constexpr unsigned kSchema = static_cast<unsigned>(Command::schema);
constexpr unsigned kPicture = static_cast<unsigned>(Command::picture);

constexpr std::array kCommands{
    CommandRow{Command::pick, "pick", "Which pump, for this intake at this height, in this vehicle, and why.",
               "hosefit pick vehicles/my_car --height 312"},
    CommandRow{Command::picture, "picture", "A picture of the best candidate in its bay, as a PNG file.",
               "hosefit picture vehicles/my_car --out my_car.png --view left"},
    CommandRow{Command::check, "check",
               "Is the input sound: every problem with its line and cure, and what to measure next.",
               "hosefit check vehicles/my_car"},
    CommandRow{Command::schema, "schema", "The keys of one kind of input file as JSON Schema, for an editor.",
               "hosefit schema vehicle > vehicle.schema.json"}};

constexpr std::array kOptions{
    OptionRow{"VEHICLE_FOLDER", "", ValueShape::text, "",
              "Folder that holds vehicle.yaml, its meshes and perhaps the shop's own stock.yaml.",
              "vehicles/my_car", kPick | kPicture | kCheck},
    OptionRow{"KIND", "", ValueShape::text, "", "Kind of input file, as its first key says it.", "vehicle",
              kSchema, "vehicle|engine|pumps|drives|housings|intakes|stock|limits"},
    OptionRow{"--intake", "NAME", ValueShape::text, "the vehicle file's question", "The intake to ask about.",
              "--intake \"tall plenum\"", kPick | kPicture | kCheck},
    OptionRow{"--height", "LENGTH", ValueShape::length, "the vehicle file's question",
              "Height of the intake's top reference above the crank centreline; a bare number is in the unit "
              "of --units, else mm.",
              "--height \"12-1/4 in\"", kPick | kPicture | kCheck},
    OptionRow{"--family", "NAME", ValueShape::text, "the vehicle file's engine",
              "The engine family, a folder in the pumps folder.", "--family iron_block",
              kPick | kPicture | kCheck},
    OptionRow{"--windows", "", ValueShape::on_off, "off",
              "Also work out over which intake heights each pump fits; takes many times as long.",
              "--windows", kPick},
    OptionRow{"--out", "FILE", ValueShape::text, "", "The PNG file to write; one of that name is replaced.",
              "--out my_car.png", kPicture, "", true},
    OptionRow{"--view", "SIDE", ValueShape::text, "three-quarter",
              "From where; left and right as seated, close goes near to what binds.", "--view close",
              kPicture, "front|rear|left|right|top|bottom|three-quarter|close"},
    OptionRow{"--size", "WxH", ValueShape::size, "1600x1000", "Width and height in pixels.",
              "--size 2400x1500", kPicture},
    OptionRow{"--units", "UNIT", ValueShape::text, "the vehicle file's choice",
              "Show lengths in mm or inches.", "--units in", kPick | kPicture | kCheck, "mm|in"},
    OptionRow{"--json", "", ValueShape::on_off, "off", "Write JSON for other programs instead of text.",
              "--json", kPick | kCheck},
    OptionRow{"--threads", "N", ValueShape::count, "all of the machine",
              "How many threads may work; the answer is the same for any number.", "--threads 2",
              kPick | kPicture},
    OptionRow{"--seed", "N", ValueShape::count, "1",
              "Another number makes the search try other ways first, where it found none.", "--seed 7",
              kPick | kPicture},
    OptionRow{"--pumps", "FOLDER", ValueShape::text, "pumps beside the vehicles, else as installed",
              "Folder with one folder per engine family.", "--pumps ../pumps", kPick | kPicture | kCheck},
    OptionRow{"--data", "FOLDER", ValueShape::text, "as installed", "Folder with stock.yaml and limits.yaml.",
              "--data ./data", kPick | kPicture | kCheck}};

constexpr int kHelpWidth = 98;

void write_exit_codes(Page& page) {
  page.heading("Exit codes");
  page.line(
      "0 something fits; 1 nothing fits; 2 the input or the command line is wrong; 3 nothing is proved to "
      "fit and something is "
      "undecided; 4 the program or the system failed; 130 interrupted. A command that only reads ends with 0 "
      "or 2.",
      2, 0);
}

void write_options(Page& page, Command command) {
  page.heading("Options");
  for (const OptionRow& row : option_rows()) {
    if (!belongs_to(row, command)) continue;
    page.line(fmt::format("{}{}{}", row.name, row.value.empty() ? "" : " ", row.value), 2, 0, Tint::strong);
    std::string text(row.help);
    if (!row.choices.empty()) text += fmt::format(" One of {}.", row.choices);
    if (!row.default_words.empty()) text += fmt::format(" Without it: {}.", row.default_words);
    page.line(fmt::format("{} Example: {}", text, row.example), 6, 0);
  }
  page.line("--help", 2, 0, Tint::strong);
  page.line("This text.", 6, 0);
}

TextLook help_look() {
  TextLook look;
  look.width = kHelpWidth;
  look.utf8 = false;
  return look;
}

}  // namespace

std::span<const CommandRow> command_rows() {
  return kCommands;
}
std::span<const OptionRow> option_rows() {
  return kOptions;
}
bool belongs_to(const OptionRow& row, Command command) {
  return (row.commands & static_cast<unsigned>(command)) != 0;
}

std::string help_text() {
  Page page(help_look());
  page.line(
      "hosefit picks a coolant pump for a modern V8 in an older vehicle: which pump variant clears the "
      "intake and the bay, how its "
      "hoses run, what they are cut from, and by how many millimetres everything clears.");
  page.heading("Commands");
  for (const CommandRow& row : command_rows()) page.line(fmt::format("{}: {}", row.name, row.help), 2, 4);
  page.line("hosefit COMMAND --help tells the options of a command; hosefit --version the version.", 2, 4);
  page.heading("Two examples");
  page.line("hosefit pick vehicles/my_car --height 312", 2, 4, Tint::strong);
  page.line(
      "Ranks every pump for the intake named in vehicles/my_car/vehicle.yaml, set 312 mm above the crank "
      "centreline: what fits, what "
      "binds and by how many mm, what to buy and cut.",
      6, 0);
  page.line(
      "hosefit pick vehicles/my_car --intake \"tall plenum\" --height \"12-1/4 in\" --units in --windows", 2,
      4, Tint::strong);
  page.line(
      "The same for another intake, told in inches, with the range of heights over which each pump fits.", 6,
      0);
  write_exit_codes(page);
  return page.text();
}

std::string help_text(Command command) {
  Page page(help_look());
  for (const CommandRow& row : command_rows()) {
    if (row.command != command) continue;
    std::string use = fmt::format("hosefit {}", row.name);
    for (const OptionRow& option : option_rows())
      if (belongs_to(option, command) && !option.name.starts_with("--"))
        use += fmt::format(" {}", option.name);
    page.line(use + " [OPTIONS]", 0, 2, Tint::strong);
    page.line(row.help);
    page.line(fmt::format("Example: {}", row.example), 0, 2);
  }
  write_options(page, command);
  write_exit_codes(page);
  return page.text();
}

}  // namespace hosefit
