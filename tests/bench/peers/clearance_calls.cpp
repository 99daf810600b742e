// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/clearance_calls.h"

#include <cmath>
#include <cstdio>
#include <span>

#include "tests/bench/timing.h"

using hosefit::LineField;
using hosefit::ObstacleRef;
using hosefit::Spare;
using hosefit::Vec3;
using hosefit::bench::ClearanceCall;

namespace {

std::vector<ClearanceCall> calls;
std::int64_t count = 0;

constexpr std::size_t kWrittenDown = 4'000'000;  // 40 bytes each; further calls are counted only

void note(ClearanceCall::Kind kind, const Vec3& at, double stop_above) {
  ++count;
  if (calls.size() < kWrittenDown) calls.push_back({kind, at, stop_above});
}

}  // namespace

// Names as the compiler writes them (Itanium C++ ABI). A member function is called as a plain one that takes
// the object first. --wrap: whoever calls NAME gets __wrap_NAME; __real_NAME is the product's own.
#define HOSEFIT_VEC3 "RKN5Eigen6MatrixIdLi3ELi1ELi0ELi3ELi1EEE"
#define HOSEFIT_SPAN "St4spanIKNS_11ObstacleRefELm18446744073709551615EE"

double real_estimate(const LineField*,
                     const Vec3&) asm("__real__ZNK7hosefit9LineField11estimate_mmE" HOSEFIT_VEC3);
double real_lower_bound(const LineField*,
                        const Vec3&) asm("__real__ZNK7hosefit9LineField14lower_bound_mmE" HOSEFIT_VEC3);
Spare real_exact(const LineField*, const Vec3&, double,
                 std::span<const ObstacleRef>) asm("__real__ZNK7hosefit9LineField5exactE" HOSEFIT_VEC3
                                                   "d" HOSEFIT_SPAN);

double wrap_estimate(const LineField*,
                     const Vec3&) asm("__wrap__ZNK7hosefit9LineField11estimate_mmE" HOSEFIT_VEC3);
double wrap_lower_bound(const LineField*,
                        const Vec3&) asm("__wrap__ZNK7hosefit9LineField14lower_bound_mmE" HOSEFIT_VEC3);
Spare wrap_exact(const LineField*, const Vec3&, double,
                 std::span<const ObstacleRef>) asm("__wrap__ZNK7hosefit9LineField5exactE" HOSEFIT_VEC3
                                                   "d" HOSEFIT_SPAN);

double wrap_estimate(const LineField* field, const Vec3& p) {
  note(ClearanceCall::Kind::estimate, p, 0);
  return real_estimate(field, p);
}
double wrap_lower_bound(const LineField* field, const Vec3& p) {
  note(ClearanceCall::Kind::lower_bound, p, 0);
  return real_lower_bound(field, p);
}
Spare wrap_exact(const LineField* field, const Vec3& p, double stop_above,
                 std::span<const ObstacleRef> ignore) {
  note(ClearanceCall::Kind::exact, p, stop_above);
  return real_exact(field, p, stop_above, ignore);
}

namespace hosefit::bench {

void begin_counting() {
  calls.clear();
  count = 0;
}

std::int64_t clearance_calls() {
  return count;
}

double clearance_again_ms(const LineField& field) {
  double sum = 0;
  const Timed t = timed([&] {
    for (const ClearanceCall& call : calls) switch (call.kind) {
        case ClearanceCall::Kind::estimate:
          sum += real_estimate(&field, call.at_mm);
          break;
        case ClearanceCall::Kind::lower_bound:
          sum += real_lower_bound(&field, call.at_mm);
          break;
        case ClearanceCall::Kind::exact:
          sum += std::min(1e9, real_exact(&field, call.at_mm, call.stop_above_mm, {}).spare_mm);
          break;
      }
  });
  if (std::isnan(sum)) std::puts("a clearance that is no number");
  const double written = static_cast<double>(calls.size());
  return written > 0 ? t.cpu * static_cast<double>(count) / written : 0;
}

}  // namespace hosefit::bench
