// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>

#include "solver/route/run.h"
#include "tests/family/family.h"

/// One bay of the family as a question that any planner can be asked. Millimetres.
namespace hosefit::bench {

/// The single line of a bay as the router poses it: same rules, same field, same space.
class Question {
 public:
  explicit Question(family::FamilyBay bay);
  Question(const Question&) = delete;
  Question& operator=(const Question&) = delete;

  const family::FamilyBay& bay() const { return bay_; }
  const LineField& field() const { return field_; }
  const RunProblem& problem() const { return problem_; }
  const GapTable& gaps() const { return gaps_; }
  FieldStore& store() { return store_; }
  Room room() const { return Room(bay_.bay, field_, problem_.rules.outside_diameter_mm, Ground::anywhere); }
  /// Where a planner throws its points, as the router does: round both ends, no further out than the bay.
  AxisBox throwing_box() const;

  /// What verify says of a run.
  struct Verdict {
    bool proved = false;
    double spare_mm = 0;  ///< the least that it measured
    std::string why;      ///< the rules it refuses it by
  };
  Verdict proof_of(const Centreline& line) const;

 private:
  family::FamilyBay bay_;
  GapTable gaps_;
  FieldStore store_;
  LineField field_;
  RunProblem problem_;
};

/// exact: a path must hold as it is. rough: the router's first look, which lets 3 mm of overlap pass because
/// a polish can push it out.
enum class Sureness { exact, rough };

/// The questions that a peer asks while it plans, and how much it may ask: the router's own connection, bend
/// limits, free test and thereby the same clearance call.
class Asker {
 public:
  Asker(const RunProblem& problem, const Room& room, std::int64_t budget, Sureness sureness);

  const RunProblem& problem() const { return problem_; }
  /// Arc, straight, arc that keeps the bend limits.
  std::optional<Connection> connection(const Heading& from, const Heading& to) const;
  bool is_free(const Centreline& motion) const;
  bool is_free(const Vec3& p_mm) const;
  /// Clearance calls so far, and one for each motion or connection tried, so that one that asks nothing costs
  /// too.
  bool spent() const;

 private:
  const RunProblem& problem_;
  const Room& room_;
  std::int64_t budget_;
  Sureness sureness_;
  mutable std::int64_t tried_ = 0;
};

}  // namespace hosefit::bench
