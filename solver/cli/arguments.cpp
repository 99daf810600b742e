// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/arguments.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <map>

#include "solver/input/source_text.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr std::uint64_t kMostThreads = 1024;
constexpr std::uint64_t kLeastWidth = 480, kLeastHeight = 300, kMostPixels = 8000;

using Values = std::map<std::string_view, std::string>;

SayAndEnd refusal(const std::string& what) {
  return {ExitCode::bad_input, "",
          fmt::format("hosefit: {}\nhosefit --help tells what there is.\n", safe_text(what))};
}

const CommandRow* command_named(std::string_view name) {
  for (const CommandRow& row : command_rows())
    if (row.name == name) return &row;
  return nullptr;
}

const OptionRow* option_named(std::string_view name, Command command) {
  for (const OptionRow& row : option_rows())
    if (row.name == name && belongs_to(row, command)) return &row;
  return nullptr;
}

std::vector<std::string> option_names(Command command) {
  std::vector<std::string> out{"--help", "--version"};
  for (const OptionRow& row : option_rows())
    if (belongs_to(row, command) && row.name.starts_with("--")) out.emplace_back(row.name);
  return out;
}

std::string unknown_words(const std::string& word, Command command) {
  if (!word.starts_with("-"))
    return fmt::format("\"{}\" is one word too many (quote names with blanks)", word);
  const std::string name = word.substr(0, word.find('='));
  return fmt::format("unknown option {}{}", name, did_you_mean(name, option_names(command)));
}

// Tokens only; what values mean is read afterwards, so that every message is ours.
std::variant<Values, SayAndEnd> split(const std::vector<std::string>& words, const CommandRow& command) {
  CLI::App app;
  app.set_help_flag();
  app.allow_extras();
  Values values;
  std::map<std::string_view, std::string> given;
  std::map<std::string_view, CLI::Option*> options;
  for (const OptionRow& row : option_rows()) {
    if (!belongs_to(row, command.command)) continue;
    const std::string name(row.name);
    options[row.name] =
        row.shape == ValueShape::on_off ? app.add_flag(name) : app.add_option(name, given[row.name]);
    if (row.shape != ValueShape::on_off) options[row.name]->type_name(std::string(row.value))->expected(1);
  }
  std::vector<std::string> reversed(words.rbegin(), words.rend());
  try {
    app.parse(reversed);
  } catch (const CLI::ParseError& error) {
    return refusal(error.what());
  }
  if (!app.remaining().empty()) return refusal(unknown_words(app.remaining().front(), command.command));
  for (const auto& [name, option] : options) {
    if (option->count() > 0) values[name] = given[name];
    if (option->count() == 0 && (!name.starts_with("--") || option_named(name, command.command)->required))
      return refusal(fmt::format("{} is missing: {}", name, option_named(name, command.command)->help));
  }
  return values;
}

std::optional<std::uint64_t> count_of(std::string_view text) {
  std::uint64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size() ? std::optional(value) : std::nullopt;
}

struct PixelSize {
  int width = 0, height = 0;
};
// Below the least size letters cannot be read; above the largest a picture takes gigabytes.
std::optional<PixelSize> size_of(std::string_view text) {
  const auto x = text.find('x');
  if (x == std::string_view::npos) return std::nullopt;
  const auto width = count_of(text.substr(0, x)), height = count_of(text.substr(x + 1));
  if (!width || !height || *width < kLeastWidth || *width > kMostPixels || *height < kLeastHeight ||
      *height > kMostPixels)
    return std::nullopt;
  return PixelSize{static_cast<int>(*width), static_cast<int>(*height)};
}

std::vector<std::string> choices_of(const OptionRow& row) {
  std::vector<std::string> out;
  for (std::string_view rest = row.choices; !rest.empty();) {
    const auto bar = std::min(rest.find('|'), rest.size());
    out.emplace_back(rest.substr(0, bar));
    rest.remove_prefix(std::min(bar + 1, rest.size()));
  }
  return out;
}

// Empty when the value is of the shape that its row states.
std::string shape_problem(const OptionRow& row, const std::string& value) {
  const auto wrong = [&](std::string_view wanted) {
    return fmt::format("{}: want {}, got \"{}\"", row.name, wanted, value);
  };
  if (const auto choices = choices_of(row);
      !choices.empty() && std::find(choices.begin(), choices.end(), value) == choices.end())
    return fmt::format("{}: \"{}\" is none of {}{}", row.name, value, row.choices,
                       did_you_mean(value, choices));
  switch (row.shape) {
    case ValueShape::on_off:
      return {};
    case ValueShape::text:
      return value.empty() ? wrong("a word") : std::string{};
    case ValueShape::count:
      return count_of(value) ? std::string{} : wrong("a whole number from 0 up");
    case ValueShape::size:
      return size_of(value) ? std::string{}
                            : wrong(fmt::format("width x height in pixels from {}x{} to {}x{}, as 1600x1000",
                                                kLeastWidth, kLeastHeight, kMostPixels, kMostPixels));
    case ValueShape::length:
      return parse_length(value, LengthUnit::mm)
                 ? std::string{}
                 : wrong("a length as 312, \"312 mm\", \"12.25 in\" or \"12-1/4 in\"");
  }
  return {};
}

std::optional<std::string> text_of(const Values& values, std::string_view name) {
  const auto found = values.find(name);
  return found == values.end() ? std::nullopt : std::optional(found->second);
}

std::variant<Arguments, SayAndEnd> understood(const Values& values, Command command) {
  for (const auto& [name, value] : values)
    if (const std::string problem = shape_problem(*option_named(name, command), value); !problem.empty())
      return refusal(problem);
  Arguments out;
  out.command = command;
  out.vehicle_folder = text_of(values, "VEHICLE_FOLDER").value_or("");
  out.proof_folder = text_of(values, "PROOF_FOLDER").value_or("");
  out.kind = text_of(values, "KIND").value_or("");
  out.shell = text_of(values, "SHELL").value_or("");
  out.intake = text_of(values, "--intake");
  out.family = text_of(values, "--family");
  out.pumps_folder = text_of(values, "--pumps");
  out.data_folder = text_of(values, "--data");
  if (const auto unit = text_of(values, "--units"))
    out.units = *unit == "in" ? LengthUnit::inch : LengthUnit::mm;
  if (const auto height = text_of(values, "--height"))
    out.height = parse_length(*height, out.units.value_or(LengthUnit::mm));
  if (const auto seed = text_of(values, "--seed")) out.seed = *count_of(*seed);
  if (const auto threads = text_of(values, "--threads")) {
    const std::uint64_t n = *count_of(*threads);
    if (n < 1 || n > kMostThreads)
      return refusal(fmt::format("--threads: want 1 to {}, got {}", kMostThreads, n));
    out.threads = static_cast<unsigned>(n);
  }
  out.view = text_of(values, "--view").value_or(out.view);
  if (const auto size = text_of(values, "--pixels")) {
    out.picture_width = size_of(*size)->width;
    out.picture_height = size_of(*size)->height;
  }
  out.paper = text_of(values, "--paper").value_or(out.paper);
  if (const auto bar = text_of(values, "--bar-across")) out.bar_across = parse_length(*bar, LengthUnit::mm);
  if (const auto bar = text_of(values, "--bar-down")) out.bar_down = parse_length(*bar, LengthUnit::mm);
  out.json = values.contains("--json");
  out.windows = values.contains("--windows");
  out.motion = values.contains("--motion");
  out.csv = values.contains("--csv");
  if (out.json && out.csv) return refusal("--json and --csv are two forms of one report; give one of them");
  out.pump = text_of(values, "--pump");
  out.drive = text_of(values, "--drive");
  out.housing = text_of(values, "--housing");
  out.out_file = text_of(values, "--out");
  out.proof = text_of(values, "--proof");
  out.moved_vehicle = text_of(values, "--vehicle");
  out.date = text_of(values, "--date");
  return out;
}

bool asks(const std::vector<std::string>& words, std::string_view option) {
  return std::find(words.begin(), words.end(), option) != words.end();
}

}  // namespace

std::variant<Arguments, SayAndEnd> read_arguments(const std::vector<std::string>& words,
                                                  const std::string& version) {
  if (words.empty()) return SayAndEnd{ExitCode::bad_input, "", help_text()};
  const CommandRow* command = command_named(words.front());
  if (asks(words, "--help") || asks(words, "-h") || words.front() == "help")
    return SayAndEnd{ExitCode::fits, command != nullptr ? help_text(command->command) : help_text(), ""};
  if (asks(words, "--version")) return SayAndEnd{ExitCode::fits, fmt::format("hosefit {}\n", version), ""};
  if (command == nullptr) {
    std::vector<std::string> known;
    for (const CommandRow& row : command_rows()) known.emplace_back(row.name);
    if (words.front().starts_with("-")) known = {"--help", "--version"};
    const std::string what = words.front().starts_with("-") ? "option" : "command";
    return refusal(
        fmt::format("unknown {} \"{}\"{}", what, words.front(), did_you_mean(words.front(), known)));
  }
  auto values = split({words.begin() + 1, words.end()}, *command);
  if (auto* end = std::get_if<SayAndEnd>(&values)) return std::move(*end);
  return understood(std::get<Values>(values), command->command);
}

}  // namespace hosefit
