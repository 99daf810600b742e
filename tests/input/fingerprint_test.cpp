// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/fingerprint.h"

#include <catch2/catch.hpp>

#include "tests/input/edited_job.h"

namespace hosefit {
namespace {
std::string sum_of(std::string_view bytes) {
  Sha256 sum;
  sum.add(bytes);
  return sum.hexadecimal();
}
}  // namespace

// Values: NIST, examples to FIPS 180-4 (one block, two blocks), and the empty message and the million of "a"
// of the NIST Secure Hash Standard Validation System.
TEST_CASE("SHA-256 gives the values of the standard's examples") {
  CHECK(sum_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sum_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(sum_of("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(sum_of(std::string(1000000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("feeding a sum in pieces changes nothing") {
  const std::string text(333, 'q');
  for (const std::size_t cut : {std::size_t{0}, std::size_t{1}, std::size_t{55}, std::size_t{63},
                                std::size_t{64}, std::size_t{65}, std::size_t{128}}) {
    Sha256 sum;
    sum.add(std::string_view(text).substr(0, cut));
    CHECK(sum.hexadecimal() == sum_of(std::string_view(text).substr(0, cut)));
    sum.add(std::string_view(text).substr(cut));
    CHECK(sum.hexadecimal() == sum_of(text));
  }
}

TEST_CASE("any byte of any file changes the fingerprint, the folder does not") {
  using namespace test;
  const Files good = good_files();
  const ScratchFolder a, b;
  const auto first = load_from(a, good);
  const auto second = load_from(b, good);
  REQUIRE(first);
  REQUIRE(second);
  CHECK(first->input_fingerprint.size() == 64);
  CHECK(first->input_fingerprint == second->input_fingerprint);
  for (const auto& [name, bytes] : good) {
    if (name.starts_with("vehicles/teed/")) continue;  // of another vehicle
    CAPTURE(name);
    std::string changed = bytes;
    if (name.ends_with(".stl"))
      changed[0] = 'x';
    else if (name.ends_with(".ply"))
      test::replace_once(changed, "comment a", "comment A");
    else
      changed += "# one more line\n";
    write_file(b.path() / name, changed);
    const auto other = load_job(paths_in(b.path()));
    write_file(b.path() / name, bytes);
    REQUIRE(other);
    CHECK(other->input_fingerprint != first->input_fingerprint);
  }
}

}  // namespace hosefit
