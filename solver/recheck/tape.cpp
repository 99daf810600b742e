// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/tape.h"

#include <fmt/format.h>

#include <Eigen/QR>
#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <set>

#include "solver/base/measured.h"

namespace hosefit::recheck {
namespace {

constexpr double kFarOff = 4.0;       // standard deviations
constexpr double kOtherPlace = 5.99;  // between the sums of squares of two places that fit
constexpr double kSamePlace_mm = 0.5;
constexpr double kSettled_mm = 1e-10;
constexpr int kMostSteps = 300;

double usual_accuracy_mm(const std::string& method) {
  for (const MeasuredBy by :
       {MeasuredBy::tape, MeasuredBy::jig, MeasuredBy::scan, MeasuredBy::caliper, MeasuredBy::drawing})
    if (word(by) == method) return default_accuracy(by).mm();
  return default_accuracy(MeasuredBy::assumed).mm();
}

struct Datum {
  V3 at;
  double sigma = 0;
};
struct Reading {
  bool plumb = false;
  std::string from, to;
  double mm = 0, sigma = 0;
};
struct Wanted {
  std::optional<V3> near;
};
struct Sheet {
  std::map<std::string, Datum> datums;
  std::map<std::string, Wanted> points;
  std::vector<Reading> readings;
};

Sheet read_sheet(Table in, const std::string& file_method) {
  Sheet sheet;
  const double usual = in.length_or("accuracy", usual_accuracy_mm("tape"));
  for (Table& item : in.tables("datums")) {
    const double accuracy = usual_accuracy_mm(item.word_or("measured", file_method));
    const std::string name = item.word("name");
    const V3 at = item.point_mm("at");
    sheet.datums[name] = {at, item.length_or("accuracy", accuracy) / 2};
    item.done();
  }
  for (Table& item : in.tables("points")) {
    const std::string name = item.word("name");
    Wanted& wanted = sheet.points[name];
    if (item.has("near")) wanted.near = item.point_mm("near");
    for (const char* key : {"tapes", "drops"})
      for (Table& reading : item.tables(key)) {
        const std::string to = reading.word("to");
        const double mm = reading.length_mm("reads");
        sheet.readings.push_back(
            {key == std::string_view("drops"), name, to, mm, reading.length_or("accuracy", usual) / 2});
        reading.done();
      }
    item.done();
  }
  in.done();
  return sheet;
}

using Places = std::map<std::string, V3>;

double found_mm(bool plumb, const V3& from, const V3& to) {
  return plumb ? from.z() - to.z() : (from - to).norm();
}

// Rows of misfits and their slopes over all moving places, which stand in the vector in the order of
// `column`.
struct Rows {
  Eigen::VectorXd misfit;
  Eigen::MatrixXd slope;
};
class Group {
 public:
  Group(const Sheet& sheet, std::set<std::string> points, Places fixed)
      : sheet_(sheet), points_(std::move(points)), fixed_(std::move(fixed)) {
    for (const Reading& r : sheet.readings) {
      if (!points_.contains(r.from) && !points_.contains(r.to)) continue;
      if (!known(r.from) || !known(r.to)) continue;
      readings_.push_back(&r);
      for (const std::string& name : {r.from, r.to})
        if (sheet.datums.contains(name)) column_.try_emplace(name, 0);
    }
    for (const std::string& point : points_) column_.try_emplace(point, 0);
    Eigen::Index next = 0;
    for (auto& [name, column] : column_) column = std::exchange(next, next + 3);
  }

  /// From there downhill as far as it goes; the sum of squares that is left.
  double settle(Places& at) const {
    Eigen::VectorXd x(3 * static_cast<Eigen::Index>(column_.size()));
    for (const auto& [name, column] : column_)
      x.segment<3>(column) = points_.contains(name) ? at.at(name) : sheet_.datums.at(name).at;
    Rows rows = rows_at(x);
    for (int step = 0; step < kMostSteps; ++step) {
      const Eigen::VectorXd move = rows.slope.colPivHouseholderQr().solve(rows.misfit);
      double share = 1;
      Rows next = rows_at(x + move);
      while (next.misfit.squaredNorm() > rows.misfit.squaredNorm() && share > 1e-9) {
        share /= 2;
        next = rows_at(x + share * move);
      }
      if (next.misfit.squaredNorm() > rows.misfit.squaredNorm()) break;
      x += share * move;
      rows = std::move(next);
      if (share * move.cwiseAbs().maxCoeff() < kSettled_mm) break;
    }
    for (const std::string& point : points_) at[point] = x.segment<3>(column_.at(point));
    fixes_ = rows.slope.colPivHouseholderQr().rank() == rows.slope.cols();
    worst_ = rows.misfit.head(static_cast<Eigen::Index>(readings_.size())).cwiseAbs().maxCoeff();
    return rows.misfit.squaredNorm();
  }
  bool fixes() const { return fixes_; }
  double worst() const { return worst_; }
  const std::vector<const Reading*>& readings() const { return readings_; }

 private:
  bool known(const std::string& name) const {
    return points_.contains(name) || fixed_.contains(name) || sheet_.datums.contains(name);
  }
  V3 place(const Eigen::VectorXd& x, const std::string& name) const {
    const auto moving = column_.find(name);
    return moving == column_.end() ? fixed_.at(name) : V3(x.segment<3>(moving->second));
  }

  Rows rows_at(const Eigen::VectorXd& x) const {
    const auto n = static_cast<Eigen::Index>(readings_.size());
    std::vector<std::pair<std::string, Datum>> datums;
    for (const auto& [name, column] : column_)
      if (!points_.contains(name)) datums.emplace_back(name, sheet_.datums.at(name));
    const Eigen::Index all = n + 3 * static_cast<Eigen::Index>(datums.size());
    Rows out{Eigen::VectorXd::Zero(all), Eigen::MatrixXd::Zero(all, x.size())};
    for (Eigen::Index i = 0; i < n; ++i) {
      const Reading& r = *readings_[static_cast<std::size_t>(i)];
      const V3 from = place(x, r.from), to = place(x, r.to);
      const V3 apart = from - to;
      const V3 way = r.plumb || apart.norm() < 1e-9 ? V3(V3::UnitZ()) : V3(apart.normalized());
      out.misfit[i] = (r.mm - found_mm(r.plumb, from, to)) / r.sigma;
      for (const auto& [name, sign] : {std::pair{r.from, 1.0}, std::pair{r.to, -1.0}})
        if (const auto moving = column_.find(name); moving != column_.end())
          out.slope.block<1, 3>(i, moving->second) += sign / r.sigma * way.transpose();
    }
    Eigen::Index row = n;
    for (const auto& [name, datum] : datums) {
      out.misfit.segment<3>(row) = (datum.at - place(x, name)) / datum.sigma;
      out.slope.block<3, 3>(row, column_.at(name)).diagonal().setConstant(1 / datum.sigma);
      row += 3;
    }
    return out;
  }

  const Sheet& sheet_;
  std::set<std::string> points_;
  Places fixed_;
  std::vector<const Reading*> readings_;
  std::map<std::string, Eigen::Index> column_;
  mutable bool fixes_ = false;
  mutable double worst_ = 0;
};

// Spheres less the first one are planes; drops are planes. The line that fits them best meets the first
// sphere twice.
std::vector<V3> two_places(const std::vector<std::pair<V3, double>>& spheres,
                           const std::vector<double>& heights) {
  const std::size_t planes = spheres.size() - 1 + heights.size();
  Eigen::MatrixXd a(static_cast<Eigen::Index>(planes), 3);
  Eigen::VectorXd b(static_cast<Eigen::Index>(planes));
  const auto& [centre, radius] = spheres.front();
  Eigen::Index row = 0;
  for (std::size_t i = 1; i < spheres.size(); ++i, ++row) {
    const V3 way = spheres[i].first - centre;
    const double size = std::max(way.norm(), 1.0);
    a.row(row) = way.transpose() / size;
    b[row] = (way.squaredNorm() - spheres[i].second * spheres[i].second + radius * radius) / 2 / size;
  }
  for (const double height : heights) {
    a.row(row) = V3::UnitZ().transpose();
    b[row++] = height - centre.z();
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a, Eigen::ComputeFullU | Eigen::ComputeFullV);
  V3 foot = V3::Zero();
  for (Eigen::Index i = 0; i < 2; ++i)
    if (svd.singularValues()[i] > 1e-6)
      foot += svd.matrixV().col(i) * (svd.matrixU().col(i).dot(b) / svd.singularValues()[i]);
  const V3 way = svd.matrixV().col(2);
  const double along = std::sqrt(std::max(radius * radius - foot.squaredNorm(), 1.0));
  return {centre + foot + along * way, centre + foot - along * way};
}

class Workings {
 public:
  Workings(const Sheet& sheet, const YamlFile& file, Refusals& refusals)
      : sheet_(sheet), file_(file), refusals_(refusals) {}

  Places work_out() {
    std::set<std::string> open;
    for (const auto& [name, wanted] : sheet_.points) open.insert(name);
    for (bool progress = true; progress && !refusals_.any();) {
      progress = false;
      for (const std::string& point : std::set<std::string>(open))
        if (rough(point)) {
          open.erase(point);
          progress = true;
        }
    }
    if (!open.empty()) refuse(*open.begin(), "its readings do not lead to enough known places");
    if (!refusals_.any()) together();
    return places_;
  }

 private:
  void refuse(const std::string& point, const std::string& why) {
    refusals_.add({file_.path, 0, 0}, "tape.points", fmt::format("\"{}\": {}", point, why));
  }

  std::optional<V3> at(const std::string& name) const {
    if (const auto datum = sheet_.datums.find(name); datum != sheet_.datums.end()) return datum->second.at;
    if (const auto place = places_.find(name); place != places_.end()) return place->second;
    return std::nullopt;
  }

  bool rough(const std::string& point) {
    std::vector<std::pair<V3, double>> spheres;
    std::vector<double> heights;
    for (const Reading& r : sheet_.readings) {
      if (r.from != point && r.to != point) continue;
      const bool forth = r.from == point;
      const std::optional<V3> end = at(forth ? r.to : r.from);
      if (!end) continue;
      if (r.plumb)
        heights.push_back(end->z() + (forth ? r.mm : -r.mm));
      else
        spheres.emplace_back(*end, r.mm);
    }
    if (spheres.empty() || spheres.size() + heights.size() < 3) return false;
    const Group alone(sheet_, {point}, places_);
    std::vector<std::pair<double, V3>> found;
    for (const V3& start : two_places(spheres, heights)) {
      Places places{{point, start}};
      const double squares = alone.settle(places);
      if (alone.fixes()) found.emplace_back(squares, places.at(point));
    }
    if (found.empty()) return false;
    places_[point] = chosen(point, found);
    return true;
  }

  V3 chosen(const std::string& point, std::vector<std::pair<double, V3>> found) {
    std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    const std::optional<V3>& near = sheet_.points.at(point).near;
    const bool two = found.size() == 2 && (found[0].second - found[1].second).norm() > kSamePlace_mm &&
                     found[1].first - found[0].first < kOtherPlace;
    if (!two) return found[0].second;
    if (!near) refuse(point, "two places fit its readings, and nothing says which");
    const V3 wish = near.value_or(found[0].second);
    return (found[0].second - wish).norm() <= (found[1].second - wish).norm() ? found[0].second
                                                                              : found[1].second;
  }

  std::set<std::string> joined_to(const std::string& first) const {
    std::set<std::string> group{first};
    for (std::size_t before = 0; before != group.size();) {
      before = group.size();
      for (const Reading& r : sheet_.readings)
        if (sheet_.points.contains(r.to) && (group.contains(r.from) || group.contains(r.to))) {
          group.insert(r.from);
          group.insert(r.to);
        }
    }
    return group;
  }

  void together() {
    std::set<std::string> done;
    for (const auto& [name, wanted] : sheet_.points) {
      if (done.contains(name)) continue;
      const std::set<std::string> names = joined_to(name);
      done.insert(names.begin(), names.end());
      const Group group(sheet_, names, {});
      group.settle(places_);
      if (!group.fixes()) refuse(name, "its readings leave a direction open");
      if (group.worst() > kFarOff) refuse(name, "the readings around it do not agree");
    }
    for (auto& [name, place] : places_)
      for (Eigen::Index i = 0; i < 3; ++i) place[i] = std::round(place[i] * 1000) / 1000 + 0.0;
  }

  const Sheet& sheet_;
  const YamlFile& file_;
  Refusals& refusals_;
  Places places_;
};

bool holds_taped(const Value& value) {
  return std::find(value.keys.begin(), value.keys.end(), "taped") != value.keys.end() ||
         std::any_of(value.items.begin(), value.items.end(), holds_taped);
}

}  // namespace

void work_out_tape(YamlFile& file, Refusals& refusals) {
  Table in(file, file.root, "", refusals);
  if (!in.has("tape")) return;
  const Sheet sheet = read_sheet(in.table("tape"), in.word_or("measured", "assumed"));
  for (const Reading& r : sheet.readings)
    if ((!sheet.datums.contains(r.to) && !sheet.points.contains(r.to)) || r.to == r.from)
      refusals.add({file.path, 0, 0}, "tape.points",
                   fmt::format("a reading to \"{}\", which is no other place", r.to));
  if (!refusals.any()) file.taped = Workings(sheet, file, refusals).work_out();
}

bool holds_taped(const Table& in, std::string_view key) {
  const Value& all = in.value();
  for (std::size_t i = 0; i < all.keys.size(); ++i)
    if (all.keys[i] == key && holds_taped(all.items[i])) return true;
  return false;
}

}  // namespace hosefit::recheck
