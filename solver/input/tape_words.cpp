// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/tape_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace hosefit {
namespace {

constexpr std::size_t kMostNamed = 4;
constexpr double kPlainSlip_mm = 200;  // larger ones are not told to the millimetre

double whole(double mm) {
  return std::round(mm) + 0.0;
}
std::string at_words(const Vec3& p) {
  return fmt::format("[{:.0f}, {:.0f}, {:.0f}]", whole(p.x()), whole(p.y()), whole(p.z()));
}
std::string slip_words(double slip_mm) {
  const std::string_view way = slip_mm > 0 ? "much" : "little";
  if (std::abs(slip_mm) > kPlainSlip_mm) return fmt::format("over {:.0f} mm too {}", kPlainSlip_mm, way);
  return fmt::format("{:.1f} mm too {}", std::abs(slip_mm), way);
}
std::string end_name(const TapeNetwork& net, const TapeEnd& end) {
  return end.datum ? net.datums[end.index].name : net.points[end.index].name;
}

std::string open_words(const std::string& point, const TapeRefusal& r) {
  const bool bounded = std::isfinite(r.figure) && r.direction.norm() > 0;
  const std::string how = bounded ? fmt::format("say where \"{}\" is only within {:.0f} mm", point, r.figure)
                                  : fmt::format("do not say where \"{}\" is", point);
  const std::string way =
      r.direction.norm() > 0
          ? fmt::format(" along [{:.2f}, {:.2f}, {:.2f}]", r.direction.x(), r.direction.y(), r.direction.z())
          : "";
  return fmt::format(
      "these tapes {}{}: too many of their ends stand in one line or plane with it; add a tape "
      "or a drop that runs that way",
      how, way);
}

std::string list_words(const TapeSurvey& survey, const TapeRefusal& refusal) {
  std::string out;
  const std::size_t named = std::min(refusal.readings.size(), kMostNamed);
  for (std::size_t n = 0; n < named; ++n) {
    const TapeResidual& r = survey.solution.residuals[refusal.readings[n]];
    const std::string how = refusal.fault == TapeFault::bad_among
                                ? fmt::format("alone wrong it would read {}", slip_words(r.slip_mm))
                                : fmt::format("off by {:.1f} mm", r.off_mm + 0.0);
    out +=
        fmt::format("{}{} ({})", n == 0 ? "" : ", ", reading_words(survey.network, refusal.readings[n]), how);
  }
  if (refusal.readings.size() > named) out += fmt::format(" and {} more", refusal.readings.size() - named);
  return out;
}

std::string bad_words(const TapeSurvey& survey, std::size_t reading) {
  const TapeNetwork& net = survey.network;
  const TapeReading& r = net.readings[reading];
  const double slip = survey.solution.residuals[reading].slip_mm;
  const std::string or_datum =
      r.to.datum ? fmt::format(", or \"{}\" is not where its `at` says", end_name(net, r.to)) : "";
  return fmt::format(
      "the {} is the bad one{}: it reads {}, {:.1f} times its accuracy, and without it all "
      "others agree; measure it again or take it out",
      reading_words(net, reading), or_datum, slip_words(slip), std::abs(slip) / r.accuracy_mm);
}

}  // namespace

std::string reading_words(const TapeNetwork& net, std::size_t reading) {
  const TapeReading& r = net.readings[reading];
  return fmt::format("{} from \"{}\" to \"{}\"", r.kind == TapeKind::drop ? "drop" : "tape",
                     net.points[r.point].name, end_name(net, r.to));
}

std::string tape_refusal_words(const TapeSurvey& survey, const TapeRefusal& r) {
  const std::string& point = survey.network.points[r.point].name;
  switch (r.fault) {
    case TapeFault::too_few:
      return fmt::format(
          "\"{}\" needs three tapes or drops to datums, or to points that datums fix; measure it "
          "from more of them",
          point);
    case TapeFault::not_fixed:
      return open_words(point, r);
    case TapeFault::two_places:
      return fmt::format(
          "these tapes put \"{}\" at {} or, mirrored, at {}; add `near`, a rough place, to say "
          "which",
          point, at_words(r.places[0]), at_words(r.places[1]));
    case TapeFault::near_excluded:
      return fmt::format(
          "the tapes put \"{}\" at {}, and this rough place is {:.0f} mm from there or on the other side; "
          "correct "
          "it, or measure again",
          point, at_words(r.places[0]), (r.places[0] - r.places[1]).norm());
    case TapeFault::near_between:
      return fmt::format(
          "this rough place lies between {} and its mirror image {}; give one that is clearly "
          "nearer to one of them",
          at_words(r.places[0]), at_words(r.places[1]));
    case TapeFault::do_not_meet:
      return fmt::format(
          "the tapes of \"{}\" meet nowhere: wherever it is, one of them is off by {:.1f} mm or "
          "more; measure them again",
          point, r.figure);
    case TapeFault::bad_reading:
      return bad_words(survey, r.readings.front());
    case TapeFault::bad_among:
      return fmt::format(
          "one of these is wrong, and the others do not tell which: {}; measure them again, or "
          "add a tape to another datum",
          list_words(survey, r));
    case TapeFault::no_agreement:
      return fmt::format(
          "the tapes do not agree, and leaving out any one does not cure it: {}; measure them "
          "again, or state an accuracy that was really kept",
          list_words(survey, r));
  }
  return "";
}

std::vector<std::size_t> readings_by_misfit(const TapeSolution& solution) {
  std::vector<std::size_t> order(solution.residuals.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto weight = [&](std::size_t i) {
    const std::optional<double>& size = solution.residuals[i].studentised;
    return size ? std::abs(*size) : -1.0;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return weight(a) > weight(b); });
  return order;
}

std::vector<std::size_t> points_by_accuracy(const TapeSolution& solution) {
  std::vector<std::size_t> order(solution.places.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return solution.places[a].accuracy_mm > solution.places[b].accuracy_mm;
  });
  return order;
}

bool is_unchecked(const TapeSurvey& survey, std::size_t point) {
  const std::vector<TapeReading>& readings = survey.network.readings;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool of_it = readings[i].point == point || (!readings[i].to.datum && readings[i].to.index == point);
    if (of_it && survey.solution.residuals[i].studentised) return false;
  }
  return true;
}

}  // namespace hosefit
