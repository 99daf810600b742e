// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <mutex>
#include <unordered_map>

#include "solver/field/body_field.h"

namespace hosefit {

/// Body fields by Body object, each built once and shared by all candidates. Safe to use from several
/// threads; a field is built by the first thread that asks for it while the others wait for that one only.
/// Fields of bodies that nobody else holds any more are dropped once there are many.
class FieldStore {
 public:
  /// Curved shapes count as fatter by at most this; ten times more loses narrow passages.
  static constexpr double kOvershoot_mm = 0.05;

  /// `threads` build one field.
  explicit FieldStore(Threads threads = {}) : threads_(threads) {}

  std::shared_ptr<const BodyField> of(const std::shared_ptr<const Body>& body);

 private:
  struct Slot {
    std::once_flag once;
    std::shared_ptr<const Body> body;  ///< keeps the key's address alive
    std::shared_ptr<const BodyField> field;
  };
  void drop_orphans();

  Threads threads_;
  std::mutex mutex_;
  std::unordered_map<const Body*, std::shared_ptr<Slot>> slots_;
};

}  // namespace hosefit
