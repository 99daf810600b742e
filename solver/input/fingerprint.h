// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace hosefit {

/// SHA-256 (FIPS 180-4), fed in pieces.
class Sha256 {
 public:
  void add(std::string_view bytes);
  std::string hexadecimal() const;  ///< of all bytes so far; more may be added afterwards

 private:
  void take_block(const unsigned char* block);
  std::array<std::uint32_t, 8> state_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                      0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
  std::array<unsigned char, 64> block_{};
  std::uint64_t length_ = 0;  // bytes so far
};

}  // namespace hosefit
