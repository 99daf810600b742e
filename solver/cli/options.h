// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <string>
#include <string_view>

/// Every command and option of the program, once. The parser and the help are made from this table.
namespace hosefit {

enum class Command : unsigned {
  pick = 1,
  check = 2,
  schema = 4,
  size = 8,
  picture = 16,
  paper_template = 32,
  manual = 64,
  completion = 128,
  show = 256,
  recheck = 512,
  drawing = 1024
};

struct CommandRow {
  Command command;
  std::string_view name;
  std::string_view help;  ///< one sentence
  std::string_view example;
};

enum class ValueShape { on_off, text, length, count, size };

/// `name` starts with "--" for options; else it is a word that stands by itself, and required.
struct OptionRow {
  std::string_view name;
  std::string_view value;  ///< what its value is called; empty for on_off
  ValueShape shape = ValueShape::text;
  std::string_view default_words;  ///< what holds when it is not given
  std::string_view help;           ///< one sentence
  std::string_view example;
  unsigned commands = 0;          ///< sum of Command values
  std::string_view choices = {};  ///< words it may be, with | between; empty = any
  bool required = false;          ///< of an option: the command cannot do without it
};

std::span<const CommandRow> command_rows();
std::span<const OptionRow> option_rows();
bool belongs_to(const OptionRow& row, Command command);

/// What the codes mean that every command ends with, as one paragraph.
std::string_view exit_codes_text();

/// Help for all commands, or for one; at most 100 columns wide.
std::string help_text();
std::string help_text(Command command);

}  // namespace hosefit
