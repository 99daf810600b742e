// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/section_plane.h"

#include <array>

namespace hosefit {
namespace {

constexpr double kHalfSide_mm = 20000;

}  // namespace

SectionPlane::SectionPlane() {
  glGenVertexArrays(1, &array_);
  glGenBuffers(1, &corners_);
  glBindVertexArray(array_);
  glBindBuffer(GL_ARRAY_BUFFER, corners_);
  glBufferData(GL_ARRAY_BUFFER, 4 * sizeof(Point3f), nullptr, GL_DYNAMIC_DRAW);
  glEnableVertexAttribArray(0);
  glVertexAttribPointer(0, 3, GL_FLOAT, GL_FALSE, sizeof(Point3f), nullptr);
  glBindVertexArray(0);
}

SectionPlane::~SectionPlane() {
  glDeleteVertexArrays(1, &array_);
  glDeleteBuffers(1, &corners_);
}

void SectionPlane::draw(const Section& section, const Orbit& camera) const {
  const auto axis = static_cast<std::size_t>(section.axis), u = (axis + 1) % 3, v = (axis + 2) % 3;
  std::array<Point3f, 4> corners{};
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const auto at = [&](std::size_t k, bool far) {
      return static_cast<float>(camera.target_mm[static_cast<Eigen::Index>(k)] +
                                (far ? kHalfSide_mm : -kHalfSide_mm));
    };
    corners[i][axis] = static_cast<float>(section.at_mm);
    corners[i][u] = at(u, i % 2 == 1);
    corners[i][v] = at(v, i >= 2);
  }
  glBindVertexArray(array_);
  glBindBuffer(GL_ARRAY_BUFFER, corners_);
  glBufferSubData(GL_ARRAY_BUFFER, 0, sizeof(corners), corners.data());
  glVertexAttrib3f(1, 0, 0, 1);
  glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
}

}  // namespace hosefit
