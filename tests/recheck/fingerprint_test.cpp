// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/fingerprint.h"

#include <catch2/catch.hpp>
#include <string>

#include "solver/input/fingerprint.h"

using namespace hosefit;

// NIST, Secure Hash Standard example values for FIPS 180-4.
TEST_CASE("fingerprints are those of the standard's examples") {
  CHECK(recheck::sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(recheck::sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(recheck::sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(recheck::sha256(std::string(1000000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("fingerprints are those of the first reader for every length around a block") {
  std::string text;
  for (int n = 0; n < 200; ++n) {
    Sha256 sum;
    sum.add(text);
    REQUIRE(recheck::sha256(text) == sum.hexadecimal());
    text.push_back(static_cast<char>(n * 37));
  }
}
