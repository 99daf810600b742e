// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/family.h"

#include "tests/family/crossings.h"
#include "tests/family/ducts.h"

namespace hosefit::family {

std::string_view word(Kind kind) {
  switch (kind) {
    case Kind::clutter:
      return "clutter";
    case Kind::dense_clutter:
      return "dense_clutter";
    case Kind::slot:
      return "slot";
    case Kind::round_hole:
      return "round_hole";
    case Kind::three_bends:
      return "three_bends";
    case Kind::four_bends:
      return "four_bends";
    case Kind::facing_wall:
      return "facing_wall";
    case Kind::duct:
      return "duct";
    case Kind::tight_duct:
      return "tight_duct";
    case Kind::slot_too_small:
      return "slot_too_small";
    case Kind::hole_too_small:
      return "hole_too_small";
    case Kind::duct_too_tight:
      return "duct_too_tight";
    case Kind::wall_too_near:
      return "wall_too_near";
  }
  return "";
}

std::optional<Kind> kind_named(std::string_view text) {
  for (const Kind kind : kKinds)
    if (word(kind) == text) return kind;
  return std::nullopt;
}

bool feasible(Kind kind) {
  return kind < Kind::slot_too_small;
}

namespace {

FamilyBay thrown(Kind kind, Dice& dice) {
  switch (kind) {
    case Kind::clutter:
      return any_clutter(dice, 40, 1.5);
    case Kind::dense_clutter:
      return any_clutter(dice, 110, 0.3);
    case Kind::slot:
      return any_slot(dice, Opening::slot, dice.between(0.1, dice.below(2) == 0 ? 0.6 : 4));
    case Kind::round_hole:
      return any_slot(dice, Opening::round_hole, dice.between(0.1, dice.below(2) == 0 ? 0.6 : 4));
    case Kind::three_bends:
      return any_zigzag(dice, 2);
    case Kind::four_bends:
      return any_zigzag(dice, 3);
    case Kind::facing_wall:
      return any_facing_wall(dice, dice.between(0.05, dice.below(2) == 0 ? 0.6 : 6));
    case Kind::duct:
      return any_duct(dice, 0.80, 0.97);
    case Kind::tight_duct:
      return any_duct(dice, 0.97, 0.99);
    case Kind::slot_too_small:
      return any_slot(dice, Opening::slot, -dice.between(0.2, 4));
    case Kind::hole_too_small:
      return any_slot(dice, Opening::round_hole, -dice.between(0.2, 4));
    case Kind::duct_too_tight:
      return any_duct(dice, 1.01, 1.15);
    case Kind::wall_too_near:
      return any_facing_wall(dice, -dice.between(0.2, 6));
  }
  return {};
}

}  // namespace

FamilyBay family_bay(Kind kind, std::uint64_t seed) {
  Dice dice(RunSeed{seed}, static_cast<std::uint64_t>(kind));
  FamilyBay bay = thrown(kind, dice);
  bay.kind = kind;
  bay.seed = seed;
  return bay;
}

}  // namespace hosefit::family
