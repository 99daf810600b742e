// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

/// How often a check by dice repeats. Sanitizers make each round about ten times as slow, so they get an
/// eighth of them; the seeds start the same.
namespace hosefit {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
inline constexpr bool kSanitized = true;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
inline constexpr bool kSanitized = true;
#else
inline constexpr bool kSanitized = false;
#endif
#else
inline constexpr bool kSanitized = false;
#endif

constexpr int rounds(int in_full) {
  return kSanitized ? in_full / 8 : in_full;
}

}  // namespace hosefit
