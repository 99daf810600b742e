// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>

namespace hosefit {

struct RunSeed {
  std::uint64_t value = 1;
};

/// One stream of chance per (seed, task): SplitMix64 (Steele, Lea, Flood, OOPSLA 2014) with our own map to
/// [0,1), since the distributions of the standard library differ between implementations. No global state.
class Dice {
 public:
  Dice(RunSeed seed, std::uint64_t task) : state_(mix(seed.value ^ mix(task + 0x9e3779b97f4a7c15ULL))) {}
  std::uint64_t bits() {
    state_ += 0x9e3779b97f4a7c15ULL;
    return mix(state_);
  }
  double unit() { return static_cast<double>(bits() >> 11) * 0x1.0p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  /// 0 <= result < n; n > 0. Bias below 2^-40 for n < 2^24.
  std::uint64_t below(std::uint64_t n) { return static_cast<std::uint64_t>(unit() * static_cast<double>(n)); }

 private:
  static constexpr std::uint64_t mix(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  std::uint64_t state_;
};

}  // namespace hosefit
