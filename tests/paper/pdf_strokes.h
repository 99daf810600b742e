// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "solver/geometry/vec.h"

namespace hosefit {

struct PdfStroke {
  bool curve = false;
  int page = 0;
  Vec2 from, to;
  double pen = 0;
};
struct PdfStrokes {
  std::vector<Vec2> pages;
  std::vector<PdfStroke> strokes;
};

/// By measure_pdf.py, which shares nothing with what drew the file.
inline PdfStrokes pdf_strokes(const std::string& pdf) {
  const auto file =
      std::filesystem::temp_directory_path() / ("hosefit_paper_" + std::to_string(::getpid()) + ".pdf");
  std::ofstream(file, std::ios::binary) << pdf;
  const std::string command =
      std::string("python3 ") + HOSEFIT_TEST_DIR + "/paper/measure_pdf.py " + file.string();
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  std::array<char, 65536> buffer;
  for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
    said.append(buffer.data(), n);
  REQUIRE(pclose(pipe) == 0);
  std::filesystem::remove(file);
  PdfStrokes out;
  std::istringstream lines(said);
  for (std::string line; std::getline(lines, line);) {
    std::istringstream in(line);
    std::string kind;
    PdfStroke stroke;
    in >> kind >> stroke.page;
    if (kind == "page") {
      Vec2 size;
      in >> size.x() >> size.y();
      out.pages.push_back(size);
      continue;
    }
    in >> stroke.from.x() >> stroke.from.y();
    stroke.curve = kind == "curve";
    double skipped = 0;
    if (stroke.curve) in >> skipped >> skipped >> skipped >> skipped;
    in >> stroke.to.x() >> stroke.to.y() >> stroke.pen;
    out.strokes.push_back(stroke);
  }
  return out;
}

}  // namespace hosefit
