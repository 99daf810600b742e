// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/manual.h"

#include <fmt/format.h>

#include <vector>

#include "solver/cli/options.h"

namespace hosefit {
namespace {

// A line that begins with a dot or a quote would be a request.
std::string roff(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out.starts_with('.') || out.starts_with('\'') ? "\\&" + out : out;
}

std::string replaced(std::string_view text, char what, std::string_view with) {
  std::string out;
  for (const char c : text) {
    if (c == what)
      out += with;
    else
      out += c;
  }
  return out;
}

bool is_option(const OptionRow& row) {
  return row.name.starts_with("--");
}
bool wants_folder(const OptionRow& row) {
  return row.name.ends_with("_FOLDER") || row.value == "FOLDER";
}
bool wants_file(const OptionRow& row) {
  return row.value == "FILE";
}

std::string use_of(const CommandRow& command) {
  std::string use = fmt::format("hosefit {}", command.name);
  for (const OptionRow& row : option_rows())
    if (belongs_to(row, command.command) && !is_option(row)) use += fmt::format(" {}", row.name);
  return use + " [OPTIONS]";
}

std::string commands_of(const OptionRow& row) {
  std::string out;
  for (const CommandRow& command : command_rows())
    if (belongs_to(row, command.command)) out += fmt::format("{}{}", out.empty() ? "" : ", ", command.name);
  return out;
}

std::string help_of(const OptionRow& row) {
  std::string text(row.help);
  if (!row.choices.empty()) text += fmt::format(" One of {}.", replaced(row.choices, '|', ", "));
  if (!row.default_words.empty()) text += fmt::format(" Without it: {}.", row.default_words);
  return text;
}

std::vector<const OptionRow*> rows_of(Command command) {
  std::vector<const OptionRow*> out;
  for (const OptionRow& row : option_rows())
    if (belongs_to(row, command)) out.push_back(&row);
  return out;
}

std::string command_names() {
  std::string out;
  for (const CommandRow& row : command_rows()) out += fmt::format("{}{}", out.empty() ? "" : " ", row.name);
  return out;
}

// One single-quoted word of a POSIX shell.
std::string quoted(std::string_view text) {
  return "'" + replaced(text, '\'', "'\\''") + "'";
}

std::string bash_value_cases() {
  std::string out;
  for (const OptionRow& row : option_rows()) {
    if (!is_option(row) || row.shape == ValueShape::on_off) continue;
    if (!row.choices.empty())
      out += fmt::format("    {}) COMPREPLY=($(compgen -W {} -- \"$word\")); return;;\n", row.name,
                         quoted(replaced(row.choices, '|', " ")));
    else if (wants_folder(row))
      out += fmt::format("    {}) COMPREPLY=($(compgen -d -- \"$word\")); return;;\n", row.name);
    else if (wants_file(row))
      out += fmt::format("    {}) COMPREPLY=($(compgen -f -- \"$word\")); return;;\n", row.name);
    else
      out += fmt::format("    {}) return;;\n", row.name);
  }
  return out;
}

std::string bash_completion() {
  std::string out =
      "# bash completion for hosefit\n_hosefit() {\n  local word=${COMP_WORDS[COMP_CWORD]} "
      "before=${COMP_WORDS[COMP_CWORD-1]}\n"
      "  compopt -o filenames 2>/dev/null\n";
  out += fmt::format(
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n    COMPREPLY=($(compgen -W '{} --help --version' -- "
      "\"$word\")); return\n  fi\n",
      command_names());
  out += "  case $before in\n" + bash_value_cases() + "  esac\n  case ${COMP_WORDS[1]} in\n";
  for (const CommandRow& command : command_rows()) {
    std::string options = "--help";
    std::string words;
    for (const OptionRow* row : rows_of(command.command)) {
      if (is_option(*row)) options += fmt::format(" {}", row->name);
      if (!is_option(*row) && !row->choices.empty()) words = replaced(row->choices, '|', " ");
    }
    const std::string otherwise =
        words.empty() ? "compgen -d -- \"$word\"" : fmt::format("compgen -W '{}' -- \"$word\"", words);
    out += fmt::format(
        "    {}) case $word in -*) COMPREPLY=($(compgen -W '{}' -- \"$word\"));; *) COMPREPLY=($({}));; "
        "esac;;\n",
        command.name, options, otherwise);
  }
  return out + "  esac\n}\ncomplete -F _hosefit hosefit\n";
}

std::string zsh_safe(std::string_view text) {
  std::string out = replaced(text, '\\', "\\\\");
  for (const auto& [what, with] : {std::pair{'[', "\\["}, {']', "\\]"}, {':', "\\:"}})
    out = replaced(out, what, with);
  return replaced(out, '\'', "'\\''");
}

std::string zsh_action(const OptionRow& row) {
  if (!row.choices.empty()) return "(" + replaced(row.choices, '|', " ") + ")";
  if (wants_folder(row)) return "_files -/";
  return wants_file(row) ? "_files" : " ";
}

std::string zsh_completion() {
  std::string out = "#compdef hosefit\n_hosefit() {\n  local -a commands\n  commands=(\n";
  for (const CommandRow& row : command_rows())
    out += fmt::format("    '{}:{}'\n", row.name, zsh_safe(row.help));
  out +=
      "  )\n  if (( CURRENT == 2 )); then _describe command commands; return; fi\n  local command=$words[2]\n"
      "  shift words; (( CURRENT-- ))\n  case $command in\n";
  for (const CommandRow& command : command_rows()) {
    out += fmt::format("    {}) _arguments '--help[This text.]'", command.name);
    for (const OptionRow* row : rows_of(command.command)) {
      if (!is_option(*row))
        out += fmt::format(" '1:{}:{}'", zsh_safe(row->name), zsh_action(*row));
      else if (row->shape == ValueShape::on_off)
        out += fmt::format(" '{}[{}]'", row->name, zsh_safe(row->help));
      else
        out += fmt::format(" '{}=[{}]:{}:{}'", row->name, zsh_safe(row->help), zsh_safe(row->value),
                           zsh_action(*row));
    }
    out += ";;\n";
  }
  return out + "  esac\n}\n_hosefit \"$@\"\n";
}

std::string fish_completion() {
  const auto fish_quoted = [](std::string_view text) {
    return "'" + replaced(replaced(text, '\\', "\\\\"), '\'', "\\'") + "'";
  };
  std::string out = "# fish completion for hosefit\ncomplete -c hosefit -f\n";
  for (const CommandRow& row : command_rows())
    out += fmt::format("complete -c hosefit -n __fish_use_subcommand -a {} -d {}\n", row.name,
                       fish_quoted(row.help));
  for (const CommandRow& command : command_rows()) {
    const std::string here =
        fmt::format("complete -c hosefit -n '__fish_seen_subcommand_from {}'", command.name);
    for (const OptionRow* row : rows_of(command.command)) {
      const std::string choices = replaced(row->choices, '|', " ");
      if (!is_option(*row)) {
        out += fmt::format("{} -a {}\n", here,
                           choices.empty() ? "'(__fish_complete_directories)'" : fish_quoted(choices));
        continue;
      }
      out += fmt::format("{} -l {} -d {}", here, row->name.substr(2), fish_quoted(row->help));
      if (row->shape != ValueShape::on_off) out += " -r";
      if (!choices.empty()) out += fmt::format(" -a {}", fish_quoted(choices));
      if (wants_folder(*row)) out += " -a '(__fish_complete_directories)'";
      if (wants_file(*row)) out += " -F";
      out += "\n";
    }
  }
  return out;
}

}  // namespace

std::string manual_page(std::string_view version) {
  std::string out = fmt::format(
      ".TH HOSEFIT 1 \"\" \"hosefit {}\" \"User Commands\"\n.SH NAME\nhosefit \\- pick a coolant pump and "
      "route the hoses of an engine conversion\n.SH SYNOPSIS\n",
      roff(version));
  for (const CommandRow& row : command_rows()) out += fmt::format(".B {}\n.br\n", roff(use_of(row)));
  out +=
      ".SH DESCRIPTION\nReads a measured vehicle and the parts of an engine family, and tells which pump "
      "variant clears the intake and the bay, how its hoses run, what they are cut from, and by how many "
      "millimetres everything clears.\n.SH COMMANDS\n";
  for (const CommandRow& row : command_rows())
    out += fmt::format(".TP\n.B {}\n{}\nExample: {}\n", roff(row.name), roff(row.help), roff(row.example));
  out += ".SH OPTIONS\n";
  for (const OptionRow& row : option_rows()) {
    const std::string value = row.value.empty() ? "" : fmt::format(" {}", row.value);
    out += fmt::format(".TP\n.B {}{}\n{} Example: {}. Used by: {}.\n", roff(row.name), roff(value),
                       roff(help_of(row)), roff(row.example), commands_of(row));
  }
  out += fmt::format(".SH EXIT STATUS\n{}\n", roff(exit_codes_text()));
  return out +
         ".SH CAUTION\nA planning aid only. The makers\\(aq data, the vehicle as measured, local codes and "
         "an "
         "inspection by a qualified person decide.\n";
}

std::optional<Shell> shell_named(std::string_view name) {
  if (name == "bash") return Shell::bash;
  if (name == "zsh") return Shell::zsh;
  if (name == "fish") return Shell::fish;
  return std::nullopt;
}

std::string completion(Shell shell) {
  switch (shell) {
    case Shell::bash:
      return bash_completion();
    case Shell::zsh:
      return zsh_completion();
    case Shell::fish:
      return fish_completion();
  }
  return "";
}

}  // namespace hosefit
