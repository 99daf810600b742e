// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/motion.h"

namespace hosefit {

Pose EnginePlaces::moved(const EnginePlace& place) const {
  Pose pose;
  pose.rotation = Eigen::AngleAxisd(place[roll_way], axis).toRotationMatrix();
  pose.origin_mm = axis_point_mm - pose.rotation * axis_point_mm +
                   Vec3(place[rearward_way], place[right_way], place[lift_way]);
  return pose;
}

EnginePlaces engine_places(const EngineMotion& motion, const Pose& engine) {
  EnginePlaces out;
  out.half = {motion.roll.rad(), motion.lift.mm(), 0.5 * (motion.rearward + motion.forward).mm(),
              motion.sideways.mm()};
  out.centre[rearward_way] = 0.5 * (motion.rearward - motion.forward).mm();
  out.axis_point_mm = engine.point({0, 0, -motion.axis_below_crank.mm()});
  out.axis = engine.direction(Vec3::UnitX());
  return out;
}

}  // namespace hosefit
