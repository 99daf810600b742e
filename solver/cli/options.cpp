// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/options.h"

#include <fmt/format.h>

#include <array>

#include "solver/report/page.h"

namespace hosefit {
namespace {

constexpr unsigned bit(Command command) {
  return static_cast<unsigned>(command);
}
constexpr unsigned kPick = bit(Command::pick);
constexpr unsigned kSize = bit(Command::size);
constexpr unsigned kPicture = bit(Command::picture);
constexpr unsigned kTemplate = bit(Command::paper_template);
constexpr unsigned kDrawing = bit(Command::drawing);
constexpr unsigned kCheck = bit(Command::check);
constexpr unsigned kSchema = bit(Command::schema);
constexpr unsigned kCompletion = bit(Command::completion);
constexpr unsigned kShow = bit(Command::show);
constexpr unsigned kRecheck = bit(Command::recheck);
constexpr unsigned kFiles = kPicture | kTemplate | kDrawing;  // what they make goes to a file
constexpr unsigned kOneSet = kSize | kFiles | kShow;          // about one set of parts
constexpr unsigned kSolves = kPick | kOneSet;
constexpr unsigned kReadsVehicle = kSolves | kCheck;

constexpr std::array kCommands{
    CommandRow{Command::pick, "pick", "Which pump, for this intake at this height, in this vehicle, and why.",
               "hosefit pick vehicles/my_car --height 312"},
    CommandRow{Command::size, "size",
               "What to order and cut: hoses, elbows, tube and bends, clamps, supports, in one order list.",
               "hosefit size vehicles/my_car --csv --out order.csv"},
    CommandRow{Command::picture, "picture", "A picture of one set of parts in its bay, as a PNG file.",
               "hosefit picture vehicles/my_car --out my_car.png --view left"},
    CommandRow{Command::paper_template, "template",
               "Each hose in true size on paper, plane by plane, to lay wire, hose or tube on; a PDF file.",
               "hosefit template vehicles/my_car --out my_car.pdf --paper letter"},
    CommandRow{Command::drawing, "drawing",
               "The radiator with its necks dimensioned, for the shop that builds it; a PDF file.",
               "hosefit drawing vehicles/my_car --out my_radiator.pdf --paper letter"},
    CommandRow{Command::show, "show",
               "The sheet that a customer takes home: which pump and why, with pictures; HTML and PDF.",
               "hosefit show vehicles/my_car --out my_car_sheet"},
    CommandRow{Command::recheck, "recheck",
               "Confirms or refutes what pick --proof wrote, from the input alone and by other means.",
               "hosefit recheck my_car_proof"},
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
    OptionRow{
        "VEHICLE_FOLDER", "", ValueShape::text, "",
        "Folder that holds vehicle.yaml, its meshes and perhaps the shop's own stock.yaml and clamps.yaml.",
        "vehicles/my_car", kReadsVehicle},
    OptionRow{"PROOF_FOLDER", "", ValueShape::text, "", "Folder that pick --proof wrote its record to.",
              "my_car_proof", kRecheck},
    OptionRow{"KIND", "", ValueShape::text, "", "Kind of input file, as its first key says it.", "vehicle",
              kSchema, "vehicle|engine|pumps|drives|housings|intakes|stock|limits"},
    OptionRow{"SHELL", "", ValueShape::text, "", "The shell that is to complete.", "bash", kCompletion,
              "bash|zsh|fish"},
    OptionRow{"--intake", "NAME", ValueShape::text, "the vehicle file's question", "The intake to ask about.",
              "--intake \"tall plenum\"", kReadsVehicle},
    OptionRow{"--height", "LENGTH", ValueShape::length, "the vehicle file's question",
              "Height of the intake's top reference above the crank centreline; a bare number is in the unit "
              "of --units, else mm.",
              "--height \"12-1/4 in\"", kReadsVehicle},
    OptionRow{"--family", "NAME", ValueShape::text, "the vehicle file's engine",
              "The engine family, a folder in the pumps folder.", "--family iron_block", kReadsVehicle},
    OptionRow{"--pump", "NAME", ValueShape::text, "the best ranked", "Only this pump, by its exact name.",
              "--pump \"low right\"", kOneSet},
    OptionRow{"--drive", "NAME", ValueShape::text, "the best ranked",
              "Only this accessory drive, by its exact name.", "--drive \"short low-mount\"", kOneSet},
    OptionRow{"--housing", "NAME", ValueShape::text, "the best ranked",
              "Only this thermostat housing or outlet elbow, by its exact name, at its best clock.",
              "--housing straight", kOneSet},
    OptionRow{"--csv", "", ValueShape::on_off, "off",
              "Write one table for a spreadsheet instead of text (RFC 4180).", "--csv", kSize},
    OptionRow{"--out", "FILE", ValueShape::text, "the terminal",
              "Write to this file, whole or not at all; a file of that name is replaced.", "--out order.txt",
              kSize},
    OptionRow{"--out", "FILE", ValueShape::text, "",
              "The file to write, whole or not at all; one of that name is replaced.", "--out my_car.out",
              kFiles, "", true},
    OptionRow{"--out", "STEM", ValueShape::text, "",
              "Writes STEM.html and STEM.pdf, each whole or not at all; files of these names are replaced.",
              "--out my_car_sheet", kShow, "", true},
    OptionRow{"--date", "DAY", ValueShape::text, "today", "The day that stands on the sheet.",
              "--date 2026-03-14", kShow},
    OptionRow{"--windows", "", ValueShape::on_off, "off",
              "Also work out over which intake heights each pump fits; takes many times as long.",
              "--windows", kPick | kShow},
    OptionRow{
        "--motion", "", ValueShape::on_off, "off",
        "Also tell, line by line, how near everything comes wherever the engine goes on its mounts, and "
        "which clips hold what.",
        "--motion", kPick},
    OptionRow{"--proof", "FOLDER", ValueShape::text, "no record",
              "Also write a record of every set that fits, for hosefit recheck; a new folder, or one that "
              "holds such a record.",
              "--proof my_car_proof", kPick},
    OptionRow{"--vehicle", "FOLDER", ValueShape::text, "where the record says",
              "The vehicle's folder, when it lies elsewhere now.", "--vehicle vehicles/my_car", kRecheck},
    OptionRow{"--pumps", "FOLDER", ValueShape::text, "where the record says",
              "The folder of engine families, when it lies elsewhere now.", "--pumps ../pumps", kRecheck},
    OptionRow{"--data", "FOLDER", ValueShape::text, "where the record says",
              "The folder with stock.yaml and limits.yaml, when it lies elsewhere now.", "--data ./data",
              kRecheck},
    OptionRow{"--view", "SIDE", ValueShape::text, "three-quarter",
              "From where; left and right as seated, close goes near to what binds.", "--view close",
              kPicture, "front|rear|left|right|top|bottom|three-quarter|close"},
    OptionRow{"--pixels", "WxH", ValueShape::size, "1600x1000", "Width and height of the picture.",
              "--pixels 2400x1500", kPicture},
    OptionRow{"--paper", "SIZE", ValueShape::text, "a4", "The paper to print on.", "--paper letter",
              kTemplate | kDrawing | kShow, "a4|letter"},
    OptionRow{"--bar-across", "LENGTH", ValueShape::length, "100 mm",
              "What the bar across the sheet measured when printed; the next print is then true.",
              "--bar-across 99.2", kTemplate},
    OptionRow{"--bar-down", "LENGTH", ValueShape::length, "100 mm", "The same for the bar down the sheet.",
              "--bar-down 99.6", kTemplate},
    OptionRow{"--units", "UNIT", ValueShape::text, "the vehicle file's choice",
              "Show lengths in mm or inches.", "--units in", kReadsVehicle, "mm|in"},
    OptionRow{"--json", "", ValueShape::on_off, "off", "Write JSON for other programs instead of text.",
              "--json", kPick | kCheck | kSize},
    OptionRow{"--threads", "N", ValueShape::count, "all of the machine",
              "How many threads may work; the answer is the same for any number.", "--threads 2", kSolves},
    OptionRow{"--seed", "N", ValueShape::count, "1",
              "Another number makes the search try other ways first, where it found none.", "--seed 7",
              kSolves},
    OptionRow{"--pumps", "FOLDER", ValueShape::text, "pumps beside the vehicles, else as installed",
              "Folder with one folder per engine family.", "--pumps ../pumps", kReadsVehicle},
    OptionRow{"--data", "FOLDER", ValueShape::text, "as installed",
              "Folder with stock.yaml, clamps.yaml and limits.yaml.", "--data ./data", kReadsVehicle}};

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
         "only reads ends with 0 or 2. Of recheck: 0 confirmed; 1 refuted; 2 record or input cannot be read "
         "or is not the one recorded; 3 it cannot tell.";
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
