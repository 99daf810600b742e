// SPDX-License-Identifier: GPL-3.0-or-later
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "solver/cli/arguments.h"

/// Lines as the words of a command line: read with every value in range, or ended with something said.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace hosefit;
  std::vector<std::string> words;
  std::string word;
  for (std::size_t i = 0; i < size; ++i) {
    if (data[i] == '\n') {
      words.push_back(word);
      word.clear();
    } else if (data[i] != 0) {  // no word of a command line holds it
      word += static_cast<char>(data[i]);
    }
  }
  if (!word.empty()) words.push_back(word);
  const auto read = read_arguments(words, "0");
  if (const auto* end = std::get_if<SayAndEnd>(&read)) {
    if (end->out.empty() && end->err.empty()) std::abort();
    if (!end->err.empty() && end->code != ExitCode::bad_input) std::abort();
    return 0;
  }
  const Arguments& arguments = std::get<Arguments>(read);
  if (arguments.threads && (*arguments.threads < 1 || *arguments.threads > 1024)) std::abort();
  if (arguments.picture_width < 1 || arguments.picture_height < 1) std::abort();
  return 0;
}
