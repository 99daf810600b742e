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
constexpr unsigned kCompletion = static_cast<unsigned>(Command::completion);

constexpr unsigned kSize = static_cast<unsigned>(Command::size);

constexpr std::array kCommands{
    CommandRow{Command::pick, "pick", "Which pump, for this intake at this height, in this vehicle, and why.",
               "hosefit pick vehicles/my_car --height 312"},
    CommandRow{Command::size, "size",
               "What to order and cut: hoses, elbows, tube and bends, clamps, supports, in one order list.",
               "hosefit size vehicles/my_car --csv --out order.csv"},
    CommandRow{Command::check, "check",
               "Is the input sound: every problem with its line and cure, and what to measure next.",
               "hosefit check vehicles/my_car"},
    CommandRow{Command::schema, "schema", "The keys of one kind of input file as JSON Schema, for an editor.",
               "hosefit schema vehicle > vehicle.schema.json"},
    CommandRow{Command::manual, "manual", "This help as a page for man(1), on the standard output.",
               "hosefit manual > hosefit.1"},
    CommandRow{Command::completion, "completion",
               "What a shell needs to complete commands and options, on the standard output.",
               "hosefit completion fish > ~/.config/fish/completions/hosefit.fish"}};

constexpr std::array kOptions{
    OptionRow{"VEHICLE_FOLDER", "", ValueShape::text, "",
              "Folder that holds vehicle.yaml, its meshes and perhaps the shop's own stock.yaml.",
              "vehicles/my_car", kPick | kCheck | kSize},
    OptionRow{"KIND", "", ValueShape::text, "", "Kind of input file, as its first key says it.", "vehicle",
              kSchema, "vehicle|engine|pumps|drives|housings|intakes|stock|limits"},
    OptionRow{"SHELL", "", ValueShape::text, "", "The shell that is to complete.", "bash", kCompletion,
              "bash|zsh|fish"},
    OptionRow{"--intake", "NAME", ValueShape::text, "the vehicle file's question", "The intake to ask about.",
              "--intake \"tall plenum\"", kPick | kCheck | kSize},
    OptionRow{"--height", "LENGTH", ValueShape::length, "the vehicle file's question",
              "Height of the intake's top reference above the crank centreline; a bare number is in the unit "
              "of --units, else mm.",
              "--height \"12-1/4 in\"", kPick | kCheck | kSize},
    OptionRow{"--family", "NAME", ValueShape::text, "the vehicle file's engine",
              "The engine family, a folder in the pumps folder.", "--family iron_block",
              kPick | kCheck | kSize},
    OptionRow{"--pump", "NAME", ValueShape::text, "the best ranked", "Only this pump, by its exact name.",
              "--pump \"low right\"", kSize},
    OptionRow{"--drive", "NAME", ValueShape::text, "the best ranked",
              "Only this accessory drive, by its exact name.", "--drive \"short low-mount\"", kSize},
    OptionRow{"--housing", "NAME", ValueShape::text, "the best ranked",
              "Only this thermostat housing or outlet elbow, by its exact name, at its best clock.",
              "--housing straight", kSize},
    OptionRow{"--csv", "", ValueShape::on_off, "off",
              "Write one table for a spreadsheet instead of text (RFC 4180).", "--csv", kSize},
    OptionRow{"--out", "FILE", ValueShape::text, "the terminal",
              "Write to this file, whole or not at all; a file of that name is replaced.", "--out order.txt",
              kSize},
    OptionRow{"--windows", "", ValueShape::on_off, "off",
              "Also work out over which intake heights each pump fits; takes many times as long.",
              "--windows", kPick},
    OptionRow{"--units", "UNIT", ValueShape::text, "the vehicle file's choice",
              "Show lengths in mm or inches.", "--units in", kPick | kCheck | kSize, "mm|in"},
    OptionRow{"--json", "", ValueShape::on_off, "off", "Write JSON for other programs instead of text.",
              "--json", kPick | kCheck | kSize},
    OptionRow{"--threads", "N", ValueShape::count, "all of the machine",
              "How many threads may work; the answer is the same for any number.", "--threads 2",
              kPick | kSize},
    OptionRow{"--seed", "N", ValueShape::count, "1",
              "Another number makes the search try other ways first, where it found none.", "--seed 7",
              kPick | kSize},
    OptionRow{"--pumps", "FOLDER", ValueShape::text, "pumps beside the vehicles, else as installed",
              "Folder with one folder per engine family.", "--pumps ../pumps", kPick | kCheck | kSize},
    OptionRow{"--data", "FOLDER", ValueShape::text, "as installed", "Folder with stock.yaml and limits.yaml.",
              "--data ./data", kPick | kCheck | kSize}};

constexpr int kHelpWidth = 98;

void write_exit_codes(Page& page) {
  page.heading("Exit codes");
  page.line(exit_codes_text(), 2, 0);
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

std::string_view exit_codes_text() {
  return "0 something fits; 1 nothing fits; 2 the input or the command line is wrong; 3 nothing is proved to "
         "fit and something is undecided; 4 the program or the system failed; 130 interrupted. A command "
         "that "
         "only reads ends with 0 or 2.";
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
