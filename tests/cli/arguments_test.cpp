// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/arguments.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/cli/surroundings.h"

using namespace hosefit;

namespace {

SayAndEnd ended(const std::vector<std::string>& words) {
  const auto read = read_arguments(words, "0.1.0");
  REQUIRE(std::holds_alternative<SayAndEnd>(read));
  return std::get<SayAndEnd>(read);
}

Arguments understood(const std::vector<std::string>& words) {
  const auto read = read_arguments(words, "0.1.0");
  REQUIRE(std::holds_alternative<Arguments>(read));
  return std::get<Arguments>(read);
}

}  // namespace

TEST_CASE("the help of a command tells every option of it and none of another's") {
  for (const CommandRow& command : command_rows()) {
    const SayAndEnd help = ended({std::string(command.name), "--help"});
    CHECK(help.code == ExitCode::fits);
    for (const OptionRow& option : option_rows()) {
      CAPTURE(command.name, option.name);
      const std::string begins = "\n  " + std::string(option.name);  // an option's own line, its whole name
      const bool told = help.out.find(begins + "\n") != std::string::npos ||
                        help.out.find(begins + " ") != std::string::npos;
      // --out is a word for several commands, each with its own row.
      const bool wanted = std::any_of(option_rows().begin(), option_rows().end(), [&](const OptionRow& row) {
        return row.name == option.name && belongs_to(row, command.command);
      });
      if (option.name.starts_with("--")) CHECK(told == wanted);
      if (!option.name.starts_with("--"))
        CHECK((help.out.find("  " + std::string(option.name)) != std::string::npos) ==
              belongs_to(option, command.command));
    }
  }
}

TEST_CASE("every option of the table is taken with the example that its help gives") {
  for (const OptionRow& option : option_rows()) {
    if (!option.name.starts_with("--")) continue;
    CAPTURE(option.name);
    const auto command = std::find_if(command_rows().begin(), command_rows().end(),
                                      [&](const CommandRow& row) { return belongs_to(option, row.command); });
    REQUIRE(command != command_rows().end());
    std::vector<std::string> words{std::string(command->name), "folder"};
    for (const OptionRow& needed : option_rows())
      if (needed.required && needed.name != option.name && belongs_to(needed, command->command))
        words.insert(words.end(), {std::string(needed.name), "value"});
    words.emplace_back(option.name);
    const std::string example(option.example);
    if (const auto blank = example.find(' '); blank != std::string::npos) {
      std::string value = example.substr(blank + 1);
      if (value.starts_with('"')) value = value.substr(1, value.size() - 2);
      words.push_back(value);
    }
    CHECK(std::holds_alternative<Arguments>(read_arguments(words, "0.1.0")));
  }
}

TEST_CASE("heights are read as lengths, bare ones in the unit asked for") {
  CHECK(understood({"pick", "x", "--height", "312"}).height->mm() == Approx(312));
  CHECK(understood({"pick", "x", "--height", "12-1/4 in"}).height->inch() == Approx(12.25));
  CHECK(understood({"pick", "x", "--height", "12.25", "--units", "in"}).height->inch() == Approx(12.25));
  CHECK(ended({"pick", "x", "--height", "tall"}).err.find("want a length") != std::string::npos);
}

TEST_CASE("a misspelt option or command is refused with the nearest known one") {
  const SayAndEnd option = ended({"pick", "x", "--hieght", "312"});
  CHECK(option.code == ExitCode::bad_input);
  CHECK(option.err.find("--height") != std::string::npos);
  const SayAndEnd command = ended({"pikc", "x"});
  CHECK(command.code == ExitCode::bad_input);
  CHECK(command.err.find("\"pick\"") != std::string::npos);
}

TEST_CASE("what is missing, too much or out of range is refused") {
  for (const std::vector<std::string>& words : {std::vector<std::string>{},
                                                {"pick"},
                                                {"pick", "x", "y"},
                                                {"pick", "x", "--threads", "0"},
                                                {"pick", "x", "--threads", "many"},
                                                {"pick", "x", "--units", "feet"},
                                                {"pick", "x", "--height"},
                                                {"schema", "boat"},
                                                {"check", "x", "--windows"},
                                                {"--nothing"}})
    CHECK(ended(words).code == ExitCode::bad_input);
}

TEST_CASE("colour, width and characters follow the terminal and the wishes of its user") {
  Surroundings around;
  around.terminal_kind = "xterm";
  around.locale = "en_US.UTF-8";
  CHECK_FALSE(wants_colour(around));
  CHECK(wants_utf8(around));
  around.out_is_terminal = true;
  around.terminal_columns = 72;
  CHECK(wants_colour(around));
  CHECK(text_width(around) == 72);
  around.columns = "132";
  CHECK(text_width(around) == 132);
  around.columns = "wide";
  CHECK(text_width(around) == 72);
  around.columns = "9999";
  CHECK(text_width(around) == 200);
  around.no_color = true;
  CHECK_FALSE(wants_colour(around));
  around.locale = "C";
  CHECK_FALSE(wants_utf8(around));
}
