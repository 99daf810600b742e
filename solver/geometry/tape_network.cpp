// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/tape_network.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/geometry/tape_fit.h"

namespace hosefit {
namespace {

constexpr std::size_t kSuspects = 12;  // left out in turn, those with the largest studentised residual
constexpr double kSame_mm = 0.5;       // two minima nearer than that are one place
constexpr double kRough_mm = 300;      // a rough place farther off is a slip of its own
constexpr double kNearerBy = 0.8;  // the rough place must be that much nearer to one image than to the other
constexpr std::size_t kCoordinates = 3;

double of_accuracy(double accuracy_mm) {
  return accuracy_mm / 2;
}

class Survey {
 public:
  explicit Survey(const TapeNetwork& network) : net_(network), found_(network.points.size()) {
    out_.places.resize(network.points.size());
    out_.residuals.resize(network.readings.size());
  }

  TapeSolution solve() {
    for (const std::vector<std::size_t>& points : groups()) solve_group(points);
    return std::move(out_);
  }

 private:
  // Points that readings join, in the order of the file.
  std::vector<std::vector<std::size_t>> groups() const {
    std::vector<std::size_t> head(net_.points.size());
    std::iota(head.begin(), head.end(), std::size_t{0});
    for (bool changed = true; changed;) {
      changed = false;
      for (const TapeReading& r : net_.readings) {
        if (r.to.datum || head[r.point] == head[r.to.index]) continue;
        head[r.point] = head[r.to.index] = std::min(head[r.point], head[r.to.index]);
        changed = true;
      }
    }
    std::vector<std::vector<std::size_t>> out;
    for (std::size_t first = 0; first < head.size(); ++first) {
      std::vector<std::size_t> group;
      for (std::size_t p = 0; p < head.size(); ++p)
        if (head[p] == first) group.push_back(p);
      if (!group.empty()) out.push_back(std::move(group));
    }
    return out;
  }

  void refuse(TapeRefusal refusal) { out_.refusals.push_back(std::move(refusal)); }

  void solve_group(const std::vector<std::size_t>& points) {
    if (!find_rough_places(points)) return;
    const TapeFit fit = fitted(points, {});
    if (!fit.fixed) {
      for (const std::size_t p : points) out_.places[p] = {*found_[p], 0, Vec3::UnitZ()};
      return refuse({.fault = TapeFault::not_fixed, .point = points.front(), .figure = kLoosest_mm});
    }
    store(points, fit);
    if (!judge(points, fit)) return;
    for (const std::size_t p : points)
      if (out_.places[p].accuracy_mm > kLoosest_mm)
        refuse({.fault = TapeFault::not_fixed,
                .point = p,
                .figure = out_.places[p].accuracy_mm,
                .direction = out_.places[p].worst});
  }

  // One point after another, each from datums and from points found before.
  bool find_rough_places(const std::vector<std::size_t>& points) {
    std::vector<std::size_t> open = points;
    std::vector<std::optional<TapeRefusal>> why(net_.points.size());
    for (bool progress = true; progress && !open.empty();) {
      progress = false;
      for (const std::size_t p : std::vector<std::size_t>(open)) {
        why[p] = find_one(p);
        if (why[p]) continue;
        std::erase(open, p);
        progress = true;
      }
    }
    for (const std::size_t p : open) refuse(*why[p]);
    return open.empty();
  }

  std::vector<RoughReading> known_from(std::size_t point) const {
    std::vector<RoughReading> out;
    const auto add = [&](const TapeReading& r, const TapeEnd& to, double sign) {
      if (!to.datum && !found_[to.index]) return;
      const Vec3 end = to.datum ? net_.datums[to.index].at_mm : *found_[to.index];
      const double end_sigma = to.datum ? of_accuracy(net_.datums[to.index].accuracy_mm) : 0;
      out.push_back({r.kind, end, r.kind == TapeKind::drop ? sign * r.reads_mm : r.reads_mm,
                     std::hypot(of_accuracy(r.accuracy_mm), end_sigma)});
    };
    for (const TapeReading& r : net_.readings) {
      if (r.point == point) add(r, r.to, 1);
      if (!r.to.datum && r.to.index == point) add(r, {false, r.point}, -1);
    }
    return out;
  }

  // Empty once the point is found.
  std::optional<TapeRefusal> find_one(std::size_t point) {
    const std::vector<RoughReading> readings = known_from(point);
    if (readings.size() < kCoordinates) return TapeRefusal{.fault = TapeFault::too_few, .point = point};
    const std::vector<RoughPlace> minima = rough_places(readings, kSame_mm);
    const RoughPlace& best = minima.front();
    const std::size_t spare = readings.size() - kCoordinates;
    const double limit = chi_square_limit(std::max<std::size_t>(spare, 1));
    if (spare == 0 && best.squares > limit)
      return TapeRefusal{.fault = TapeFault::do_not_meet, .point = point, .figure = best.worst_misfit_mm};
    if (best.accuracy_mm > kLoosest_mm)
      return TapeRefusal{.fault = TapeFault::not_fixed,
                         .point = point,
                         .figure = best.accuracy_mm,
                         .direction = best.loosest};
    std::vector<RoughPlace> possible;
    for (const RoughPlace& m : minima)
      if (m.squares <= best.squares + kAlike || m.squares <= limit) possible.push_back(m);
    // Readings that disagree are refused below; only the side they are judged from is chosen here.
    if (best.squares > limit) possible = net_.points[point].near_mm ? minima : std::vector{best};
    return choose(point, minima, possible);
  }

  static std::vector<RoughPlace> by_nearness(std::vector<RoughPlace> places, const Vec3& near) {
    std::stable_sort(places.begin(), places.end(), [&](const RoughPlace& a, const RoughPlace& b) {
      return (a.at_mm - near).norm() < (b.at_mm - near).norm();
    });
    return places;
  }

  std::optional<TapeRefusal> choose(std::size_t point, const std::vector<RoughPlace>& minima,
                                    const std::vector<RoughPlace>& possible) {
    const std::optional<Vec3>& near = net_.points[point].near_mm;
    const auto refusal = [&](TapeFault fault, const Vec3& one, const Vec3& other) {
      return TapeRefusal{.fault = fault, .point = point, .places = {one, other}};
    };
    if (!near && possible.size() > 1)
      return refusal(TapeFault::two_places, possible[0].at_mm, possible[1].at_mm);
    const Vec3 chosen = near ? by_nearness(possible, *near).front().at_mm : possible.front().at_mm;
    if (near) {
      const double off = (chosen - *near).norm();
      for (const RoughPlace& m : possible)
        if (m.at_mm != chosen && off > kNearerBy * (m.at_mm - *near).norm())
          return refusal(TapeFault::near_between, chosen, m.at_mm);
      const Vec3 nearest = by_nearness(minima, *near).front().at_mm;
      if (nearest != chosen || off > kRough_mm) return refusal(TapeFault::near_excluded, chosen, *near);
    }
    found_[point] = chosen;
    return std::nullopt;
  }

  bool in(const std::vector<std::size_t>& points, std::size_t p) const {
    return std::find(points.begin(), points.end(), p) != points.end();
  }

  TapeFit fitted(const std::vector<std::size_t>& points, std::optional<std::size_t> without) const {
    std::vector<std::size_t> readings;
    for (std::size_t i = 0; i < net_.readings.size(); ++i)
      if (in(points, net_.readings[i].point) && without != i) readings.push_back(i);
    return fit(net_, points, readings, found_);
  }

  void store(const std::vector<std::size_t>& points, const TapeFit& fit) {
    for (std::size_t i = 0; i < points.size(); ++i) out_.places[points[i]] = fit.places[i];
    for (std::size_t i = 0; i < fit.readings.size(); ++i) out_.residuals[fit.readings[i]] = fit.residuals[i];
  }

  // Whether all readings agree; otherwise says which do not.
  bool judge(const std::vector<std::size_t>& points, const TapeFit& fit) {
    std::vector<std::size_t> order;
    for (const std::size_t i : fit.readings)
      if (out_.residuals[i].studentised) order.push_back(i);
    const auto size = [&](std::size_t i) { return std::abs(*out_.residuals[i].studentised); };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return size(a) > size(b); });
    if (order.empty()) return true;
    if (size(order.front()) <= kStudentisedLimit && fit.squares <= chi_square_limit(fit.spare)) return true;
    blame(points, fit, order);
    return false;
  }

  struct LeftOut {
    double squares = 0;  // that leaving it out leaves
    std::size_t reading = 0;
    double slip_mm = 0;
  };

  // Without these the others still fix every place.
  std::vector<LeftOut> left_out(const std::vector<std::size_t>& points,
                                const std::vector<std::size_t>& suspects) const {
    std::vector<LeftOut> out;
    for (const std::size_t i : suspects) {
      const TapeFit rest = fitted(points, i);
      if (!rest.fixed) continue;
      const TapeReading& r = net_.readings[i];
      const auto place = [&](std::size_t p) {
        const auto at = std::find(points.begin(), points.end(), p) - points.begin();
        return rest.places[static_cast<std::size_t>(at)].at_mm;
      };
      const Vec3 end = r.to.datum ? net_.datums[r.to.index].at_mm : place(r.to.index);
      out.push_back({rest.squares, i, r.reads_mm - worked_out_mm(r.kind, place(r.point), end)});
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const LeftOut& a, const LeftOut& b) { return a.squares < b.squares; });
    return out;
  }

  void blame(const std::vector<std::size_t>& points, const TapeFit& fit, std::vector<std::size_t> order) {
    if (order.size() > kSuspects) order.resize(kSuspects);
    const std::vector<LeftOut> left = left_out(points, order);
    TapeRefusal refusal{
        .fault = TapeFault::no_agreement, .point = net_.readings[order.front()].point, .readings = order};
    const double enough = fit.spare <= 1 ? kAlike : chi_square_limit(fit.spare - 1);
    if (!left.empty() && left.front().squares <= enough) {
      refusal.readings.clear();
      for (const LeftOut& l : left) {
        if (l.squares - left.front().squares >= kAlike) break;
        refusal.readings.push_back(l.reading);
        out_.residuals[l.reading].slip_mm = l.slip_mm;
      }
      refusal.fault = refusal.readings.size() == 1 ? TapeFault::bad_reading : TapeFault::bad_among;
      refusal.point = net_.readings[refusal.readings.front()].point;
    }
    refuse(std::move(refusal));
  }

  const TapeNetwork& net_;
  std::vector<std::optional<Vec3>> found_;
  TapeSolution out_;
};

}  // namespace

double chi_square_limit(std::size_t degrees) {
  if (degrees == 0) return 0;
  constexpr double kNormal = 3.0902;  // exceeded once in a thousand
  const double share = 2.0 / (9.0 * static_cast<double>(degrees));
  const double root = 1.0 - share + kNormal * std::sqrt(share);
  return static_cast<double>(degrees) * root * root * root;
}

TapeSolution solve(const TapeNetwork& network) {
  return Survey(network).solve();
}

}  // namespace hosefit
