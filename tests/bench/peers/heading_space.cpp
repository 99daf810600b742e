// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/heading_space.h"

#include <cmath>

namespace hosefit::bench {
namespace {

namespace ob = ompl::base;

constexpr unsigned kNumbers = 7;
constexpr double kMostCorners = 20;

double* numbers(ob::State* state) {
  return state->as<ob::RealVectorStateSpace::StateType>()->values;
}
const double* numbers(const ob::State* state) {
  return state->as<ob::RealVectorStateSpace::StateType>()->values;
}

// Any place of the box, any direction.
class Sampler final : public ob::RealVectorStateSampler {
 public:
  explicit Sampler(const ob::StateSpace* space) : ob::RealVectorStateSampler(space) {}
  void sampleUniform(ob::State* state) override {
    ob::RealVectorStateSampler::sampleUniform(state);
    turn_any_way(state);
  }
  void sampleUniformNear(ob::State* state, const ob::State* near, double distance) override {
    ob::RealVectorStateSampler::sampleUniformNear(state, near, distance);
    turn_any_way(state);
  }
  void sampleGaussian(ob::State* state, const ob::State* mean, double deviation) override {
    ob::RealVectorStateSampler::sampleGaussian(state, mean, deviation);
    turn_any_way(state);
  }

 private:
  void turn_any_way(ob::State* state) {
    double* v = numbers(state);
    const Vec3 along = Vec3(rng_.gaussian01(), rng_.gaussian01(), rng_.gaussian01() + 1e-12).normalized();
    for (int k = 0; k < 3; ++k) v[3 + k] = along[k];
    v[6] = 0;
  }
};

}  // namespace

HeadingSpace::HeadingSpace(const AxisBox& box, const Asker& asker)
    : ob::RealVectorStateSpace(kNumbers), asker_(asker) {
  ob::RealVectorBounds bounds(kNumbers);
  for (unsigned k = 0; k < 3; ++k) {
    bounds.setLow(k, box.min()[k]);
    bounds.setHigh(k, box.max()[k]);
    bounds.setLow(3 + k, -1.000001);
    bounds.setHigh(3 + k, 1.000001);
  }
  bounds.setLow(6, 0);
  bounds.setHigh(6, kMostCorners);
  setBounds(bounds);
}

Heading HeadingSpace::heading(const ob::State* state) {
  const double* v = numbers(state);
  return {Vec3(v[0], v[1], v[2]), Vec3(v[3], v[4], v[5])};
}

int HeadingSpace::corners(const ob::State* state) {
  return static_cast<int>(std::lround(numbers(state)[6]));
}

void HeadingSpace::put(ob::State* state, const Heading& heading, int corners) {
  double* v = numbers(state);
  for (int k = 0; k < 3; ++k) {
    v[k] = heading.at_mm[k];
    v[3 + k] = heading.along[k];
  }
  v[6] = corners;
}

void HeadingSpace::put_nowhere(ob::State* state) const {
  numbers(state)[0] = getBounds().high[0] + 1e6;
}

double HeadingSpace::distance(const ob::State* a, const ob::State* b) const {
  const Heading p = heading(a), q = heading(b);
  return (p.at_mm - q.at_mm).norm() + 0.5 * asker_.problem().radius_mm * (p.along - q.along).norm();
}

void HeadingSpace::interpolate(const ob::State* from, const ob::State* to, double t, ob::State* state) const {
  const Heading a = heading(from), b = heading(to);
  const std::optional<Connection> c = asker_.connection(a, b);
  if (t <= 0 || !c) return copyState(state, from);
  if (t >= 1) return copyState(state, to);
  const Centreline line = pieces_of(*c, a, b, asker_.problem().radius_mm);
  if (line.pieces.empty()) return copyState(state, from);
  const double s = t * length_mm(line);
  put(state, {point_at(line, s), direction_at(line, s).normalized()}, 0);
}

ob::StateSamplerPtr HeadingSpace::allocDefaultStateSampler() const {
  return std::make_shared<Sampler>(this);
}

}  // namespace hosefit::bench
