// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/field_store.h"

namespace hosefit {
namespace {

// A height sweep makes a new stretch body per height; without this they would pile up for as long as the
// viewer runs.
constexpr std::size_t kMany = 256;

}  // namespace

std::shared_ptr<const BodyField> FieldStore::of(const std::shared_ptr<const Body>& body) {
  std::shared_ptr<Slot> slot;
  {
    const std::lock_guard lock(mutex_);
    std::shared_ptr<Slot>& entry = slots_[body.get()];
    if (!entry) {
      entry = std::make_shared<Slot>();
      entry->body = body;
    }
    slot = entry;
    if (slots_.size() > kMany) drop_orphans();
  }
  std::call_once(slot->once,
                 [&] { slot->field = std::make_shared<const BodyField>(*body, kOvershoot_mm, threads_); });
  return slot->field;
}

void FieldStore::drop_orphans() {
  std::erase_if(slots_, [](const auto& entry) { return entry.second->body.use_count() == 1; });
}

}  // namespace hosefit
