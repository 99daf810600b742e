// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <mutex>
#include <unordered_map>

#include "solver/model/bay.h"

namespace hosefit {

class BodyField;  ///< immutable index of one Body: per hazard an exact triangle index and a conservative grid; body_field.h

/// Body fields by Body object, each built once and shared by all candidates. Safe to use from several threads; a field is
/// built by the first thread that asks for it while the others wait for that one only.
class FieldStore {
 public:
  std::shared_ptr<const BodyField> of(const std::shared_ptr<const Body>& body);

 private:
  struct Slot {
    std::once_flag once;
    std::shared_ptr<const Body> body;  ///< keeps the key's address alive
    std::shared_ptr<const BodyField> field;
  };
  std::mutex mutex_;
  std::unordered_map<const Body*, std::shared_ptr<Slot>> slots_;
};

}  // namespace hosefit
