// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/fingerprint.h"

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

namespace hosefit::recheck {
namespace {

using Word = std::uint32_t;

// The first 32 bits of the fractional part of a root, exactly: long double holds 64 bits, 40 are needed.
Word fraction_bits(long double root) {
  return static_cast<Word>((root - std::floor(root)) * 4294967296.0L);
}

// FIPS 180-4, 4.2.2 and 5.3.3: cube and square roots of the first primes.
struct Constants {
  std::array<Word, 64> round{};
  std::array<Word, 8> start{};
  Constants() {
    std::size_t found = 0;
    for (int n = 2; found < round.size(); ++n) {
      bool prime = true;
      for (int d = 2; d * d <= n; ++d) prime = prime && n % d != 0;
      if (!prime) continue;
      round[found] = fraction_bits(std::cbrt(static_cast<long double>(n)));
      if (found < start.size()) start[found] = fraction_bits(std::sqrt(static_cast<long double>(n)));
      ++found;
    }
  }
};

Word word_at(std::string_view bytes, std::size_t at) {
  Word word = 0;
  for (std::size_t i = 0; i < 4; ++i) word = word << 8 | static_cast<unsigned char>(bytes[at + i]);
  return word;
}

void mix(std::array<Word, 8>& state, std::string_view block, const std::array<Word, 64>& round) {
  std::array<Word, 64> w{};
  for (std::size_t t = 0; t < 64; ++t) {
    if (t < 16) {
      w[t] = word_at(block, 4 * t);
      continue;
    }
    const Word a = w[t - 15], b = w[t - 2];
    w[t] = w[t - 16] + w[t - 7] + (std::rotr(a, 7) ^ std::rotr(a, 18) ^ (a >> 3)) +
           (std::rotr(b, 17) ^ std::rotr(b, 19) ^ (b >> 10));
  }
  std::array<Word, 8> v = state;
  for (std::size_t t = 0; t < 64; ++t) {
    const Word e = v[4], a = v[0];
    const Word one = v[7] + (std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25)) +
                     ((e & v[5]) ^ (~e & v[6])) + round[t] + w[t];
    const Word two =
        (std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22)) + ((a & v[1]) ^ (a & v[2]) ^ (v[1] & v[2]));
    v = {one + two, v[0], v[1], v[2], v[3] + one, v[4], v[5], v[6]};
  }
  for (std::size_t i = 0; i < 8; ++i) state[i] += v[i];
}

}  // namespace

std::string sha256(std::string_view bytes) {
  static const Constants constants;
  std::array<Word, 8> state = constants.start;
  std::size_t at = 0;
  for (; at + 64 <= bytes.size(); at += 64) mix(state, bytes.substr(at, 64), constants.round);
  std::string tail(bytes.substr(at));
  tail.push_back('\x80');
  while (tail.size() % 64 != 56) tail.push_back('\0');
  const std::uint64_t bits = 8 * static_cast<std::uint64_t>(bytes.size());
  for (int shift = 56; shift >= 0; shift -= 8) tail.push_back(static_cast<char>(bits >> shift & 0xFF));
  for (at = 0; at < tail.size(); at += 64) mix(state, std::string_view(tail).substr(at, 64), constants.round);
  std::string out;
  for (const Word word : state)
    for (int shift = 28; shift >= 0; shift -= 4) out.push_back("0123456789abcdef"[word >> shift & 0xF]);
  return out;
}

}  // namespace hosefit::recheck
