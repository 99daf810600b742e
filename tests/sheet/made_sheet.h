// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/picture/drawing.h"
#include "solver/sheet/sheet_matter.h"
#include "tests/report/told_choice.h"

/// A sheet of the job made by hand, without any search and with flat pictures.
namespace hosefit::made {

inline SheetPicture flat_picture(bool large) {
  Image image;
  image.size = large ? Size{1100, 700} : Size{480, 300};
  image.rgb.assign(static_cast<std::size_t>(image.size.width) * image.size.height * 3, 200);
  return {Drawing(image).png(),  image.size.width, image.size.height,
          "upper: 4.0 mm short", "a caption",      large};
}

/// Everything that a sheet refers to, at one place.
struct Made {
  Job job;
  Choice choice;
  SheetPictures pictures;
  std::vector<PumpWindows> windows;

  explicit Made(const std::string& pump_name = "tall pump")
      : job(told::job(pump_name)), choice(told::choice()) {
    pictures.whole = pictures.close = flat_picture(true);
    pictures.others = {{1, flat_picture(false)}};
  }
  CustomerSheet sheet(SheetQuestion question = {}, const std::string& date = "2026-03-14") const {
    return customer_sheet(
        SheetMatter{job, choice, question, pictures, windows, LengthUnit::mm, "0.1.0", date});
  }
};

inline std::vector<PumpWindows> two_windows() {
  return {{0,
           {{Length::mm(250), Length::mm(300), Fit::fits, std::nullopt},
            {Length::mm(300), Length::mm(301), Fit::undecided, std::nullopt},
            {Length::mm(301), Length::mm(350), Fit::does_not_fit, told::stop_on_upper()}}},
          {1, {{Length::mm(250), Length::mm(350), Fit::passage_no_stock, std::nullopt}}}};
}

constexpr const char* kHostileName = "=<script>alert('x')</script>\" onload=\"y\x1b[31m\n]]>&amp;\xff pump";

}  // namespace hosefit::made
