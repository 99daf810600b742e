// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string_view>

#include "solver/base/quantity.h"
#include "solver/base/result.h"

namespace hosefit {

/// How a value came about. Default accuracies are memory values of the trade, marked so wherever shown:
/// tape 5 mm, jig 3 mm, scan 1 mm, caliper 0.2 mm, drawing 0.5 mm, assumed 15 mm; axis by eye 2 deg, stub
/// tube 1 deg, scan 0.3 deg (from memory).
enum class MeasuredBy { tape, jig, scan, caliper, drawing, assumed };

constexpr std::string_view word(MeasuredBy method) {
  switch (method) {
    case MeasuredBy::tape:
      return "tape";
    case MeasuredBy::jig:
      return "jig";
    case MeasuredBy::scan:
      return "scan";
    case MeasuredBy::caliper:
      return "caliper";
    case MeasuredBy::drawing:
      return "drawing";
    case MeasuredBy::assumed:
      return "assumed";
  }
  return "";
}

constexpr Length default_accuracy(MeasuredBy method) {
  switch (method) {
    case MeasuredBy::tape:
      return Length::mm(5.0);
    case MeasuredBy::jig:
      return Length::mm(3.0);
    case MeasuredBy::scan:
      return Length::mm(1.0);
    case MeasuredBy::caliper:
      return Length::mm(0.2);
    case MeasuredBy::drawing:
      return Length::mm(0.5);
    case MeasuredBy::assumed:
      return Length::mm(15.0);
  }
  return {};
}

/// A value with its history: the method, how far off it may be (one half-width per coordinate), and its
/// place.
template <class T>
struct Measured {
  T value{};
  MeasuredBy method = MeasuredBy::assumed;
  Length accuracy = default_accuracy(MeasuredBy::assumed);
  Place place;
};

}  // namespace hosefit
